"""What does it cost? The quotation line by line, and what the seals save."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from teewright.job.values import Job
from teewright.price.saved import ConnectionSaving
from teewright.price.values import QuoteLine
from teewright.report.sheets.savings import years
from teewright.report.words import money
from teewright.web.asked import WhatIsKnown
from teewright.web.pages.frames import frame_of
from teewright.web.render import page
from teewright.web.texts import text

router = APIRouter(prefix="/price")
WHOLE = frozenset({"each", "shift", "pack"})
"""Units that are counted, not measured."""
MOST = 30
"""Connections in the table of savings; the rest is in the totals alone."""


@dataclass(frozen=True, slots=True)
class Priced:
    """One line as it is shown.

    Attributes:
        line: Of the quotation.
        quantity: With its unit.
        rate: Price of one unit.
        bar: Length of its bar [%].
    """

    line: QuoteLine
    quantity: str
    rate: str
    bar: float


@dataclass(frozen=True, slots=True)
class Saved:
    """What the seals save in all.

    Attributes:
        rows: Connections that save something, the greatest first.
        volume: Kept out a year [m3].
        yearly: Worth a year.
        uncounted: Connections whose flow nobody knows.
    """

    rows: tuple[ConnectionSaving, ...]
    volume: float
    yearly: float
    uncounted: int


@router.get("")
def price(request: Request, known: WhatIsKnown) -> Response:
    """The quotation."""
    job = known.job
    values = {
        "job": job,
        "problem": known.problem,
        "share": f"{100.0 * job.kit.rates.overhead:g}" if job else "",
        "quote": job.quote if job else None,
        "lines": priced(job) if job else (),
        "saved": saved(job) if job else None,
        "most": MOST,
        "money": money,
        "exact": exact,
        "years": years,
    }
    return page(request, "price.html", values, frame=frame_of(known, "price", answer(job)))


def answer(job: Job | None) -> str:
    """The total, one sentence."""
    if job is None:
        return text("price.answer_unplanned")
    quote = job.quote
    if not quote.lines:
        return text("price.answer_nothing")
    total = f"{money(quote.total)} {quote.currency}"
    if quote.if_open_sealed > quote.total:
        more = f"{money(quote.if_open_sealed)} {quote.currency}"
        return text("price.answer_open", total=total, more=more)
    return text("price.answer", total=total)


def priced(job: Job) -> tuple[Priced, ...]:
    """Lines in the order of the work."""
    most = max((line.sum for line in job.quote.lines), default=0.0)
    return tuple(
        Priced(
            line=line,
            quantity=_quantity(line),
            rate=exact(line.rate),
            bar=100.0 * line.sum / most if most > 0.0 else 0.0,
        )
        for line in job.quote.lines
    )


def saved(job: Job) -> Saved | None:
    """What the seals save; None where nothing is known of it."""
    found = job.savings
    if found is None:
        return None
    rows = tuple(one for one in found.connections if one.saving.volume_kept_out > 0.0)
    return Saved(
        rows=rows,
        volume=sum(one.saving.volume_kept_out for one in rows),
        yearly=sum(one.saving.yearly for one in rows),
        uncounted=len(found.not_counted),
    )


def exact(amount: float) -> str:
    """An amount to the hundredth, with narrow spaces that do not break."""
    return f"{amount:,.2f}".replace(",", "\u202f")


def _quantity(line: QuoteLine) -> str:
    number = f"{line.quantity:.0f}" if line.unit == "each" else f"{line.quantity:.2f}"
    if line.unit in WHOLE:
        return number if line.unit == "each" else text(f"price.unit_{line.unit}", n=line.quantity)
    return f"{number}\u00a0{line.unit.replace('m2', 'm²')}"

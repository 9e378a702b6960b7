"""What sealing saves: groundwater that is kept out, what it is worth, and when it pays back."""

from collections.abc import Sequence

from teewright.price.saved import ConnectionSaving, Savings
from teewright.report import letters, words
from teewright.report.index import JobIndex
from teewright.report.sheets.sheet import Json, Sheet

MOST = 30
"""Rows of the table; those beyond are in the totals alone."""
LONG = 100.0
"""Years beyond which a payback is only told as longer [a]."""


def sheets(index: JobIndex) -> list[Sheet]:
    """One sheet; none where no price of water is told or no flow is known."""
    found = index.job.savings
    if found is None or not found.connections:
        return []
    counted = [one for one in found.connections if one.saving.volume_kept_out > 0.0]
    if not counted:
        return []
    kept = sum(one.saving.volume_kept_out for one in counted)
    worth = sum(one.saving.yearly for one in counted)
    currency = index.job.quote.currency
    body: dict[str, Json] = {
        "currency": currency,
        "rows": _rows(counted),
        "kept": f"{kept:.0f}",
        "worth": words.money(worth),
        "text": _text(found, counted, currency),
    }
    heading = f"Sealing keeps out {kept:.0f} m³ a year, worth {words.money(worth)}"
    subject = words.figures(len(counted), "connection")
    title = "What sealing saves"
    return [Sheet("savings", title, f"{heading} {currency}", subject, title, body)]


def _rows(counted: Sequence[ConnectionSaving]) -> list[Json]:
    most = max(one.saving.volume_kept_out for one in counted)
    return [
        {
            "connection": letters.shorten(one.connection_id, 84.0, 9.0),
            "kept": f"{one.saving.volume_kept_out:.0f}",
            "share": round(one.saving.volume_kept_out / most, 4),
            "from": f"declared, {one.declared}" if one.declared else "computed",
            "worth": words.money(one.saving.yearly),
            "years": years(one.payback.simple),
            "discounted": years(one.payback.discounted),
        }
        for one in counted[:MOST]
    ]


def _text(found: Savings, counted: Sequence[ConnectionSaving], currency: str) -> str:
    first = counted[0].payback
    text = (
        f"{_flows(found, counted)} {_year(found)} Water at "
        f"{found.per_volume:g} {currency} per m³. Paid back is the mean price of a connection in "
        f"the quotation, {words.money(found.price)} {currency}, in years, without and with "
        f"{100.0 * first.discount:g} % discount a year; the seal is taken to last "
        f"{first.life:g} years."
    )
    if found.not_counted:
        text += (
            f" Not counted, since nobody knows how much comes in: "
            f"{words.count(len(found.not_counted), 'connection')} more."
        )
    if len(counted) > MOST:
        text += f" {len(counted) - MOST} with less are in the totals alone."
    return text


def _flows(found: Savings, counted: Sequence[ConnectionSaving]) -> str:
    """Where the flows come from."""
    text = "Computed is what comes in through the measured gap under the groundwater's head."
    if any(one.declared for one in counted):
        source = found.source.strip()
        text += " Declared is what the site file tells for the class that the survey codes"
        text += f" ({source.rstrip('.')})." if source else ", which says not where it came from."
    return text


def _year(found: Savings) -> str:
    """What is taken over the year, and once sealed."""
    moving = " The levels of tide or river that are told are not followed." if found.moving else ""
    left = (
        f"{100.0 * found.left:g} % of it is taken to come in once it is sealed, as declared."
        if found.left > 0.0
        else "Nothing is taken to come in once it is sealed, an assumption."
    )
    return (
        "All is taken to flow all year under the highest groundwater: an upper bound where the "
        f"water falls.{moving} {left}"
    )


def years(value: float | None) -> str:
    """A payback as it is printed."""
    return "never" if value is None else f"{value:.1f}" if value < LONG else "over 100"

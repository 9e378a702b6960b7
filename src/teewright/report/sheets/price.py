"""Quantities and price."""

from teewright.report import letters, words
from teewright.report.index import JobIndex
from teewright.report.sheets.pattern import by_pattern
from teewright.report.sheets.sheet import Json, Sheet

_WHOLE = {"each", "shift", "pack"}


def _answer(index: JobIndex) -> str:
    quote = index.job.quote
    text = f"{words.money(quote.total)} {quote.currency} without tax"
    if quote.if_open_sealed > quote.total:
        text += f", {words.money(quote.if_open_sealed)} with the open ones"
    return text


def _lines(index: JobIndex) -> list[Json]:
    most = max((line.sum for line in index.job.quote.lines), default=0.0)
    rows: list[Json] = [
        {
            "item": words.breakable(line.item),
            "quantity": f"{line.quantity:.0f}" if line.unit in _WHOLE else f"{line.quantity:.2f}",
            "unit": line.unit.replace("m2", "m²"),
            "rate": f"{line.rate:,.2f}".replace(",", "\u202f"),
            "sum": words.money(line.sum),
            "share": round(line.sum / most, 4) if most > 0.0 else 0.0,
            "note": words.breakable(line.note),
        }
        for line in index.job.quote.lines
    ]
    return rows


def _patterns(index: JobIndex) -> list[Json]:
    rows: list[Json] = []
    for pattern, designs in by_pattern(index).items():
        collar = designs[0].collar
        j = collar.junction
        shape = f"{j.main_diameter * 1e3:.0f} / {j.branch_diameter * 1e3:.0f} mm"
        rows.append(
            {
                "pattern": words.breakable(pattern),
                "shape": f"{shape}, {words.degrees(j.angle)}",
                "number": str(len(designs)),
                "area": f"{collar.fabric_area * len(designs):.2f}",
                "resin": f"{sum(d.resin.mass for d in designs):.2f}",
                "packs": str(sum(d.resin.packs for d in designs)),
                "for": [letters.shorten(d.connection_id, 48.0, 9.0) for d in designs[:6]],
                "more": f" and {len(designs) - 6} more" if len(designs) > 6 else "",
            }
        )
    return rows


def _totals(index: JobIndex) -> dict[str, Json]:
    designs = index.job.designs.designs
    return {
        "number": str(len(designs)),
        "area": f"{sum(d.collar.fabric_area for d in designs):.2f}",
        "resin": f"{sum(d.resin.mass for d in designs):.2f}",
        "packs": str(sum(d.resin.packs for d in designs)),
    }


def _resin(index: JobIndex) -> str:
    designs = index.job.designs.designs
    if not designs:
        return "No resin is needed."
    a, b = sum(d.resin.mass_a for d in designs), sum(d.resin.mass_b for d in designs)
    left = sum(d.resin.left_over for d in designs)
    spare = len(index.job.programme.shifts)
    text = (
        f"Part A {a:.1f} kg, part B {b:.1f} kg; {left:.1f} kg of the packs opened is left over "
        "and cured."
    )
    if spare:
        text += (
            " Spare packs are not counted: one or more for each of "
            f"{words.count(spare, 'shift')} is the contractor's choice."
        )
    return text


def sheets(index: JobIndex) -> list[Sheet]:
    """Quantities and price on one sheet; none where nothing is priced and nothing is made."""
    quote = index.job.quote
    if not quote.lines and not index.designs:
        return []
    body: dict[str, Json] = {
        "currency": quote.currency,
        "lines": _lines(index),
        "net": words.money(quote.net),
        "overhead": words.money(quote.overhead),
        "total": words.money(quote.total),
        "if_open": words.money(quote.if_open_sealed) if quote.if_open_sealed > quote.total else "",
        "patterns": _patterns(index),
        "totals": _totals(index),
        "resin": _resin(index),
    }
    return [
        Sheet(
            "price",
            "Quantities and price",
            _answer(index),
            words.figures(len(index.job.designs.designs), "collar"),
            "Quantities and price",
            body,
        )
    ]

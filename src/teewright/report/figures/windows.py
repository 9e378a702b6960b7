"""Quantities against the range in which they must lie."""

from collections.abc import Sequence
from dataclasses import dataclass

from teewright.report import letters
from teewright.report.pen import BLUE, GREY, HAIR, INK, MID, PAPER, THIN, Lettering, Pen, Stroke

WIDTH = 178.0
_LEFT, _RIGHT, _VALUE = 44.0, 128.0, 133.0
_ROW = 10.0


@dataclass(frozen=True, slots=True)
class Window:
    """One quantity with its allowed range, all in the unit in which it is shown.

    Attributes:
        name: Of the quantity.
        unit: In which it is shown.
        span: Ends of the scale.
        allowed: Lower and upper limit; None where there is none.
        expected: Least and greatest value expected, or None.
        chosen: Value that is set, or a deadline, or None.
        answer: Bold words at the right.
        trace: Number of its row in the appendix, or None.
        decimals: Of the limits.
    """

    name: str
    unit: str
    span: tuple[float, float]
    allowed: tuple[float | None, float | None]
    expected: tuple[float, float] | None
    chosen: float | None
    answer: str
    trace: int | None
    decimals: int = 2


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of the day in which something is allowed.

    Attributes:
        name: Of the row.
        note: Plain words under the name.
        allowed: Hours from 0 to 23.
        answer: Bold words at the right.
        trace: Number of its row in the appendix, or None.
    """

    name: str
    note: str
    allowed: tuple[int, ...]
    answer: str
    trace: int | None


def height(rows: int) -> float:
    """Height of the figure [mm]."""
    return 5.0 + _ROW * rows


def windows(rows: Sequence[Window], hours: Hours | None = None) -> str:
    """Bars with hatched forbidden parts, a black bar for the expected, a lozenge for the set.

    Args:
        rows: One for each quantity.
        hours: A last row with the hours of the day, or None.

    Returns:
        SVG.
    """
    count = len(rows) + (1 if hours else 0)
    pen = Pen(WIDTH, height(count))
    pen.text((0.0, 3.0), "Quantity")
    pen.text((_LEFT, 3.0), "Hatched: not allowed. Bar: expected. Lozenge: set, or deadline.")
    pen.text((_VALUE, 3.0), "Value")
    pen.text((WIDTH, 3.0), "Trace", Lettering(anchor="end"))
    pen.line((0.0, 5.0), (WIDTH, 5.0), MID)
    for k, row in enumerate(rows):
        _row(pen, row, 5.0 + _ROW * k)
    if hours:
        _hours(pen, hours, 5.0 + _ROW * len(rows))
    for k in range(1, count + 1):
        pen.line((0.0, 5.0 + _ROW * k), (WIDTH, 5.0 + _ROW * k), Stroke(0.13, GREY))
    return pen.svg()


def _ends(pen: Pen, y: float, name: str, note: str, answer: str, trace: int | None) -> None:
    pen.text((0.0, y + 4.4), name, Lettering(9.5, 600))
    pen.text((0.0, y + 8.2), letters.clip(note, _LEFT - 2.0, 8.0))
    room = WIDTH - _VALUE - 12.0
    size = 10.0 if letters.width(answer, 10.0, 600) <= room else 8.5
    for k, line in enumerate(letters.wrap(answer, room, size, 600)[:2]):
        pen.text((_VALUE, y + 4.4 + 3.8 * k), line, Lettering(size, 600))
    if trace is not None:
        pen.text((WIDTH, y + 4.4), f"A {trace}", Lettering(anchor="end", colour=BLUE))


def _row(pen: Pen, row: Window, top: float) -> None:
    _ends(pen, top, row.name, row.unit, row.answer, row.trace)
    low, high = row.span
    y = top + 3.4

    def x(value: float) -> float:
        share = (value - low) / ((high - low) or 1.0)
        return _LEFT + (_RIGHT - _LEFT) * min(1.0, max(0.0, share))

    for edge in (y - 2.0, y + 2.0):
        pen.line((_LEFT, edge), (_RIGHT, edge), HAIR)
    least, most = row.allowed
    if least is not None and x(least) > _LEFT:
        pen.hatch((_LEFT, y - 2.0), (x(least) - _LEFT, 4.0))
    if most is not None and x(most) < _RIGHT:
        pen.hatch((x(most), y - 2.0), (_RIGHT - x(most), 4.0))
    if row.expected:
        a, b = x(row.expected[0]), x(row.expected[1])
        pen.rect((a, y - 0.9), (max(b - a, 0.8), 1.8), None, INK)
    limits = [v for v in (least, most) if v is not None]
    for value in limits:
        pen.line((x(value), y - 2.8), (x(value), y + 2.8), MID)
    _limit_words(pen, [(x(v), f"{v:.{row.decimals}f}") for v in limits], y + 5.6)
    if row.chosen is not None:
        c = x(row.chosen)
        lozenge = ((c, y - 2.0), (c + 2.0, y), (c, y + 2.0), (c - 2.0, y))
        pen.shape(lozenge, Stroke(0.3, PAPER), BLUE)


def _limit_words(pen: Pen, limits: list[tuple[float, str]], y: float) -> None:
    """Write the limits under their lines; two that would touch stand away from each other."""
    if len(limits) == 2:
        (a, low), (b, high) = sorted(limits)
        if b - a < (letters.width(low, 8.0) + letters.width(high, 8.0)) / 2 + 1.5:
            pen.text((a + 0.3, y), low, Lettering(anchor="end"))
            pen.text((b - 0.3 + 1.0, y), high)
            return
    for place, text in limits:
        pen.text((place, y), text, Lettering(anchor="middle"))


def _hours(pen: Pen, hours: Hours, top: float) -> None:
    _ends(pen, top, hours.name, hours.note, hours.answer, hours.trace)
    y = top + 1.4
    wide = (_RIGHT - _LEFT) / 24
    for hour in range(24):
        at = (_LEFT + wide * hour, y)
        if hour not in hours.allowed:
            pen.hatch(at, (wide, 4.0))
    for hour in range(25):
        x = _LEFT + wide * hour
        tall = 4.0 if hour % 6 else 4.8
        pen.line((x, y), (x, y + tall), THIN if hour % 6 == 0 else HAIR)
        if hour % 6 == 0:
            pen.text((x, y + 7.6), f"{hour:02d}", Lettering(anchor="middle"))
    for edge in (y, y + 4.0):
        pen.line((_LEFT, edge), (_RIGHT, edge), HAIR)

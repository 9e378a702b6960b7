"""Limits of a formed collar: how much of each is used."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from teewright.report import letters
from teewright.report.pen import GREY, HAIR, INK, MID, Lettering, Pen, Stroke

WIDTH = 178.0
_BAR, _FULL, _END, _VALUE = 84.0, 118.0, 126.0, 129.0
_ROW, _HEAD = 9.0, 5.0


@dataclass(frozen=True, slots=True)
class Row:
    """One limit.

    Attributes:
        name: What is limited.
        note: What that means, in a few words.
        used: Share of the way from rest to the limit, above 1 if it is broken [-].
        value: What was found and what is allowed, in words.
        left: What is left, in words.
    """

    name: str
    note: str
    used: float
    value: str
    left: str


def height(rows: int) -> float:
    """Height of the figure [mm]."""
    return _HEAD + _ROW * rows


def bars(rows: Sequence[Row]) -> str:
    """A bar for each limit; hatched is what lies beyond it.

    Args:
        rows: One for each limit.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, height(len(rows)))
    pen.text((0.0, 3.0), "What must be kept")
    pen.text((_BAR, 3.0), "Used. Hatched: broken")
    pen.text((_VALUE, 3.0), "Found, of what is allowed")
    pen.text((WIDTH, 3.0), "Left", Lettering(anchor="end"))
    pen.line((0.0, _HEAD), (WIDTH, _HEAD), MID)
    for k, row in enumerate(rows):
        top = _HEAD + _ROW * k
        _row(pen, row, top)
        pen.line((0.0, top + _ROW), (WIDTH, top + _ROW), Stroke(0.13, GREY))
    return pen.svg()


def _row(pen: Pen, row: Row, top: float) -> None:
    pen.text((0.0, top + 4.0), row.name, Lettering(9.5, 600))
    pen.text((0.0, top + 7.6), letters.clip(row.note, _BAR - 2.0, 8.0))
    pen.text((_VALUE, top + 4.0), row.value, Lettering(9.5, 600))
    pen.text((WIDTH, top + 4.0), row.left, Lettering(9.5, 600, "end"))
    low, tall = top + 2.0, 4.0
    pen.hatch((_FULL, low), (_END - _FULL, tall), step=1.1)
    if math.isfinite(row.used) and row.used > 0.0:
        wide = min(row.used * (_FULL - _BAR), _END - _BAR)
        pen.rect((_BAR, low + 1.0), (wide, tall - 2.0), None, INK)
    for y in (low, low + tall):
        pen.line((_BAR, y), (_END, y), HAIR)
    pen.line((_BAR, low), (_BAR, low + tall), HAIR)
    pen.line((_FULL, low - 0.8), (_FULL, low + tall + 0.8), MID)

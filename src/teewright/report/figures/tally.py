"""All connections of a job as marks, grouped by what happens to them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from teewright.report import letters
from teewright.report.figures import marks
from teewright.report.index import Decision
from teewright.report.pen import MID, Lettering, Pen

_PITCH = 4.1
_GAP = 5.0


@dataclass(frozen=True, slots=True)
class Group:
    """One group of the tally.

    Attributes:
        decision: Which mark.
        count: How many.
        title: Bold words under the marks, the count first.
        note: Plain words under the title.
    """

    decision: Decision
    count: int
    title: str
    note: str


def _widths(groups: Sequence[Group], rows: int) -> list[float]:
    out = []
    for group in groups:
        named = letters.width(group.title, 9.5, 700), letters.width(group.note, 8.5)
        out.append(max(math.ceil(group.count / rows) * _PITCH, *named))
    return out


def tally(groups: Sequence[Group], width: float = 178.0) -> str:
    """Marks in as few rows as fit, with the count written under each group.

    Args:
        groups: In the order in which they are drawn; those with none are left out.
        width: Of the figure [mm].

    Returns:
        SVG.
    """
    shown = [g for g in groups if g.count]
    rows = 1
    while rows < 12 and sum(_widths(shown, rows)) + _GAP * (len(shown) - 1) > width:
        rows += 1
    widths = _widths(shown, rows)
    spare = width - sum(widths)
    gap = min(spare / max(len(shown) - 1, 1), 9.0)
    foot = rows * _PITCH
    pen = Pen(width, foot + 11.0)
    x = 0.0
    for group, wide in zip(shown, widths, strict=True):
        across = math.ceil(group.count / rows)
        for k in range(group.count):
            centre = (x + 1.9 + (k % across) * _PITCH, 2.0 + (k // across) * _PITCH)
            marks.draw(pen, centre, group.decision, 0.92)
        pen.line((x, foot + 1.2), (x + across * _PITCH - 0.3, foot + 1.2), MID)
        pen.text((x, foot + 5.2), group.title, Lettering(9.5, 700))
        pen.text((x, foot + 9.2), group.note, Lettering(8.5))
        x += wide + gap
    return pen.svg()

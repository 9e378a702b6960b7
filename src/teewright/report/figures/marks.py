"""One mark for each decision, told apart by form alone."""

from teewright.report.index import Decision
from teewright.report.pen import INK, MID, PAPER, THIN, Pen, Point

RADIUS = 1.9
"""Radius of a mark at size 1 [mm]."""


def draw(pen: Pen, at: Point, decision: Decision, size: float = 1.0) -> None:
    """Draw the mark of a decision: disc, half disc, cross, ring with a dot, lozenges, ring."""
    x, y = at
    r = RADIUS * size
    if decision in {Decision.REFUSED, Decision.UNPLANNED}:
        made = decision is Decision.UNPLANNED
        pen.shape(((x, y - r), (x + r, y), (x, y + r), (x - r, y)), THIN, INK if made else PAPER)
        bar = MID.coloured(PAPER) if made else MID
        pen.line((x - r * 0.45, y), (x + r * 0.45, y), bar)
        return
    filled = INK if decision is Decision.SEAL else PAPER
    pen.circle(at, r, MID if decision is Decision.LEAVE else THIN, filled)
    if decision is Decision.READY:
        pen.half_disc(at, r)
    elif decision is Decision.CLOSE:
        c = r * 0.707
        pen.line((x - c, y - c), (x + c, y + c), MID)
        pen.line((x - c, y + c), (x + c, y - c), MID)
    elif decision is Decision.LOOK:
        pen.circle(at, r * 0.35, None, INK)


def mark(decision: Decision) -> str:
    """The mark alone, for a table cell of 4 mm by 5 mm."""
    pen = Pen(4.0, 5.0)
    draw(pen, (2.0, 2.45), decision, 0.8)
    return pen.svg()

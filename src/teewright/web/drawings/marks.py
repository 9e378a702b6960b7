"""One mark for each need, told apart by form alone."""

import math

from markupsafe import Markup

from teewright.assess.values import Need
from teewright.web.drawings.sketch import Point, Sketch, number

RADIUS = 6.5
"""Radius of a mark [px]."""
OUTLINES = {
    Need.SEAL: "bold2 pap",
    Need.MAKE_READY: "bold2 dash pap",
    Need.LOOK_AGAIN: "mid dot pap",
    Need.CLOSE_OFF: "mid pap",
    Need.LEAVE: "thin pap",
}
"""Outline of an opening by its need: heavy, dashed, dotted, crossed, hairline."""


def draw(sketch: Sketch, at: Point, need: Need, radius: float = RADIUS) -> None:
    """Draw the mark of a need: disc, half disc, cross, ring with a dot, ring."""
    x, y = at
    sketch.circle(at, radius, "ink" if need is Need.SEAL else "mid pap")
    if need is Need.MAKE_READY:
        left, right, r, level = (number(v) for v in (x - radius, x + radius, radius, y))
        sketch.curve(f"M{left} {level}A{r} {r} 0 0 0 {right} {level}Z", "ink")
    elif need is Need.CLOSE_OFF:
        c = radius * math.sqrt(0.5)
        sketch.line((x - c, y - c), (x + c, y + c), "mid")
        sketch.line((x - c, y + c), (x + c, y - c), "mid")
    elif need is Need.LOOK_AGAIN:
        sketch.circle(at, radius * 0.35, "ink")


def symbol(need: Need) -> Markup:
    """The mark without an element round it, in a square of 18 px."""
    sketch = Sketch()
    draw(sketch, (9.0, 9.0), need)
    return sketch.body()


def mark(need: Need) -> Markup:
    """The mark alone, beside its word."""
    head = '<svg class="mk" viewBox="0 0 18 18" width="18" height="18" aria-hidden="true">'
    return Markup(head) + symbol(need) + Markup("</svg>")

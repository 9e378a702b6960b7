"""An order nested on its roll: which piece lies where, and how much fabric it takes."""

import math
from collections.abc import Sequence

import numpy as np
from shapely import Polygon, box, get_parts, transform

from teewright.collar.lettering import FloatArray, Room, box_corners
from teewright.collar.nesting import Nest, Placement
from teewright.collar.values import Collar, Panel
from teewright.report import letters
from teewright.report.pen import HAIR, MID, THIN, Lettering, Pen, Point

SCALES = (5, 10, 20, 25, 50, 100)
"""Scales of the roll, each the number after `1 : `."""
_LEFT, _TOP, _FOOT, _GAP = 9.0, 2.0, 6.0, 4.0
_TALLEST, _PAGE = 80.0, 235.0
_SIZE, _PITCH, _ARROW = 8.0, 3.4, 4.6


def scale_for(nest: Nest, *, width: float = 178.0) -> int:
    """Largest scale at which the whole roll fits a page, in as many strips as it needs.

    Args:
        nest: The order on its roll.
        width: Of the figure [mm].

    Returns:
        The number after `1 : `.
    """
    for scale in SCALES:
        per = 1e3 / scale
        rows = math.ceil(nest.length * per / (width - _LEFT - 2.0))
        tall = nest.roll_width * per
        if tall <= _TALLEST and rows * (tall + _FOOT + _GAP) <= _PAGE:
            return scale
    return 200


def nest_figure(nest: Nest, collars: Sequence[Collar], *, width: float = 178.0) -> str:
    """The roll, unrolled to the right, in as many strips as it needs.

    Args:
        nest: The order on its roll.
        collars: The collars whose pieces were nested, for their names.
        width: Of the figure [mm].

    Returns:
        SVG at its own size, at the scale of `scale_for`.
    """
    per = 1e3 / scale_for(nest, width=width)
    names = {panel: collar.pattern for collar in reversed(collars) for panel in collar.panels}
    strip = (width - _LEFT - 2.0) / per
    count = max(1, int(-(-nest.length // strip)))
    tall = nest.roll_width * per
    pen = Pen(width, _TOP + count * (tall + _FOOT) + (count - 1) * _GAP)
    for k in range(count):
        top = _TOP + k * (tall + _FOOT + _GAP)
        _Strip(pen, nest, per, (k * strip, min((k + 1) * strip, nest.length)), top).draw(names)
    return pen.svg()


class _Strip:
    """A stretch of the roll on paper: along the roll to the right, across it downwards."""

    def __init__(
        self, pen: Pen, nest: Nest, per: float, part: tuple[float, float], top: float
    ) -> None:
        self.pen, self.nest, self.per = pen, nest, per
        self.start, self.end = part
        self.top, self.tall = top, nest.roll_width * per

    def q(self, across: float, along: float) -> Point:
        return _LEFT + (along - self.start) * self.per, self.top + across * self.per

    def _paper(self, laid: FloatArray) -> FloatArray:
        """Points of the roll, (across, along) each, on paper."""
        return np.array([self.q(x, y) for x, y in laid])

    def draw(self, names: dict[Panel, str]) -> None:
        """The pieces, the edges of the fabric, and metres along the roll."""
        for place in self.nest.placements:
            self._piece(place, names.get(place.panel, ""))
        a, b = self.q(0.0, self.start), self.q(self.nest.roll_width, self.end)
        for y in (a[1], b[1]):
            self.pen.line((a[0], y), (b[0], y), HAIR)
        for x, at in ((a[0], self.start), (b[0], self.end)):
            self.pen.line((x, a[1]), (x, b[1]), MID if at in {0.0, self.nest.length} else HAIR)
        self.pen.upright(a[0] - 2.0, a[1], b[1], f"{self.nest.roll_width * 1e3:.0f}")
        self._metres(b)

    def _metres(self, low: Point) -> None:
        """Tenths, halves or whole metres, and the end."""
        step = next((s for s in (0.1, 0.2, 0.5, 1.0, 2.0) if s * self.per >= 12.0), 5.0)
        marks = [step * k for k in range(int(self.end / step + 1e-9) + 1)]
        shown = [at for at in marks if at >= self.start - 1e-9]
        last = f"{self.end:.2f} m"
        room = letters.width(last, _SIZE, 600) + 6.0
        for at in shown:
            x = self.q(0.0, at)[0]
            self.pen.line((x, low[1]), (x, low[1] + 1.2), HAIR)
            if low[0] - x > room:
                style = Lettering(_SIZE, anchor="start" if at == self.start else "middle")
                self.pen.text((x, low[1] + 4.4), f"{at:.1f}", style)
        self.pen.text((low[0], low[1] + 4.4), last, Lettering(_SIZE, 600, "end"))

    def _piece(self, place: Placement, pattern: str) -> None:
        here = box(-1.0, self.start, self.nest.roll_width + 1.0, self.end)
        shape = Polygon(place.outline(), [place.opening()] if place.panel.hole else [])
        if not shape.intersects(here):
            return
        parts = [p for p in get_parts(shape.intersection(here)) if isinstance(p, Polygon)]
        for part in parts:
            self._outline(part)
        if parts:
            self._name(max(parts, key=lambda part: part.area), pattern, place)

    def _outline(self, part: Polygon) -> None:
        for ring in (part.exterior, *part.interiors):
            line = ring.simplify(0.03 / self.per)
            self.pen.shape([self.q(x, y) for x, y in line.coords][:-1], THIN)

    def _name(self, part: Polygon, pattern: str, place: Placement) -> None:
        """As much of the name as fits, over an arrow that points as the piece's own does."""
        room = Room(transform(part, self._paper), step=0.2)
        name = place.panel.name
        for lines in ([f"{pattern} {name}"], [pattern, name], [pattern], []):
            wide = max([_ARROW, *(letters.width(line, _SIZE) for line in lines)])
            tall = _PITCH * (len(lines) + 1)
            corners = box_corners(wide + 0.8, tall, 0.0)
            at = room.middle(corners)
            if at:
                self._write(lines, (at[0], at[1] - tall / 2.0), turned=place.rotation > 0.0)
                return

    def _write(self, lines: Sequence[str], top: Point, *, turned: bool) -> None:
        x, y = top
        for row, line in enumerate(lines):
            foot = (x, y + row * _PITCH + 2.6)
            self.pen.text(foot, line, Lettering(_SIZE, anchor="middle"))
        y += len(lines) * _PITCH + 1.6
        ends = ((x - _ARROW / 2.0, y), (x + _ARROW / 2.0, y))
        self.pen.arrow(*(ends[::-1] if turned else ends), THIN)

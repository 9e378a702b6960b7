"""Long section of a run: ground, groundwater, main, and a mark at each connection."""

import math
from itertools import pairwise

from teewright.report import letters
from teewright.report.figures import marks
from teewright.report.figures.run import (
    START,
    WIDTH,
    EndLevels,
    Opening,
    RunDrawing,
    height_range,
    place,
    scales,
)
from teewright.report.pen import CHAIN, HAIR, INK, MID, PAPER, THIN, Lettering, Pen, Point
from teewright.report.spread import spread, within

TOP = 5.0
"""Paper above the highest level, for the names of the nodes [mm]."""


def height(drawing: RunDrawing) -> float:
    """Height of the section on the sheet, with the words under the main [mm]."""
    low, high = height_range(drawing)
    return TOP + (high - low) * 1e3 / scales(drawing).up + 6.0


def draw(pen: Pen, drawing: RunDrawing, top: float) -> None:
    """Draw the long section; nothing where the levels are not known."""
    if drawing.levels is None:
        return
    _Section(pen, drawing, top).draw()


class _Section:
    """The section while it is drawn: a pen with the section's own coordinates."""

    def __init__(self, pen: Pen, drawing: RunDrawing, top: float) -> None:
        assert drawing.levels is not None
        self.pen, self.drawing = pen, drawing
        self.up, self.down = drawing.levels
        self.low, self.high = height_range(drawing)
        self.top, self.scale = top + TOP, 1e3 / scales(drawing).up
        self.bore = drawing.diameter or 0.3

    def y(self, level: float) -> float:
        return self.top + (self.high - level) * self.scale

    def at(self, chainage: float, level: float) -> Point:
        return place(self.drawing, chainage), self.y(level)

    def between(self, up: float, down: float, chainage: float) -> float:
        return up + (down - up) * chainage / self.drawing.length

    def invert(self, chainage: float) -> float:
        return self.between(self.up.invert, self.down.invert, chainage)

    def drawn(self, up: float, down: float) -> tuple[Point, Point]:
        """Both ends on paper of a line that is straight from node to node."""
        start, end = self.drawing.start, self.drawing.end
        return self.at(start, self.between(up, down, start)), self.at(
            end, self.between(up, down, end)
        )

    def draw(self) -> None:
        self._heights()
        self._ground()
        self._water()
        self._main()
        self._water_name()
        self._manholes()
        self._marks()

    def _heights(self) -> None:
        step = next(s for s in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 50.0) if s * self.scale >= 6.0)
        x = START - 8.0
        level = math.ceil(self.low / step) * step
        while level <= self.high:
            self.pen.line((x, self.y(level)), (x + 2.0, self.y(level)), HAIR)
            text = f"{level:.{0 if step >= 1.0 else 1}f}"
            self.pen.text((x - 1.0, self.y(level) + 1.0), text, Lettering(anchor="end"))
            level += step
        middle = (self.y(self.low) + self.y(self.high)) / 2
        style = Lettering(anchor="middle", turn=-90.0)
        self.pen.text((3.0, middle), "m above datum", style)

    def _ground(self) -> None:
        if self.up.ground is None or self.down.ground is None:
            return
        a, b = self.drawn(self.up.ground, self.down.ground)
        slope = (b[1] - a[1]) / ((b[0] - a[0]) or 1.0)
        self.pen.line((a[0] - 6.0, a[1] - 6.0 * slope), (b[0] + 6.0, b[1] + 6.0 * slope), MID)
        x = a[0] + 5.0
        while x < b[0] - 3.0:
            y = a[1] + slope * (x - a[0])
            self.pen.line((x, y), (x - 1.6, y + 2.2), HAIR)
            x += 4.2
        x = a[0] + 0.4 * (b[0] - a[0])
        self.pen.text((x, a[1] + slope * (x - a[0]) - 1.6), "ground")

    def _water(self) -> None:
        if self.up.water is None or self.down.water is None:
            return
        a, b = self.drawn(self.up.water, self.down.water)
        self.pen.line((a[0] - 6.0, a[1]), a, CHAIN)
        self.pen.line(a, b, CHAIN)
        self.pen.line(b, (b[0] + 6.0, b[1]), CHAIN)

    def _water_name(self) -> None:
        """Name the water table over its line; under it where it lies below the main."""
        if self.up.water is None or self.down.water is None:
            return
        a, b = self.drawn(self.up.water, self.down.water)
        x = self._free(a[0], b[0])
        share = min(max((x - a[0]) / ((b[0] - a[0]) or 1.0), 0.0), 1.0)
        y = a[1] + (b[1] - a[1]) * share
        chainage = self.drawing.start + self.drawing.stretch * share
        self.pen.line((x - 3.1, y + 0.9), (x - 0.5, y + 0.9), HAIR)
        self.pen.line((x - 2.5, y + 1.6), (x - 1.1, y + 1.6), HAIR)
        below = y - self.y(self.invert(chainage))
        if below < 0.0 or below > 4.0:
            self.pen.shape(((x - 3.6, y - 3.0), (x, y - 3.0), (x - 1.8, y)), THIN, PAPER)
        foot = y + 3.2 if 0.0 <= below <= 4.0 else y - 1.2
        self.pen.text((x + 1.2, foot), "groundwater", Lettering(plate=True))

    def _free(self, left: float, right: float) -> float:
        """Where the name of the water table runs into no mark, from the right."""
        marks_at = [across for _, _, across in self._placed()]
        wide = letters.width("groundwater", 8.0)
        x = right - 4.0 - wide
        while x > left + 6.0:
            if all(across < x - 7.0 or across > x + wide + 4.0 for across in marks_at):
                return x
            x -= 2.0
        return right + 8.0 if right + 12.0 + wide < WIDTH else left + 6.0

    def _main(self) -> None:
        top = self.drawn(self.up.invert + self.bore, self.down.invert + self.bore)
        foot = self.drawn(self.up.invert, self.down.invert)
        self.pen.shape((*top, foot[1], foot[0]), MID, PAPER)

    def _manholes(self) -> None:
        length = self.drawing.length
        if self.drawing.start <= 0.0:
            self._manhole(0.0, self.up, self.drawing.upstream)
        else:
            self._break(self.drawing.start)
        if self.drawing.end >= length:
            self._manhole(length, self.down, self.drawing.downstream)
        else:
            self._break(self.drawing.end)

    def _manhole(self, chainage: float, end: EndLevels, name: str) -> None:
        x = place(self.drawing, chainage)
        top = self.y(end.ground if end.ground is not None else self.high)
        foot = self.y(end.invert) + 1.2
        outside = x - 5.2 if chainage == 0.0 else x
        stroke = MID if end.ground is not None else MID.dashed("2 1")
        self.pen.rect((outside, top), (5.2, foot - top), stroke, PAPER)
        label = letters.shorten(name, 34.0, 10.0, 600)
        self.pen.text((outside + 2.6, top - 1.6), label, Lettering(10.0, 600, "middle"))
        text = f"invert {end.invert:.2f}"
        side = (x + 1.5, "start") if chainage == 0.0 else (x - 1.5, "end")
        self.pen.text((side[0], foot + 2.6), text, Lettering(anchor=side[1]))

    def _break(self, chainage: float) -> None:
        """The run goes on: a break line through the main."""
        x, middle = self.at(chainage, self.invert(chainage) + self.bore / 2)
        zigzag = ((x, middle - 6.0), (x, middle - 1.6), (x - 1.6, middle - 0.6))
        rest = ((x + 1.6, middle + 0.6), (x, middle + 1.6), (x, middle + 4.0))
        self.pen.path((*zigzag, *rest), THIN)

    def _marks(self) -> None:
        for opening, x, across in self._placed():
            foot = self.y(self.invert(opening.chainage) + self.bore)
            rise = foot - (6.6 if opening.shown else 4.6)
            self.pen.path(((x, foot), (x, foot - 1.4), (across, rise + 1.8), (across, rise)), THIN)
            marks.draw(self.pen, (across, rise), opening.decision, 0.8 if opening.shown else 0.4)
            if opening.shown:
                style = Lettering(9.0, 600, "middle", INK, plate=True)
                self.pen.text((across, rise - 2.4), opening.label, style)

    def _placed(self) -> list[tuple[Opening, float, float]]:
        """Each opening, where it is, and where its mark stands so that none hides another."""
        openings = self.drawing.openings
        sizes = [max(letters.width(o.label, 9.0, 600), 3.4) if o.shown else 1.6 for o in openings]
        gaps = [(a + b) / 2 + 0.9 for a, b in pairwise(sizes)]
        wanted = [place(self.drawing, o.chainage) for o in openings]
        low, high = START + 2.5, place(self.drawing, self.drawing.end) - 2.5
        places = within(spread(wanted, gaps), gaps, low, high)
        return list(zip(openings, wanted, places, strict=True))

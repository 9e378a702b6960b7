"""Long section of a run for a page: ground, groundwater, main, a mark at each connection."""

import math
from collections.abc import Callable
from itertools import pairwise

from teewright.network.conditions import NodeLevels
from teewright.report import letters
from teewright.report.spread import spread, within
from teewright.web.drawings import marks
from teewright.web.drawings.run_view import Opening, RunView
from teewright.web.drawings.sketch import Point, Sketch, wide
from teewright.web.texts import text

LEFT, RIGHT = 76.0, 34.0
"""Where the upstream node stands, and how far from the right the downstream one does [px]."""
TOP = 30.0
"""Over the highest level, for the names of the nodes [px]."""
FOOT = 30.0
"""Under the lowest level, for the names of the inverts [px]."""
_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 50.0)
_CHAMBER = 22.0
_BESIDE, _OVER_SHORT, _OVER = 19.0, 84.0, 124.0
"""From a mark to the dimension beside it; room for its number, and for its words too [px]."""


class Section:
    """The section while it is drawn.

    Args:
        sketch: What it is drawn on.
        view: The run, with its levels known.
        width: Of the drawing [px].
        tall: Height of the levels that are shown [px].
    """

    def __init__(self, sketch: Sketch, view: RunView, width: float, tall: float) -> None:
        self.sketch, self.view, self.width, self.tall = sketch, view, width, tall
        self.inverts = view.levels or (0.0, 0.0)
        self.bore = view.bore or 0.3
        self.low, self.high = self._range()
        self.scale = tall / (self.high - self.low)
        self.across = place(view, width)

    @property
    def height(self) -> float:
        """Of the section [px]."""
        return TOP + self.tall + FOOT

    def draw(self) -> None:
        """Everything but the connections."""
        self._heights()
        self._ground()
        self._water()
        self._main()
        self._chambers()

    def mark(self, opening: Opening, at: float, *, named: bool, room: tuple[float, float]) -> None:
        """The mark of one connection.

        Args:
            opening: The connection.
            at: Where its mark stands [px].
            named: Whether there is room for its name.
            room: Left and right of it, to the marks beside it [px].
        """
        x, crown = self.across(opening.chainage), self._crown(opening.chainage)
        self.sketch.path(((x, crown), (x, crown - 5.0), (at, crown - 13.0), (at, crown - 17.0)))
        marks.draw(self.sketch, (at, crown - 24.0), opening.need)
        look = "halo b m" if named else "halo b m only"
        self.sketch.text((at, crown - 37.0), opening.label, look)
        self._water_over(opening, at, room)

    def places(self) -> list[tuple[float, bool]]:
        """Where the mark of each connection stands, and whether its name has room."""
        openings = self.view.openings
        wanted = [self.across(o.chainage) for o in openings]
        widths = [max(wide(o.label, 15.0, 700), 15.0) + 5.0 for o in openings]
        gaps = [(a + b) / 2.0 for a, b in pairwise(widths)]
        low, high = LEFT + 20.0, self.width - RIGHT - 20.0
        named = sum(gaps) <= high - low
        if not named:
            gaps = [14.0] * len(gaps)
        return [(x, named) for x in within(spread(wanted, gaps), gaps, low, high)]

    def _range(self) -> tuple[float, float]:
        ends = (self.view.upstream, self.view.downstream)
        grounds = [end.ground for end in ends if end.ground is not None]
        waters = [end.groundwater for end in ends if end.groundwater is not None]
        low = min(*self.inverts, *waters) - 0.1
        return low, max(*self.inverts, *grounds, *waters, max(self.inverts) + self.bore + 1.2)

    def _y(self, level: float) -> float:
        return TOP + (self.high - level) * self.scale

    def _at(self, up: float, down: float, chainage: float) -> float:
        """Height of a line from node to node at a chainage [px]."""
        return self._y(up + (down - up) * chainage / self.view.length)

    def _crown(self, chainage: float) -> float:
        return self._at(self.inverts[0] + self.bore, self.inverts[1] + self.bore, chainage)

    def _heights(self) -> None:
        one = self.view.one
        step = next((s for s in _STEPS if s * one * self.scale >= 34.0), _STEPS[-1])
        level = math.ceil(self.low / one / step) * step
        while level * one <= self.high:
            y, said = self._y(level * one), f"{level:.{0 if step >= 1.0 else 1}f}"
            self.sketch.line((LEFT - 32.0, y), (LEFT - 27.0, y), "tick")
            self.sketch.text((LEFT - 35.0, y + 5.0), said, "n e s")
            level += step
        name = text("survey.run.datum", unit=self.view.unit)
        self.sketch.text((9.0, TOP + self.tall / 2.0), name, "n s m", turn=-90.0)

    def _pair(self, kind: Callable[[NodeLevels], float | None]) -> tuple[float, float] | None:
        up, down = kind(self.view.upstream), kind(self.view.downstream)
        return None if up is None or down is None else (up, down)

    def _ground(self) -> None:
        ends = self._pair(lambda node: node.ground)
        if ends is None:
            return
        left, right = LEFT - 26.0, self.width - 8.0
        a, b = self._y(ends[0]), self._y(ends[1])
        self.sketch.line((left, a), (LEFT, a), "mid")
        self.sketch.line((LEFT, a), (self.width - RIGHT, b), "mid")
        self.sketch.line((self.width - RIGHT, b), (right, b), "mid")
        x = LEFT + 26.0
        while x < self.width - RIGHT - 14.0:
            y = a + (b - a) * (x - LEFT) / (self.width - RIGHT - LEFT)
            self.sketch.line((x, y), (x - 6.0, y + 7.0), "tick")
            x += 16.3
        street = self.view.declared.street
        name = text("survey.run.ground_of", street=street) if street else text("survey.run.ground")
        middle = self.view.length * 0.3
        self.sketch.text((self.across(middle), self._at(*ends, middle) - 6.0), name, "n s")

    def _water(self) -> None:
        ends = self._pair(lambda node: node.groundwater)
        if ends is None:
            return
        a, b = self._y(ends[0]), self._y(ends[1])
        right = self.width - RIGHT
        self.sketch.path(
            ((LEFT - 26.0, a), (LEFT, a), (right, b), (self.width - 8.0, b)), "mid chain"
        )
        source = self.view.upstream.groundwater_source or self.view.downstream.groundwater_source
        name = text("survey.run.groundwater") + (f", {source}" if source else "")
        name = letters.clip(name, (right - LEFT) * 0.42 * letters.POINT, 13.0)
        x = right - 30.0 - wide(name)
        y = a + (b - a) * (x - LEFT) / (right - LEFT)
        self.sketch.curve(f"M{x - 21:.1f} {y - 11:.1f}h14l-7 11z", "mid pap")
        self.sketch.line((x - 20.0, y + 5.0), (x - 8.0, y + 5.0))
        self.sketch.line((x - 17.0, y + 8.0), (x - 11.0, y + 8.0))
        self.sketch.text((x, y - 6.0), name, "n halo")

    def _main(self) -> None:
        ends = (0.0, self.view.length)
        top = [(self.across(c), self._crown(c)) for c in ends]
        foot = [(self.across(c), self._at(*self.inverts, c)) for c in reversed(ends)]
        self.sketch.path((*top, *foot), "mid pap", close=True)

    def _chambers(self) -> None:
        view, half = self.view, _CHAMBER / 2.0
        for x, end, invert in (
            (LEFT, view.upstream, self.inverts[0]),
            (self.width - RIGHT, view.downstream, self.inverts[1]),
        ):
            top = self._y(end.ground if end.ground is not None else self.high)
            foot = self._y(invert) + 5.0
            box = "mid pap" if end.ground is not None else "mid dash pap"
            self.sketch.rect((x - half, top), (_CHAMBER, foot - top), box)
            self.sketch.text((x, top - 9.0), letters.shorten(end.node, 30.0, 15.0, 700), "b m")

    def name_inverts(self) -> None:
        """The levels of the inverts, over whatever runs through their place."""
        beside = _CHAMBER / 2.0 + 6.0
        for x, invert, look in (
            (LEFT + beside, self.inverts[0], "n s halo"),
            (self.width - RIGHT - beside, self.inverts[1], "n s halo e"),
        ):
            said = text("survey.run.invert", level=f"{invert / self.view.one:.2f}")
            self.sketch.text((x, self._y(invert) + 21.0), said, look)
        middle = self.view.length * 0.5
        foot = self._at(*self.inverts, middle) + 21.0
        flow(self.sketch, (self.across(middle) - 40.0, foot))

    def _water_over(self, opening: Opening, at: float, room: tuple[float, float]) -> None:
        """How much water stands over a connection, once it is chosen."""
        ends = self._pair(lambda node: node.groundwater)
        if ends is None or not opening.head:
            return
        top, foot = self._at(*ends, opening.chainage), self._crown(opening.chainage)
        right = room[1] >= min(room[0], _OVER)
        x = at + (_BESIDE if right else -_BESIDE)
        if foot - top < 22.0 or max(room) < _BESIDE + 12.0:
            return
        spare = room[1] if right else room[0]
        side, anchor = (8.0, "") if right else (-8.0, " e")
        with self.sketch.group("g", class_="only"):
            self.sketch.line((x, top), (x, foot))
            self.sketch.curve(f"M{x:.1f} {top:.1f}l-3 8h6z", "ink")
            self.sketch.curve(f"M{x:.1f} {foot:.1f}l-3 -8h6z", "ink")
            y = (top + foot) / 2.0
            head = f"{opening.head / self.view.one:.2f} {self.view.unit}"
            if spare >= _OVER_SHORT:
                self.sketch.text((x + side, y), head, f"n halo b{anchor}")
            if spare >= _OVER:
                self.sketch.text((x + side, y + 16.0), text("survey.run.over"), f"n halo s{anchor}")


def flow(sketch: Sketch, at: Point) -> None:
    """Which way the water flows: to the right."""
    words = text("survey.run.flow")
    x, y = at[0] + wide(words) + 8.0, at[1] - 4.0
    sketch.text(at, words, "n s halo")
    sketch.line((x, y), (x + 50.0, y))
    sketch.curve(f"M{x + 58:.1f} {y:.1f}l-9 -3v6z", "ink")


def place(view: RunView, width: float) -> Callable[[float], float]:
    """Where a chainage stands in a drawing of that width [px]."""
    scale = (width - LEFT - RIGHT) / view.length

    def across(chainage: float) -> float:
        return LEFT + min(max(chainage, -0.5), view.length + 0.5) * scale

    return across

"""A run on a phone: the main unrolled, chainage downwards, and its list in one."""

from itertools import pairwise

from markupsafe import Markup

from teewright.report import letters
from teewright.report.spread import spread, within
from teewright.web.drawings import marks
from teewright.web.drawings.marks import OUTLINES
from teewright.web.drawings.run_view import Opening, RunView
from teewright.web.drawings.sketch import Sketch
from teewright.web.drawings.true_shape import clock_at
from teewright.web.texts import text

WIDTH = 358.0
"""Of the drawing [px]."""
LEFT, ROUND = 50.0, 116.0
"""Left edge and width of the strip [px]."""
BLOCK = 62.0
"""Height that one connection takes in the list [px]."""
TOP = 46.0
_NAMES = LEFT + ROUND + 18.0


def draw(view: RunView, look: str) -> Markup:
    """The drawing.

    Args:
        view: The run.
        look: Class that says for which width of the page it is meant.
    """
    return _Upright(view).draw(look)


class _Upright:
    def __init__(self, view: RunView) -> None:
        self.view, self.sketch = view, Sketch()
        self.tall = max(12.0 * view.length, BLOCK * len(view.openings), 160.0)
        if len(view.openings) * BLOCK < 1200.0:
            self.tall = min(self.tall, max(1200.0, BLOCK * len(view.openings)))

    def draw(self, look: str) -> Markup:
        self._strip()
        self._spots()
        places = self._places()
        for opening, y in zip(self.view.openings, places, strict=True):
            with self.sketch.group(
                "a", class_="c", href=f"#c-{opening.label}", data_id=opening.id, tabindex="-1"
            ):
                self._opening(opening, y)
        label = text("survey.run.drawing", run=self.view.id, n=len(self.view.openings))
        return self.sketch.svg((WIDTH, TOP + self.tall + 40.0), label, look)

    def _y(self, chainage: float) -> float:
        return TOP + min(max(chainage / self.view.length, 0.0), 1.0) * self.tall

    def _x(self, clock: float | None) -> float:
        return LEFT + clock_at(clock, ROUND)

    def _places(self) -> list[float]:
        wanted = [self._y(o.chainage) for o in self.view.openings]
        gaps = [BLOCK for _ in pairwise(wanted)]
        return within(spread(wanted, gaps), gaps, TOP + 14.0, TOP + self.tall - 30.0)

    def _strip(self) -> None:
        sketch, foot = self.sketch, TOP + self.tall
        sketch.rect((LEFT, TOP), (ROUND, self.tall), "mid pap")
        sketch.text((LEFT - 8.0, 18.0), text("survey.run.clock_short"), "n s e")
        for share, name in ((0.0, "6"), (0.25, "9"), (0.5, "12"), (0.75, "3"), (1.0, "6")):
            x = LEFT + ROUND * share
            sketch.text((x, 18.0), name, "n s m")
            if 0.0 < share < 1.0:
                sketch.line((x, TOP), (x, foot), "hair" if share == 0.5 else "hair dash")
        for y, end in ((TOP - 6.0, self.view.upstream), (foot + 18.0, self.view.downstream)):
            said = end.node
            if end.invert is not None:
                said += ", " + text("survey.run.invert", level=f"{end.invert / self.view.one:.2f}")
            sketch.text((_NAMES, y), letters.shorten(said, 160.0 * letters.POINT, 13.0), "n b")
        one = self.view.one
        step = next(s for s in (5.0, 10.0, 20.0, 50.0, 100.0, 1e9) if self._long(s * one) >= 34.0)
        for k in range(int(self.view.length / one / step) + 1):
            y = self._y(k * step * one)
            sketch.line((LEFT - 6.0, y), (LEFT, y), "tick")
            said = f"{k * step:.0f}" if k else f"0 {self.view.unit}"
            sketch.text((LEFT - 10.0, y + 5.0), said, "n s e")

    def _long(self, step: float) -> float:
        return step / self.view.length * self.tall

    def _spots(self) -> None:
        for spot in self.view.spots:
            y = self._y(spot.chainage)
            if spot.clock is None:
                self.sketch.line((LEFT + 6.0, y), (LEFT + ROUND - 6.0, y), "q dash")
            else:
                self.sketch.circle((self._x(spot.clock), y), 4.0, "q")

    def _opening(self, opening: Opening, y: float) -> None:
        sketch, own = self.sketch, self._y(opening.chainage)
        right = LEFT + ROUND
        sketch.rect((LEFT, y - 14.0), (WIDTH - LEFT, BLOCK - 6.0), "touch")
        x = self._x(opening.clock)
        sketch.path(((x, own), (right, own), (right + 9.0, y), (_NAMES, y)), "tick lead")
        size = opening.diameter or 0.1
        radii = max(size / self.view.girth * ROUND / 2.0, 5.0), 3.5
        for chainage, clock in opening.ghosts:
            sketch.ellipse((self._x(clock), self._y(chainage)), radii, "ghost dash")
        sketch.ellipse((x, own), radii, OUTLINES[opening.need])
        marks.draw(sketch, (_NAMES + 7.0, y), opening.need)
        sketch.text((_NAMES + 20.0, y + 5.0), opening.label, "b")
        sketch.text((_NAMES + 20.0 + 30.0, y + 5.0), opening.words[0], "b")
        room = (WIDTH - _NAMES - 20.0) * letters.POINT
        reason = letters.clip(opening.reason, room, 13.0)
        sketch.text((_NAMES + 20.0, y + 22.0), reason, "n")
        sketch.text((_NAMES + 20.0, y + 38.0), ", ".join(opening.words[1:]), "n s")

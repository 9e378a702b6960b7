"""Section, unrolled main and true shapes of a run, side by side with its list."""

from markupsafe import Markup

from teewright.report import letters
from teewright.report.spread import spread, within
from teewright.web.drawings import marks
from teewright.web.drawings.marks import OUTLINES
from teewright.web.drawings.run_section import LEFT, RIGHT, Section, flow, place
from teewright.web.drawings.run_view import Opening, RunView, Spot
from teewright.web.drawings.sketch import Point, Sketch, wide
from teewright.web.drawings.true_shape import clock_at, shape
from teewright.web.texts import text

WINDOW, WINDOW_MOST = 84.0, 112.0
"""Least and greatest width of a window with a true shape [px]."""
GAP = 11.0
"""Between two windows [px]."""
LEADERS = 34.0
"""Height of the leaders from the strip to the windows [px]."""
LINES = 17.0
"""From one line under a window to the next [px]."""
ROUND = 0.32
"""Round the main, and of true shapes: pixels for one metre and pixel of the width, where it fits.
"""
_LEAST, _MOST = 0.16, 0.27
"""Height of the strip, as a share of the width."""
_DEEP = 0.185
"""Height of the levels of the section, likewise."""


def per_metre(view: RunView, width: float) -> float:
    """Scale round the main and of true shapes in a drawing of that width [px/m]."""
    tall = min(max(view.girth * ROUND, _LEAST), _MOST) * width
    return tall / view.girth


def draw(view: RunView, width: float, look: str) -> Markup:
    """The drawing.

    Args:
        view: The run.
        width: Of the drawing [px].
        look: Class that says for which width of the page it is meant.
    """
    return _Wide(view, width).draw(look)


class _Wide:
    def __init__(self, view: RunView, width: float) -> None:
        self.view, self.width = view, width
        self.sketch = Sketch()
        self.section = Section(self.sketch, view, width, _DEEP * width) if view.levels else None
        self.top = (self.section.height if self.section else 44.0) + 22.0
        self.scale = per_metre(view, width)
        self.tall = view.girth * self.scale
        self.clip = f"strip-{width:.0f}"
        self.across = place(view, width)
        fits = (width - LEFT + 12.0 + GAP) / max(len(view.openings), 1) - GAP
        self.windows = len(view.openings) > 0 and fits >= WINDOW
        self.window = min(fits, WINDOW_MOST)

    def draw(self, look: str) -> Markup:
        if self.section:
            self.section.draw()
        self._net()
        self._spots()
        columns = self._columns()
        marks_at = self.section.places() if self.section else [(0.0, False)] * len(columns)
        names = self._names()
        for k, opening in enumerate(self.view.openings):
            with self.sketch.group(
                "a", class_="c", href=f"#c-{opening.label}", data_id=opening.id, tabindex="-1"
            ):
                self._thread(opening, columns[k])
                if self.section:
                    at, named = marks_at[k]
                    self.section.mark(opening, at, named=named, room=self._room(marks_at, k))
                self._opening(opening, named=names[k])
                if self.windows:
                    self._window(opening, columns[k])
        if self.section:
            self.section.name_inverts()
        if self.windows:
            self._window_names()
        label = text("survey.run.drawing", run=self.view.id, n=len(self.view.openings))
        return self.sketch.svg((self.width, self._height()), label, look)

    def _room(self, places: list[tuple[float, bool]], k: int) -> tuple[float, float]:
        """Left and right of a mark of the section, to the marks beside it or the end [px]."""
        before = places[k - 1][0] if k else LEFT
        after = places[k + 1][0] if k + 1 < len(places) else self.width - RIGHT
        return places[k][0] - before, after - places[k][0]

    def _height(self) -> float:
        foot = self.top + self.tall
        return foot + (LEADERS + self.tall + 5.0 + 4.0 * LINES if self.windows else 10.0)

    def _net(self) -> None:
        right, sketch = self.width - RIGHT, self.sketch
        sketch.rect((LEFT, self.top), (right - LEFT, self.tall), "mid pap")
        with sketch.group("clipPath", id=self.clip):
            sketch.rect((LEFT - 40.0, self.top), (right - LEFT + 80.0, self.tall), "clip")
        for share, name in ((0.0, "6"), (0.25, "9"), (0.5, "12"), (0.75, "3"), (1.0, "6")):
            y = self.top + self.tall * share
            sketch.text((LEFT - 12.0, y + 5.0), name, "n e s")
            if 0.0 < share < 1.0:
                sketch.line((LEFT, y), (right, y), "hair" if share == 0.5 else "hair dash")
        sketch.text(
            (14.0, self.top + self.tall / 2.0), text("survey.run.clock"), "n s m", turn=-90.0
        )
        self._metres()
        if self.section is None:
            for x, end, anchor in (
                (LEFT, self.view.upstream.node, ""),
                (right, self.view.downstream.node, " e"),
            ):
                sketch.text((x, 20.0), end, f"b{anchor}")
            flow(sketch, (LEFT, 40.0))

    def _metres(self) -> None:
        """Ticks along the strip, a long one with its number where there is room."""
        one = self.view.one
        per = one * (self.width - LEFT - RIGHT) / self.view.length
        step = next(s for s in (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 1e9) if s * per >= 11.0)
        for k in range(1, int(self.view.length / one / step) + 1):
            x = self.across(k * step * one)
            self.sketch.line((x, self.top), (x, self.top + 4.0), "tick")
            self.sketch.line((x, self.top + self.tall - 4.0), (x, self.top + self.tall), "tick")
            if k % 5 == 0 and self.width - RIGHT - x > 62.0:
                self.sketch.text((x, self.top - 5.0), f"{k * step:.0f}", "n s m")
        end = f"{self.view.length / one:.1f} {self.view.unit}"
        self.sketch.text((self.width - RIGHT, self.top - 5.0), end, "n s e")

    def _spots(self) -> None:
        taken: list[tuple[float, float]] = [
            (self.across(o.chainage), self.top + clock_at(o.clock, self.tall))
            for o in self.view.openings
        ]
        for spot in self.view.spots:
            self._spot(spot, taken)

    def _spot(self, spot: Spot, taken: list[tuple[float, float]]) -> None:
        x = self.across(spot.chainage)
        y = self.top + clock_at(spot.clock, self.tall)
        if spot.clock is None:
            self.sketch.line((x, self.top + 6.0), (x, self.top + self.tall - 6.0), "q dash")
            y = self.top + self.tall - 16.0
        else:
            self.sketch.circle((x, y), 4.0, "q")
        long = wide(spot.word)
        left = x + 8.0 + long > self.width - RIGHT
        start = x - 8.0 - long if left else x + 8.0
        if all(abs(b - y) > 15.0 or a < start - 34.0 or a > start + long + 8.0 for a, b in taken):
            self.sketch.text((start, y + 5.0), spot.word, "n s halo")
            taken.append((start + long / 2.0, y))

    def _columns(self) -> list[float]:
        wanted = [self.across(o.chainage) for o in self.view.openings]
        if not self.windows:
            return wanted
        gaps = [self.window + GAP] * (len(wanted) - 1)
        low, high = LEFT - 12.0 + self.window / 2.0, self.width - self.window / 2.0
        return within(spread(wanted, gaps), gaps, low, high)

    def _names(self) -> list[bool]:
        """Whether each opening has room for its name beside it on the strip."""
        points = [
            (self.across(o.chainage), clock_at(o.clock, self.tall)) for o in self.view.openings
        ]
        return [
            not any(
                j != k and -4.0 < b[0] - a[0] < 34.0 and abs(b[1] - a[1]) < 24.0
                for j, b in enumerate(points)
            )
            for k, a in enumerate(points)
        ]

    def _thread(self, opening: Opening, column: float) -> None:
        """The line that ties the three drawings together, once the connection is chosen."""
        x, foot = self.across(opening.chainage), self.top + self.tall
        if self.section:
            self.sketch.line((x, self.section.height - 36.0), (x, self.top), "sel only")
        self.sketch.line((x, self.top), (x, foot), "sel only")
        if self.windows:
            self.sketch.path(
                (
                    (x, foot),
                    (x, foot + 8.0),
                    (column, foot + LEADERS - 9.0),
                    (column, foot + LEADERS),
                ),
                "tick lead",
            )

    def _opening(self, opening: Opening, *, named: bool) -> None:
        centre = self.across(opening.chainage), self.top + clock_at(opening.clock, self.tall)
        along = (self.width - LEFT - RIGHT) / self.view.length
        size = (opening.diameter or 0.1) / 2.0
        radii = max(size * along, 3.0), max(size * self.scale, 6.0)
        unsure = opening.clock is None or opening.diameter is None
        with self.sketch.group("g", clip_path=f"url(#{self.clip})"):
            for chainage, clock in opening.ghosts:
                ghost = self.across(chainage), self.top + clock_at(clock, self.tall)
                self._round(ghost, radii, "ghost dash")
            self._round(centre, radii, f"{OUTLINES[opening.need]}{' dot' if unsure else ''}")
        look = "n b halo" if named else "n b halo only"
        right = centre[0] + radii[0] + 5.0 + wide(opening.label, 13.0, 700) < self.width - RIGHT
        foot = min(max(centre[1] + 5.0, self.top + 17.0), self.top + self.tall - 7.0)
        at = centre[0] + (radii[0] + 5.0 if right else -radii[0] - 5.0), foot
        self.sketch.text(at, opening.label, look if right else f"{look} e")

    def _round(self, at: Point, radii: Point, look: str) -> None:
        """An ellipse on the unrolled main: what goes over the invert comes in on the other side."""
        places = [at[1]]
        if at[1] - radii[1] < self.top:
            places.append(at[1] + self.tall)
        if at[1] + radii[1] > self.top + self.tall:
            places.append(at[1] - self.tall)
        for y in places:
            self.sketch.ellipse((at[0], y), radii, look)

    def _window(self, opening: Opening, column: float) -> None:
        left, top = column - self.window / 2.0, self.top + self.tall + LEADERS
        self.sketch.rect((left, top), (self.window, self.tall), "thin pap frame")
        for share in (0.25, 0.5, 0.75):
            y = top + self.tall * share
            self.sketch.line((left, y), (left + 5.0, y), "tick")
            self.sketch.line((left + self.window - 5.0, y), (left + self.window, y), "tick")
        shape(self.sketch, self.view, opening, (column, top), (self.window, self.tall), self.scale)
        foot = top + self.tall
        marks.draw(self.sketch, (left + 7.0, foot + 16.0), opening.need)
        self.sketch.text((left + 19.0, foot + 21.0), opening.label, "b")
        for k, words in enumerate(opening.words):
            said = letters.clip(
                words, (self.window + GAP - 4.0) * letters.POINT, 13.0, 700 if k == 0 else 400
            )
            look = "n b" if k == 0 else "n s"
            self.sketch.text((left, foot + 21.0 + LINES * (k + 1)), said, look)

    def _window_names(self) -> None:
        top = self.top + self.tall + LEADERS
        lines = text("survey.run.true_shape").split(" ", 1)
        for k, words in enumerate(lines):
            self.sketch.text((LEFT - 22.0, top + 14.0 + 15.0 * k), words, "n s e")

"""Flat panels at a stated scale, with what the cutter and the sewer need on them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from teewright.collar.values import Notch, Panel, Point2
from teewright.report import letters, words
from teewright.report.pen import CHAIN, HAIR, INK, LAP, MID, THIN, Lettering, Pen, Point

SCALES = (1, 2, 5, 10, 20, 50, 100, 200)
"""Scales of panels and views, each the number after `1 : `."""
_LEFT, _RIGHT, _TOP, _FOOT = 9.0, 3.0, 7.0, 2.0


@dataclass(frozen=True, slots=True)
class Box:
    """Bounds of a flat shape [m]."""

    left: float
    low: float
    right: float
    high: float

    @property
    def width(self) -> float:
        """Across [m]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Up [m]."""
        return self.high - self.low


def bounds(points: Sequence[Point2]) -> Box:
    """Bounds of points."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def turned(panel: Panel) -> Panel:
    """The panel with its longer side across the sheet."""
    box = bounds(panel.cut)
    if box.height <= box.width:
        return panel

    def t(p: Point2) -> Point2:
        return p[1], -p[0]

    def ring(points: tuple[Point2, ...]) -> tuple[Point2, ...]:
        return tuple(t(p) for p in points)

    return replace(
        panel,
        cut=ring(panel.cut),
        hole=ring(panel.hole),
        seams=tuple((name, ring(line)) for name, line in panel.seams),
        laps=tuple(ring(line) for line in panel.laps),
        notches=tuple(replace(n, point=t(n.point), normal=t(n.normal)) for n in panel.notches),
        grain=(t(panel.grain[0]), t(panel.grain[1])),
        label_at=t(panel.label_at),
    )


def scale_for(panels: Sequence[Panel], size: Point) -> int:
    """Largest scale at which each panel, with its dimensions, fits a figure.

    Args:
        panels: As they will be drawn.
        size: Width and height of the figure [mm].

    Returns:
        The number after `1 : `.
    """
    for scale in SCALES:
        sizes = [size_of(panel, scale) for panel in panels]
        if all(wide <= size[0] and tall <= size[1] for wide, tall in sizes):
            return scale
    return 500


def size_of(panel: Panel, scale: int) -> Point:
    """Width and height of the figure of a panel [mm]."""
    box = bounds(turned(panel).cut)
    per = 1e3 / scale
    return box.width * per + _LEFT + _RIGHT, box.height * per + _TOP + _FOOT


def panel_figure(
    panel: Panel, *, scale: int, title: str, lines: Sequence[str] = (), names: int = 9
) -> str:
    """One panel: cut full, seam chain, lap dashed, notches, grain, chief dimensions.

    Args:
        panel: The panel.
        scale: The number after `1 : `.
        title: Bold words on the panel.
        lines: Plain words under the title, as many as find room.
        names: Longest name of a notch that is written, 0 for none.

    Returns:
        SVG at its own size.
    """
    panel = turned(panel)
    pen = Pen(*size_of(panel, scale))
    _Sheet(pen, panel, scale).draw(title, lines, names=names)
    return pen.svg()


class _Sheet:
    """A panel while it is drawn: flat coordinates to paper."""

    def __init__(self, pen: Pen, panel: Panel, scale: int) -> None:
        self.pen, self.panel, self.box = pen, panel, bounds(panel.cut)
        self.per = 1e3 / scale
        self.corner = (_LEFT, _TOP)

    def q(self, p: Point2) -> Point:
        x = self.corner[0] + (p[0] - self.box.left) * self.per
        return x, self.corner[1] + (self.box.high - p[1]) * self.per

    def line(self, points: Sequence[Point2]) -> list[Point]:
        return [self.q(p) for p in points]

    def draw(self, title: str, lines: Sequence[str], *, names: int) -> None:
        self.pen.shape(self.line(self.panel.cut), MID)
        if self.panel.hole:
            self.pen.shape(self.line(self.panel.hole), MID)
        for _, seam in self.panel.seams:
            self.pen.path(self.line(seam), CHAIN)
        for lap in self.panel.laps:
            self.pen.path(self.line(lap), LAP)
        self._sizes()
        self._notches(names=names)
        words_end = self._words(title, lines)
        self._grain(words_end)

    def _notches(self, *, names: int) -> None:
        """Draw every notch; where they stand too close only some are named."""
        size = min(1.0, max(0.35, self.per / 200.0))
        feet = [(notch, self._notch(notch, size)) for notch in self.panel.notches]
        feet = [pair for pair in feet if len(pair[0].label) <= names]
        named: list[Point] = []
        for notch, foot in sorted(feet, key=lambda pair: len(pair[0].label)):
            if all(math.dist(foot, other) >= 4.4 for other in named):
                named.append(foot)
                style = Lettering(8.0, 600, "middle", plate=True)
                self.pen.text((foot[0], foot[1] + 1.0), notch.label, style)

    def _notch(self, notch: Notch, size: float) -> Point:
        """Draw a mark from the seam towards the cut edge; returns the place of its name."""
        x, y = self.q(notch.point)
        nx, ny = notch.normal[0], -notch.normal[1]
        length = math.hypot(nx, ny) or 1.0
        nx, ny = nx / length, ny / length
        tip = (x + 1.6 * size * nx, y + 1.6 * size * ny)
        base = ((x + size * ny, y - size * nx), (x - size * ny, y + size * nx))
        self.pen.shape((base[0], tip, base[1]), None, INK)
        away = 1.6 + 0.45 * letters.width(notch.label, 8.0, 600) * abs(nx) + 0.8 * abs(ny)
        return x - away * nx, y - away * ny

    def _sizes(self) -> None:
        a, b = self.q((self.box.left, self.box.high)), self.q((self.box.right, self.box.low))
        self.pen.across(a[0], b[0], a[1] - 2.6, f"{self.box.width * 1e3:.0f}")
        self.pen.upright(a[0] - 2.6, a[1], b[1], f"{self.box.height * 1e3:.0f}")
        for x, y in ((a[0], a[1]), (b[0], a[1])):
            self.pen.line((x, y - 0.6), (x, y - 3.4), HAIR)
        for y in (a[1], b[1]):
            self.pen.line((a[0] - 0.6, y), (a[0] - 3.4, y), HAIR)
        if self.panel.hole:
            self._hole_sizes()

    def _hole_sizes(self) -> None:
        """Dimensions across the opening at its widest, inside it, where they find room."""
        hole = bounds(self.panel.hole)
        wide, tall = hole.width * self.per, hole.height * self.per
        if wide < 13.0 or tall < 11.0:
            return
        across = min(self.panel.hole, key=lambda p: p[0])[1]
        up = max(self.panel.hole, key=lambda p: p[1])[0]
        a, b = self.q((hole.left, across)), self.q((hole.right, across))
        top, foot = self.q((up, hole.high)), self.q((up, hole.low))
        self.pen.arrow(a, b, HAIR, both=True, head=1.6)
        self.pen.arrow(top, foot, HAIR, both=True, head=1.6)
        style = Lettering(anchor="middle", plate=True)
        self.pen.text(((a[0] + top[0]) / 2 + 0.4, a[1] - 0.9), words.millimetres(hole.width), style)
        style = Lettering(anchor="middle", plate=True, turn=-90.0)
        end = foot if foot[1] - a[1] > a[1] - top[1] else top
        place = (end[0] + 3.2, (a[1] + end[1]) / 2)
        self.pen.text(place, words.millimetres(hole.height), style)

    def _grain(self, words_end: Point) -> None:
        a, b = self.q(self.panel.grain[0]), self.q(self.panel.grain[1])
        if math.dist(a, b) < 4.0:
            return
        if min(a[0], b[0]) < words_end[0] + 3.0 and min(a[1], b[1]) < words_end[1]:
            return
        self.pen.arrow(a, b, THIN, both=True)
        upright = abs(b[1] - a[1]) > abs(b[0] - a[0])
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        if math.dist(a, b) < letters.width("grain", 8.0) + 1.0:
            return
        foot = (middle[0] - 1.2, middle[1]) if upright else (middle[0], middle[1] - 1.2)
        turn = -90.0 if upright else 0.0
        self.pen.text(foot, "grain", Lettering(anchor="middle", turn=turn))

    def _words(self, title: str, lines: Sequence[str]) -> Point:
        """Write the title and, where there is room, the lines; returns their lower right end."""
        left, top = self._text_left(), self.corner[1]
        right, low = self.q((self.box.right, self.box.low))
        shown = letters.shorten(title, max(right - left - 6.0, 18.0), 9.0, 600)
        self.pen.text((left + 3.0, top + 5.0), shown, Lettering(9.0, 600, plate=True))
        end = (left + 3.0 + letters.width(shown, 9.0, 600), top + 6.0)
        if low - top < 22.0:
            return end
        room = (self.q(self._obstacle())[0] if self.panel.hole else right) - left - 11.0
        y = top + 9.0
        for text in (piece for line in lines for piece in letters.wrap(line, max(room, 18.0), 8.0)):
            self.pen.text((left + 3.0, y), text, Lettering(plate=True))
            end = (max(end[0], left + 3.0 + letters.width(text, 8.0)), y + 1.0)
            y += 3.6
            if y > low - 2.0:
                break
        return end

    def _text_left(self) -> float:
        """Left edge of the words, right of the closing seam and its lap."""
        lines = [*self.panel.laps, *(line for name, line in self.panel.seams if name == "closing")]
        quarter = self.corner[0] + self.box.width * self.per / 4
        ends = [max(x for x, _ in self.line(line)) for line in lines]
        beside = [x for x in ends if x < quarter]
        return max([self.corner[0], *(x - 1.0 for x in beside)])

    def _obstacle(self) -> Point2:
        """Left edge of the opening, which the lines under the title must not run into."""
        return bounds(self.panel.hole).left, self.box.high


def seam_ordinates(panel: Panel, divisions: int = 12) -> list[tuple[int, float, float]]:
    """Points of the saddle seam at equal steps of its length, from the panel's lower left corner.

    Args:
        panel: The panel.
        divisions: Number of steps.

    Returns:
        (number, across [m], up [m]) each, from the cut edge's bounds.
    """
    seam = next((line for name, line in panel.seams if name == "saddle"), ())
    if len(seam) < 2:
        return []
    box = bounds(panel.cut)
    lengths = [0.0]
    for a, b in pairwise(seam):
        lengths.append(lengths[-1] + math.dist(a, b))
    out = []
    for k in range(divisions + 1):
        x, y = _at_length(seam, lengths, lengths[-1] * k / divisions)
        out.append((k, x - box.left, y - box.low))
    return out


def _at_length(seam: Sequence[Point2], lengths: Sequence[float], wanted: float) -> Point2:
    for k in range(1, len(seam)):
        if lengths[k] >= wanted - 1e-12:
            step = lengths[k] - lengths[k - 1]
            share = (wanted - lengths[k - 1]) / step if step else 0.0
            (xa, ya), (xb, yb) = seam[k - 1], seam[k]
            return xa + (xb - xa) * share, ya + (yb - ya) * share
    return seam[-1]

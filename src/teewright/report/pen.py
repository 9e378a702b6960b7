"""A drawing-office pen for SVG: lengths in millimetres of paper, type sizes in points.

A figure is drawn at its final size and placed unscaled, so that a stated scale is true.
"""

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from teewright.report import letters

INK = "#15171c"
"""Near-black of all lines and letters."""
BLUE = "#1d2f9e"
"""The one accent: set values, deadlines, links."""
GREY = "#6b6e75"
"""Hour lines and other grounds that must stand back."""
PAPER = "#ffffff"
"""Inside of a shape that hides what is behind it."""

Point = tuple[float, float]
"""A point of the paper, right and down from the top left corner [mm]."""

_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class Stroke:
    """How a line is drawn.

    Attributes:
        width: [mm].
        colour: Any SVG colour.
        dash: Lengths of dashes and gaps [mm], `""` for a full line.
    """

    width: float
    colour: str = INK
    dash: str = ""

    def dashed(self, dash: str) -> "Stroke":
        """The same line with other dashes."""
        return replace(self, dash=dash)

    def coloured(self, colour: str) -> "Stroke":
        """The same line in another colour."""
        return replace(self, colour=colour)


HAIR = Stroke(0.13)
"""Net, dimension, table row."""
THIN = Stroke(0.20)
"""Axis, leader."""
MID = Stroke(0.40)
"""Outline, head rule, limit."""
BOLD = Stroke(0.80)
"""Start of a block, box that matters."""
LAP = THIN.dashed("1.6 0.8")
"""Lap, and what lies behind."""
CHAIN = THIN.dashed("4 1 0.8 1")
"""Centre line, stitch line, groundwater."""


@dataclass(frozen=True, slots=True)
class Lettering:
    """How a text is set.

    Attributes:
        size: [pt].
        weight: 400, 600 or 700.
        anchor: `start`, `middle` or `end`.
        colour: Any SVG colour.
        turn: Clockwise about its foot [deg].
        plate: Whether a white plate keeps lines out of it.
    """

    size: float = 8.0
    weight: int = 400
    anchor: str = "start"
    colour: str = INK
    turn: float = 0.0
    plate: bool = False


def number(value: float) -> str:
    """A coordinate with as few digits as 0.01 mm needs."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def escape(text: str) -> str:
    """Make any text safe inside XML; characters that XML forbids become a replacement sign."""
    clean = _NOT_XML.sub("\ufffd", text)
    return clean.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _path(points: Iterable[Point], *, close: bool) -> str:
    body = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{body}{'Z' if close else ''}"


def _stroked(stroke: Stroke | None) -> str:
    if stroke is None:
        return ""
    dash = f' stroke-dasharray="{stroke.dash}"' if stroke.dash else ""
    return f' stroke="{stroke.colour}" stroke-width="{stroke.width}"{dash}'


class Pen:
    """Collects the marks of one figure.

    Args:
        width: Of the figure [mm].
        height: Of the figure [mm].
    """

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self._marks: list[str] = []

    def line(self, a: Point, b: Point, stroke: Stroke = THIN) -> None:
        """Draw a straight line."""
        self.path((a, b), stroke)

    def path(self, points: Sequence[Point], stroke: Stroke = THIN) -> None:
        """Draw an open line through the points."""
        if len(points) > 1:
            self._marks.append(
                f'<path d="{_path(points, close=False)}" fill="none"'
                f' stroke-linejoin="round"{_stroked(stroke)}/>'
            )

    def shape(
        self, points: Sequence[Point], stroke: Stroke | None = THIN, fill: str = "none"
    ) -> None:
        """Draw a closed shape; `None` for the stroke leaves only the fill."""
        if len(points) > 1:
            self._marks.append(
                f'<path d="{_path(points, close=True)}" fill="{fill}"'
                f' stroke-linejoin="miter"{_stroked(stroke)}/>'
            )

    def rect(
        self,
        at: Point,
        size: Point,
        stroke: Stroke | None = THIN,
        fill: str = "none",
    ) -> None:
        """Draw a rectangle from its top left corner, (width, height)."""
        (x, y), (w, h) = at, size
        self.shape(((x, y), (x + w, y), (x + w, y + h), (x, y + h)), stroke, fill)

    def circle(
        self, at: Point, radius: float, stroke: Stroke | None = THIN, fill: str = "none"
    ) -> None:
        """Draw a circle."""
        self._marks.append(
            f'<circle cx="{number(at[0])}" cy="{number(at[1])}" r="{number(radius)}"'
            f' fill="{fill}"{_stroked(stroke)}/>'
        )

    def ellipse(
        self, at: Point, radii: Point, stroke: Stroke | None = THIN, fill: str = "none"
    ) -> None:
        """Draw an ellipse with its axes along the paper's."""
        self._marks.append(
            f'<ellipse cx="{number(at[0])}" cy="{number(at[1])}" rx="{number(radii[0])}"'
            f' ry="{number(radii[1])}" fill="{fill}"{_stroked(stroke)}/>'
        )

    def half_disc(self, at: Point, radius: float, fill: str = INK) -> None:
        """Fill the lower half of a disc."""
        x, y = at
        left, right, r, level = (number(v) for v in (x - radius, x + radius, radius, y))
        arc = f"M{left} {level}A{r} {r} 0 0 0 {right} {level}Z"
        self._marks.append(f'<path d="{arc}" fill="{fill}"/>')

    def text(self, at: Point, words: str, style: Lettering = Lettering()) -> None:
        """Write one line; `at` is its foot."""
        x, y = at
        turn = f' transform="rotate({number(style.turn)} {number(x)} {number(y)})"'
        turn = turn if style.turn else ""
        if style.plate:
            self._plate(at, words, style, turn)
        weight = f' font-weight="{style.weight}"' if style.weight != 400 else ""
        size = number(style.size * letters.POINT)
        self._marks.append(
            f'<text x="{number(x)}" y="{number(y)}" font-size="{size}"'
            f' text-anchor="{style.anchor}"{weight}{turn} fill="{style.colour}">'
            f"{escape(words)}</text>"
        )

    def _plate(self, at: Point, words: str, style: Lettering, turn: str) -> None:
        wide = letters.width(words, style.size, style.weight)
        tall = style.size * letters.POINT
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[style.anchor]
        self._marks.append(
            f'<rect x="{number(at[0] - 0.4 - wide * share)}" y="{number(at[1] - 0.78 * tall)}"'
            f' width="{number(wide + 0.8)}" height="{number(1.02 * tall)}" fill="{PAPER}"{turn}/>'
        )

    def arrow(
        self, a: Point, b: Point, stroke: Stroke = THIN, *, both: bool = False, head: float = 1.8
    ) -> None:
        """Draw a line with a slim head at its end, or at both ends."""
        self.line(a, b, stroke)
        for tail, tip in ((a, b), (b, a)) if both else ((a, b),):
            self._head(tail, tip, head, stroke.colour)

    def _head(self, tail: Point, tip: Point, size: float, colour: str) -> None:
        length = math.dist(tail, tip) or 1.0
        ux, uy = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length
        x, y = tip[0] - size * ux, tip[1] - size * uy
        w = 0.16 * size
        self.shape((tip, (x + w * uy, y - w * ux), (x - w * uy, y + w * ux)), None, colour)

    def across(self, x1: float, x2: float, y: float, words: str, *, below: bool = False) -> None:
        """Dimension along a level line from `x1` to `x2`."""
        self.arrow((x1, y), (x2, y), HAIR, both=True, head=1.6)
        foot = y + 3.2 if below else y - 0.9
        self.text(((x1 + x2) / 2, foot), words, Lettering(anchor="middle", plate=True))

    def upright(self, x: float, y1: float, y2: float, words: str, *, right: bool = False) -> None:
        """Dimension along an upright line from `y1` to `y2`."""
        self.arrow((x, y1), (x, y2), HAIR, both=True, head=1.6)
        foot = x + 3.2 if right else x - 0.9
        style = Lettering(anchor="middle", turn=-90.0, plate=True)
        self.text((foot, (y1 + y2) / 2), words, style)

    def hatch(self, at: Point, size: Point, *, step: float = 1.3, stroke: Stroke = HAIR) -> None:
        """Fill a rectangle with lines at 45 degrees."""
        (x, y), (w, h) = at, size
        lines, offset = [], -h
        while offset < w:
            x1, y1, x2, y2 = x + offset, y + h, x + offset + h, y
            if x1 < x:
                x1, y1 = x, y1 - (x - x1)
            if x2 > x + w:
                x2, y2 = x + w, y2 + (x2 - x - w)
            if x2 > x1:
                lines.append(_path(((x1, y1), (x2, y2)), close=False))
            offset += step
        if lines:
            self._marks.append(f'<path d="{"".join(lines)}" fill="none"{_stroked(stroke)}/>')

    def svg(self) -> str:
        """The figure as a whole SVG document at its true size."""
        w, h = number(self.width), number(self.height)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm"'
            f' viewBox="0 0 {w} {h}" font-family="{letters.FAMILY}">\n'
            + "\n".join(self._marks)
            + "\n</svg>\n"
        )

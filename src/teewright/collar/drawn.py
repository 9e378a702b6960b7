"""A drawing of pieces as strokes and words on layers, in metres, whatever writes it down."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from teewright.collar.lettering import box_corners, words_width
from teewright.collar.values import Point2

LAYERS = ("cut", "seam", "lap", "notch", "mark", "grain", "label")
"""Lines to cut along, to sew along, to which the other edge reaches; notches and their letters;
lines of crown, invert and flanks; the grain arrow; what the piece is. In order of drawing."""
SCALE_LENGTH = 0.1
"""Length of the line by which a print or a plot is checked [m]."""
SPACING = 0.05
"""Between pieces side by side, and between them and the line to check by [m]."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line of a drawing.

    Attributes:
        layer: One of `LAYERS`.
        points: In order [m].
        closed: Whether the last point joins the first.
    """

    layer: str
    points: tuple[Point2, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words of a drawing.

    Attributes:
        layer: One of `LAYERS`.
        text: The words.
        at: Middle of the line [m].
        height: Of a capital letter [m].
        turn: Counter-clockwise from level [rad].
    """

    layer: str
    text: str
    at: Point2
    height: float
    turn: float = 0.0

    def box(self) -> tuple[Point2, ...]:
        """Corners of the room that the words take at the most [m]."""
        corners = box_corners(words_width(self.text, self.height), 1.4 * self.height, self.turn)
        return tuple((self.at[0] + float(x), self.at[1] + float(y)) for x, y in corners)


@dataclass(frozen=True, slots=True)
class Drawn:
    """All that is drawn on one piece, arrow up.

    Attributes:
        name: Of the piece.
        strokes: Lines, the outer cut line first.
        words: Words.
    """

    name: str
    strokes: tuple[Stroke, ...]
    words: tuple[Words, ...]

    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, largest x, largest y of the first line [m]."""
        xs, ys = zip(*self.strokes[0].points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    def moved(self, x: float, y: float, *, rotation: float = 0.0) -> "Drawn":
        """The same drawing, turned about the origin [rad] and then moved [m]."""
        c, s = math.cos(rotation), math.sin(rotation)

        def at(p: Point2) -> Point2:
            return c * p[0] - s * p[1] + x, s * p[0] + c * p[1] + y

        return Drawn(
            self.name,
            tuple(replace(k, points=tuple(map(at, k.points))) for k in self.strokes),
            tuple(replace(w, at=at(w.at), turn=w.turn + rotation) for w in self.words),
        )


def side_by_side(pieces: Sequence[Drawn]) -> list[Drawn]:
    """Pieces in a row, arrows up, feet at height 0, the first at the left end."""
    row, across = [], 0.0
    for piece in pieces:
        left, low, right, _ = piece.bounds()
        row.append(piece.moved(across - left, -low))
        across += right - left + SPACING
    return row


def check_scale(x: float, y: float, *, words: str = "") -> Drawn:
    """The line to check a print or a plot by, from a point to the right.

    Args:
        x: Left end [m].
        y: Height [m].
        words: Said below the line; what its length is, if empty.

    Returns:
        A drawing of the line, its end marks and its words.
    """
    ends = ((x, y), (x + SCALE_LENGTH, y))
    ticks = (Stroke("label", ((at, y - 0.003), (at, y + 0.003))) for at, _ in ends)
    said = words or f"this line is {1e3 * SCALE_LENGTH:.0f} mm"
    text = Words("label", said, (x + words_width(said, 0.003) / 2.0, y - 0.007), 0.003)
    return Drawn("scale", (Stroke("label", ends), *ticks), (text,))

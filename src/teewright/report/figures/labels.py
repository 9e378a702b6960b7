"""Values written beside a map: each at the nearest place where nothing is drawn."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from teewright.junction.skin import FloatArray, IntArray
from teewright.report import letters
from teewright.report.figures.painting import MapPen
from teewright.report.figures.scale import Scale
from teewright.report.pen import THIN, Lettering, Point

_FIGURE = Lettering(9.5, 600)
_TALL = 7.2
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class Extreme:
    """The least or the greatest value of a map.

    Attributes:
        word: `least` or `greatest`.
        faces: Triangles that have it; several on a symmetric collar.
        value: In the unit of the scale.
    """

    word: str
    faces: tuple[int, ...]
    value: float


def extremes(values: FloatArray, scale: Scale) -> tuple[Extreme, ...]:
    """What is marked on a map: both ends of a magnitude, the least of a margin.

    Args:
        values: Of each triangle, shape (m,); nan where there is none.
        scale: Of the map.

    Returns:
        The greatest first; empty where there is no value.
    """
    known = values[np.isfinite(values)]
    if not known.size:
        return ()
    least, most = float(known.min()), float(known.max())
    words = [("least", least)]
    if scale.limit is None and most > least:
        words.insert(0, ("greatest", most))
    slack = _SAME * (scale.high - scale.low)
    faces = [np.flatnonzero(np.abs(values - value) <= slack).tolist() for _, value in words]
    return tuple(Extreme(w, tuple(f), v) for (w, v), f in zip(words, faces, strict=True))


@dataclass(frozen=True, slots=True)
class Label:
    """A value to be written.

    Attributes:
        word: Under the figure.
        figure: The value with its unit.
        at: Its exact point [mm], None if that is out of sight.
        corner: Top left corner of its words [mm], None if there is no room.
    """

    word: str
    figure: str
    at: Point | None = None
    corner: Point | None = None


class Room:
    """What is free of a part of the paper, on a net of millimetres.

    Args:
        left: Left edge of the part; its top is the top of the figure [mm].
        size: Its width and height [mm].
    """

    def __init__(self, left: float, size: Point) -> None:
        self.left = left
        self.taken = np.zeros((math.ceil(size[1]), math.ceil(size[0])), dtype=bool)

    def take(self, places: FloatArray) -> None:
        """Mark points as drawn, shape (k, 2) [mm]."""
        rows, columns = self.taken.shape
        column = np.clip((places[:, 0] - self.left).astype(np.int64), 0, columns - 1)
        self.taken[np.clip(places[:, 1].astype(np.int64), 0, rows - 1), column] = True

    def take_rectangle(self, at: Point, size: Point) -> None:
        """Mark a rectangle as drawn, from its top left corner [mm]."""
        low = (max(int(at[1]), 0), max(int(at[0] - self.left), 0))
        high = (math.ceil(at[1] + size[1]), math.ceil(at[0] + size[0] - self.left))
        self.taken[low[0] : high[0], low[1] : high[1]] = True

    def label(self, word: str, figure: str, at: Point) -> Label:
        """Find the nearest free place for a value and take it."""
        return Label(word, figure, at, self._free(at, _width(figure, word)))

    def _free(self, at: Point, wide: float) -> Point | None:
        """Corner of the nearest rectangle in which nothing is drawn."""
        columns, rows = math.ceil(wide) + 2, math.ceil(_TALL) + 1
        sums = np.pad(self.taken.astype(np.int64).cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
        if sums.shape[0] <= rows or sums.shape[1] <= columns:
            return None
        inside = sums[rows:, columns:] - sums[:-rows, columns:]
        inside = inside - sums[rows:, :-columns] + sums[:-rows, :-columns]
        row, column = np.nonzero(inside == 0)
        if not row.size:
            return None
        x, y = column + 1.0 + self.left, row + 0.5
        nearer = np.where(x > at[0], x, x + wide)
        k = int(np.argmin(np.hypot(nearer - at[0], y + 2.2 - at[1])))
        self.taken[row[k] : row[k] + rows, column[k] : column[k] + columns] = True
        return float(x[k]), float(y[k])


def write(pen: MapPen, labels: Sequence[Label], at: Point) -> None:
    """Draw rings, leaders and words; what found no room is told in one line.

    Args:
        pen: Pen.
        labels: Labels.
        at: Foot of that line [mm].
    """
    for label in labels:
        if label.at is not None and label.corner is not None:
            pen.cased((label.at, _leader_end(label)), THIN)
            x, y = label.corner
            pen.text((x, y + 3.2), label.figure, _FIGURE)
            pen.text((x, y + 6.6), label.word)
    for label in labels:
        if label.at is not None:
            pen.ring(label.at)
    pen.text(at, "; ".join(_told(label) for label in labels if label.corner is None))


def untold(labels: Sequence[Label]) -> bool:
    """Whether a label has no place, so that a line is needed for it."""
    return any(label.corner is None for label in labels)


def middles(places: FloatArray, triangles: IntArray, faces: Sequence[int]) -> FloatArray:
    """Middles of some triangles, shape (k, 2)."""
    return np.asarray(places[triangles[list(faces)]].mean(axis=1))


def _told(label: Label) -> str:
    return f"{label.word}{'' if label.at else ', out of sight'}: {label.figure}"


def _width(figure: str, word: str) -> float:
    return max(letters.width(figure, _FIGURE.size, _FIGURE.weight), letters.width(word, 8.0))


def _leader_end(label: Label) -> Point:
    """Nearest of the middles of the sides of the words."""
    (x, y), at = label.corner or (0.0, 0.0), label.at or (0.0, 0.0)
    wide = _width(label.figure, label.word)
    sides = ((x - 0.8, y + 2.2), (x + wide + 0.8, y + 2.2))
    ends = (*sides, (x + wide / 2, y - 0.4), (x + wide / 2, y + _TALL + 0.2))
    return min(ends, key=lambda end: math.dist(at, end))

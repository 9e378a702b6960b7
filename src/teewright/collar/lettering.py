"""Where words find room on a piece: on the fabric, clear of every line and of each other."""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import (
    LineString,
    Point,
    Polygon,
    contains_properly,
    convex_hull,
    distance,
    get_coordinates,
    get_parts,
    multipoints,
    polygons,
    prepare,
    union_all,
)
from shapely import points as shapely_points
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points, polylabel

from teewright.collar.values import Point2

FloatArray = NDArray[np.float64]

CLEAR = 0.001
"""Fabric left free round a word [m]."""
PITCH = 1.6
"""From one line of a block of words to the next, in heights of a capital."""

_NARROW = frozenset("iIjlft.,:;'|!()[]/ -1")
_WIDE = frozenset("mwMW@%—…")
_EXACT = 5e-5
_MOST_SPOTS = 6000
"""Of the grid on which room is looked for."""


def words_width(words: str, height: float) -> float:
    """Room that a line of words needs, whichever plain font sets it: an upper bound.

    Args:
        words: One line.
        height: Of a capital letter [m].

    Returns:
        Width [m].
    """
    shares = (
        0.7 if letter in _NARROW else 1.4 if letter in _WIDE or ord(letter) > 0x24F else 1.0
        for letter in words
    )
    return height * sum(shares)


def box_corners(width: float, height: float, turn: float = 0.0) -> FloatArray:
    """Corners of a box about its middle, counter-clockwise, shape (4, 2) [m]."""
    half = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    half *= np.array([width, height]) / 2.0
    c, s = math.cos(turn), math.sin(turn)
    return np.asarray(half @ np.array([[c, s], [-s, c]]))


class Room:
    """The fabric of a piece that is still free.

    Args:
        body: The piece inside its cut lines.
        step: Least distance of the points about which room is looked for [m].
    """

    def __init__(self, body: Polygon, *, step: float = 0.002) -> None:
        self._body, self._step = body, step
        self._taken: list[BaseGeometry] = [body.boundary]
        self._spots: tuple[FloatArray, FloatArray, BaseGeometry] | None = None

    def take(self, *things: BaseGeometry) -> None:
        """Keep words off these lines and shapes from now on."""
        self._taken += [thing for thing in things if not thing.is_empty]
        self._spots = None

    def fits(self, corners: FloatArray, at: Point2) -> bool:
        """Whether a box about a point lies on free fabric.

        Args:
            corners: As `box_corners` gives them, shape (4, 2) [m].
            at: Middle of the box [m].
        """
        box = Polygon(corners + np.array(at))
        return bool(self._body.contains(box)) and not any(box.intersects(t) for t in self._taken)

    def middle(self, corners: FloatArray, wish: Point2 | None = None) -> Point2 | None:
        """Middle for a box: the wished one if it is free, else the one farthest from all lines.

        Args:
            corners: As `box_corners` gives them, shape (4, 2) [m].
            wish: Middle to keep if the box lies free there [m].

        Returns:
            Middle of the box [m], or None where it finds no room.
        """
        if wish is not None and self.fits(corners, wish):
            return wish
        somewhere = self.anywhere(corners)
        if somewhere is None:
            return None
        parts = [part for part in get_parts(self._centres(corners)) if part.area > 1e-9]
        if not parts:
            return somewhere
        best = polylabel(max(parts, key=lambda part: part.area), tolerance=5e-4)
        return float(best.x), float(best.y)

    def anywhere(self, corners: FloatArray) -> Point2 | None:
        """Middle for a box among the points of a grid, where it has most room to its sides.

        Args:
            corners: As `box_corners` gives them, shape (4, 2) [m].

        Returns:
            Middle of the box [m], or None where it fits about no point of the grid.
        """
        spots, clearance, free = self._looked()
        spots = spots[clearance >= _least_half(corners)]
        boxes = polygons(spots[:, None, :] + corners[None, :, :])
        fitting = np.flatnonzero(contains_properly(free, boxes))
        if len(fitting) == 0:
            return None
        x, y = spots[fitting[0]]
        return float(x), float(y)

    def nearest(self, corners: FloatArray, wish: Point2) -> Point2 | None:
        """Middle for a box as near to a point as there is room, or None [m]."""
        free = self._centres(corners)
        if free.is_empty:
            return None
        found, _ = nearest_points(free, Point(wish))
        return float(found.x), float(found.y)

    def _centres(self, corners: FloatArray) -> BaseGeometry:
        """Where the middle of a box may lie so that it touches nothing.

        A box meets a straight piece of a line if and only if its middle lies in the hull of
        that piece carried to the box's four (opposite) corners.
        """
        ends = np.concatenate([_pieces(thing) for thing in self._taken])
        carried = ends[:, :, None, :] - corners[None, None, :, :]
        hulls = get_parts(convex_hull(multipoints(carried.reshape(len(ends), 8, 2))))
        solid = [thing for thing in self._taken if isinstance(thing, Polygon)]
        return self._body.difference(union_all([*hulls.tolist(), *solid]))

    def _looked(self) -> tuple[FloatArray, FloatArray, BaseGeometry]:
        """Free points of a grid, their distance to the next line, and the free fabric."""
        if self._spots is None:
            lines = union_all(self._taken)
            free = self._body.difference(lines.buffer(_EXACT))
            left, low, right, high = self._body.bounds
            step = max(self._step, math.sqrt((right - left) * (high - low) / _MOST_SPOTS))
            x, y = np.meshgrid(np.arange(left, right, step), np.arange(low, high, step))
            dots = shapely_points(x.ravel(), y.ravel())
            prepare(free)
            dots = dots[contains_properly(free, dots)]
            clearance = np.asarray(distance(dots, lines))
            order = np.argsort(-clearance, kind="stable")
            self._spots = get_coordinates(dots[order]), clearance[order], free
        return self._spots


def _least_half(corners: FloatArray) -> float:
    sides = np.linalg.norm(np.diff(corners[:3], axis=0), axis=1)
    return float(sides.min()) / 2.0


def _pieces(thing: BaseGeometry) -> FloatArray:
    """Straight pieces of a line or of the edge of a shape, shape (n, 2, 2) [m]."""
    line = thing.boundary if isinstance(thing, Polygon) else thing
    ends = []
    for part in get_parts(line):
        xy = np.asarray(part.simplify(_EXACT).coords, dtype=np.float64)[:, :2]
        ends.append(np.stack([xy[:-1], xy[1:]], axis=1))
    return np.concatenate(ends) if ends else np.empty((0, 2, 2))


def beside(at: Point2, inwards: Point2, corners: FloatArray, *, step: float) -> Iterator[Point2]:
    """Middles to try for a word that belongs to a point of an edge, the best first.

    Args:
        at: The point [m].
        inwards: Unit vector from the edge on to the fabric.
        corners: Of the word's box, as `box_corners` gives them [m].
        step: How far to move on from one try to the next [m].

    Yields:
        Middles: straight inwards first, then aside, then farther in [m].
    """
    (x, y), (ix, iy) = at, inwards
    reach = float(np.max(corners @ np.array(inwards)))
    for out in (0.3, 0.8, 1.5, 2.4, 3.5):
        for aside in (0.0, 1.0, -1.0, 1.8, -1.8, 2.8, -2.8):
            away = reach + out * step
            yield x + away * ix - aside * step * iy, y + away * iy + aside * step * ix


def lines_of(points: Sequence[Point2]) -> BaseGeometry:
    """A line to keep off; an empty one for less than two points."""
    return LineString(points) if len(points) > 1 else LineString()

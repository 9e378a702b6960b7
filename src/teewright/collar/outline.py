"""Cut lines: a seam line carried outwards by its allowance, and a panel clipped to its edges."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import LinearRing, Polygon, box

from teewright.collar.values import Point2
from teewright.errors import GeometryError

FloatArray = NDArray[np.float64]

_ARC_SEGMENTS = 32
"""Segments of a quarter circle: 10 mm of allowance keep within 0.004 mm."""


def points(line: FloatArray) -> tuple[Point2, ...]:
    """Rows of an array, shape (n, 2), as points."""
    return tuple((float(x), float(y)) for x, y in line)


def ring_area(ring: Sequence[Point2]) -> float:
    """Area inside a closed ring, positive where it runs counter-clockwise [m2]."""
    xy = np.asarray(ring, dtype=np.float64)
    if len(xy) < 3:
        return 0.0
    x, y = xy[:, 0], xy[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


def line_length(line: Sequence[Point2]) -> float:
    """Length of an open line [m]."""
    xy = np.asarray(line, dtype=np.float64)
    return float(np.linalg.norm(np.diff(xy, axis=0), axis=1).sum())


def rectangle(half_width: float, low: float, high: float) -> tuple[Point2, ...]:
    """Counter-clockwise ring, symmetrical about the y axis [m]."""
    return ((-half_width, low), (half_width, low), (half_width, high), (-half_width, high))


def opening(seam: FloatArray, allowance: float) -> tuple[Point2, ...]:
    """Cut line of an opening whose seam line needs fabric on its inner side.

    Args:
        seam: Seam line, closed, first point not repeated, shape (n, 2) [m].
        allowance: Fabric beyond the seam line, >= 0 [m].

    Returns:
        Counter-clockwise ring [m].

    Raises:
        GeometryError: The seam line crosses itself, or the allowance leaves no single opening.
    """
    shape = Polygon(seam)
    if not shape.is_valid:
        raise GeometryError(
            "the seam line on the main panel crosses itself: the edge is rounded too much for "
            "this branch and angle; measure the edge again or re-cut it sharper"
        )
    inner = shape.buffer(-allowance, quad_segs=_ARC_SEGMENTS) if allowance else shape
    if not isinstance(inner, Polygon) or inner.is_empty:
        raise GeometryError(
            f"a seam allowance of {1e3 * allowance:.0f} mm does not fit inside the opening of "
            f"{1e6 * shape.area:.0f} mm2; a narrower seam would"
        )
    return _ring(inner.exterior)


def sleeve(
    seam: FloatArray, allowance: float, *, half_width: float, top: float
) -> tuple[Point2, ...]:
    """Cut line of a panel that reaches from a wavy seam line up to a straight top.

    Args:
        seam: Seam line from left to right, beyond both edges of the panel, shape (n, 2) [m].
        allowance: Fabric below the seam line, >= 0 [m].
        half_width: Half the width of the panel [m].
        top: Height of the straight edge [m].

    Returns:
        Counter-clockwise ring [m].

    Raises:
        GeometryError: The seam line folds back, or runs above the top.
    """
    if np.any(np.diff(seam[:, 0]) <= 0.0):
        raise GeometryError(
            "the seam line on the branch panel folds back: the edge is rounded too much for "
            "this branch and angle; measure the edge again or re-cut it sharper"
        )
    corners = np.array([[seam[-1, 0], top], [seam[0, 0], top]])
    grown = Polygon(np.vstack([seam, corners]))
    if allowance:
        grown = grown.buffer(allowance, quad_segs=_ARC_SEGMENTS)
    low = float(np.min(seam[:, 1])) - 2.0 * allowance - 1.0
    cut = grown.intersection(box(-half_width, low, half_width, top))
    if not isinstance(cut, Polygon) or cut.is_empty:
        raise GeometryError(
            "the branch panel falls apart: its top lies below the seam; a longer branch part would "
            "hold it together"
        )
    return _ring(cut.exterior)


def _ring(line: LinearRing) -> tuple[Point2, ...]:
    """A counter-clockwise ring that starts at its lowest, then leftmost point."""
    ring = np.asarray(line.coords, dtype=np.float64)[:-1, :2]
    if ring_area(points(ring)) < 0.0:
        ring = ring[::-1]
    first = int(np.lexsort((ring[:, 0], ring[:, 1]))[0])
    return points(np.roll(ring, -first, axis=0))

"""Lines and rings of flat points: areas and lengths."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from teewright.collar.values import Point2

FloatArray = NDArray[np.float64]


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

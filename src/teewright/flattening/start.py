"""A first flat shape for pieces that have no development of their own."""

import math

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from teewright.flattening.system import shapes
from teewright.flattening.values import FloatArray, IntArray, chords


def conformal(
    corners: FloatArray, triangles: IntArray, *, straight: IntArray | None = None
) -> FloatArray:
    """Lay one piece flat with the angles kept as well as they can be, in the mean square.

    The mirroring part w of each triangle's map (see `flattening.kernel`) is made small; two
    vertices far apart are held. Free of overturned triangles on smooth pieces, but not by
    proof: the caller looks.

    Args:
        corners: Of one piece, shape (k, 3) [m].
        triangles: Shape (m, 3).
        straight: Vertices that are to lie on the line x = 0, first and last in order, or None.

    Returns:
        Flat coordinates, area of the formed piece kept, shape (k, 2) [m].
    """
    matrix = _mirroring(corners, triangles)
    count = len(corners)
    held, values = _held(corners, straight)
    free = np.setdiff1d(np.arange(2 * count), held)
    normal = (matrix.T @ matrix).tocsc()
    right = -(normal[free][:, held] @ values)
    found = np.empty(2 * count)
    found[held], found[free] = values, spsolve(normal[free][:, free], right)
    flat = found.reshape(-1, 2)
    scaled: FloatArray = flat * math.sqrt(_formed(corners, triangles) / _laid(flat, triangles))
    return scaled


def _held(corners: FloatArray, straight: IntArray | None) -> tuple[IntArray, FloatArray]:
    """Numbers of the unknowns that are given (x, y in turn) and their values."""
    if straight is None:
        middle = corners.mean(axis=0)
        first = int(np.argmax(np.linalg.norm(corners - middle, axis=1)))
        apart = np.linalg.norm(corners - corners[first], axis=1)
        last = int(np.argmax(apart))
        held = np.array([2 * first, 2 * first + 1, 2 * last, 2 * last + 1])
        return held, np.array([0.0, 0.0, 0.0, float(apart[last])])
    ends = straight[[0, -1]]
    length = float(np.linalg.norm(np.diff(corners[straight], axis=0), axis=1).sum())
    held = np.r_[2 * straight, 2 * ends + 1]
    return held, np.r_[np.zeros(len(straight) + 1), length]


def _mirroring(corners: FloatArray, triangles: IntArray):  # type: ignore[no-untyped-def]
    """Matrix from flat coordinates (x, y in turn) to the weighed w of each triangle."""
    grads, area = shapes(chords(corners, triangles))
    part = grads * (0.5 * np.sqrt(area))[:, None, None]
    gx, gy = part[:, :, 0].ravel(), part[:, :, 1].ravel()
    rows = np.repeat(np.arange(len(triangles)), 3)
    x, y = 2 * triangles.ravel(), 2 * triangles.ravel() + 1
    count = len(triangles)
    data = np.r_[gx, -gy, gy, gx]
    places = np.r_[rows, rows, rows + count, rows + count], np.r_[x, y, x, y]
    return coo_array((data, places), shape=(2 * count, 2 * len(corners))).tocsc()


def _formed(corners: FloatArray, triangles: IntArray) -> float:
    a, b, c = (corners[triangles[:, i]] for i in range(3))
    return float(0.5 * np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())


def _laid(flat: FloatArray, triangles: IntArray) -> float:
    a, b, c = (flat[triangles[:, i]] for i in range(3))
    one, two = b - a, c - a
    return float(0.5 * abs(np.sum(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0])))

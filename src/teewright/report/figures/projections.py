"""Solid shapes on paper: axonometric views, and what hides what.

Each view is sampled on a fine net of cells, as a depth buffer does, to find what is hidden and in
which order the rest is painted; the figure itself is drawn from the triangles, not the cells.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.junction.skin import FloatArray, IntArray

BoolArray = NDArray[np.bool_]
"""Array of yes and no."""

NEAR = 0.003
"""How far behind a surface still counts as on it, of the picture's size [-]."""

_CELLS = 340
_CLOSE = 4.0
_ROUNDS = 40
# a net set off by this share of a cell has no middles on the edges of an even mesh
_AWRY = np.array([0.3819, 0.2361])


@dataclass(frozen=True, slots=True)
class View:
    """Where an axonometric view is taken from; parallel lines stay parallel.

    Attributes:
        words: Caption.
        azimuth: Of the viewer, from +x towards +y [rad].
        elevation: Of the viewer above the plane of x and y [rad].
    """

    words: str
    azimuth: float
    elevation: float

    def axes(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Unit vectors to the right, up the paper and towards the viewer, shape (3,) each."""
        a, e = self.azimuth, self.elevation
        toward = np.array([math.cos(e) * math.cos(a), math.cos(e) * math.sin(a), math.sin(e)])
        up = np.array([-math.sin(e) * math.cos(a), -math.sin(e) * math.sin(a), math.cos(e)])
        return np.cross(up, toward), up, toward


CROTCH_SIDE = View("from the crotch side, above", math.radians(48.0), math.radians(17.0))
"""The acute side of the branch, on +x, and the +y side of the main."""
HEEL_SIDE = View("from the heel side, above", math.radians(235.0), math.radians(24.0))
"""The other side of both."""
BELOW = View("from the heel side, below", math.radians(235.0), math.radians(-24.0))
"""The far side of the main, with the closing seam."""


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A surface as one view shows it.

    Attributes:
        view: The view.
        plane: (right, up) of each vertex, shape (n, 2) [m].
        depth: Of each vertex towards the viewer, shape (n,) [m].
        front: Whether a triangle is seen from its outer side, shape (m,).
        layer: In which turn a triangle is painted, from 0; -1 where it is hidden, shape (m,).
        cell: Side of a cell [m].
        corner: Least (right, up), the corner of the first cell [m].
        nearest: Depth of what is seen in each cell, -inf where nothing is; rows go up [m].
    """

    view: View
    plane: FloatArray
    depth: FloatArray
    front: BoolArray
    layer: IntArray
    cell: float
    corner: FloatArray
    nearest: FloatArray

    def shows(self, plane: FloatArray, depth: FloatArray, near: float = NEAR) -> BoolArray:
        """Whether points are in sight, shape (k,).

        Args:
            plane: Shape (k, 2) [m].
            depth: Shape (k,) [m].
            near: How far behind the surface still counts as on it, of the picture's size [-].
        """
        rows, columns = self.nearest.shape
        place = np.floor((plane - self.corner) / self.cell).astype(np.int64)
        front = np.full(len(plane), np.inf)
        for dx in (-1, 0, 1):
            for dy in (-1, 0, 1):
                column = np.clip(place[:, 0] + dx, 0, columns - 1)
                row = np.clip(place[:, 1] + dy, 0, rows - 1)
                front = np.minimum(front, self.nearest[row, column])
        return np.asarray(front <= depth + near * self.cell * _CELLS)


def mirrored(
    points: FloatArray, triangles: IntArray, values: FloatArray
) -> tuple[FloatArray, IntArray, FloatArray]:
    """A whole surface from its half at y >= 0; the vertices on y = 0 stay single.

    Args:
        points: Shape (n, 3) [m].
        triangles: Shape (m, 3).
        values: Of each triangle, shape (m,).

    Returns:
        Points with the mirrored ones after them, triangles and values likewise.
    """
    reach = float(np.abs(points).max(initial=0.0))
    off = np.flatnonzero(np.abs(points[:, 1]) > 1e-9 * reach)
    twin = np.arange(len(points))
    twin[off] = len(points) + np.arange(len(off))
    other = points[off] * np.array([1.0, -1.0, 1.0])
    return (
        np.concatenate([points, other]),
        np.concatenate([triangles, twin[triangles][:, ::-1]]),
        np.concatenate([values, values]),
    )


def project(points: FloatArray, triangles: IntArray, view: View) -> Picture:
    """Lay a surface on paper, drop what is hidden and find the order of painting.

    Args:
        points: Shape (n, 3) [m].
        triangles: Counter-clockwise seen from outside, shape (m, 3).
        view: From where.

    Returns:
        The picture.
    """
    right, up, toward = view.axes()
    plane, depth = points @ np.column_stack([right, up]), points @ toward
    a, b, c = (plane[triangles[:, k]] for k in range(3))
    turn = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    size = np.ptp(plane, axis=0)
    cell = float(size.max()) / _CELLS
    corner = plane.min(axis=0) - cell * _AWRY
    shape = (int(size[1] / cell) + 3, int(size[0] / cell) + 3)
    samples = _sampled((plane - corner) / cell, depth, triangles, shape)
    nearest = np.full(shape[0] * shape[1], -np.inf)
    np.maximum.at(nearest, samples.cell, samples.depth)
    layer = _layers(samples, nearest, len(triangles))
    slivers = samples.missed(len(triangles)) & (turn > 0.0)
    middle = (plane[triangles[slivers]].mean(axis=1) - corner) / cell
    level = depth[triangles[slivers]].mean(axis=1)
    layer[slivers] = _sliver_layers(middle.astype(np.int64), level, layer, samples, cell)
    return Picture(view, plane, depth, turn > 0.0, layer, cell, corner, nearest.reshape(shape))


def covered(places: FloatArray, triangles: IntArray, cell: float) -> FloatArray:
    """Middles of the cells of a net that flat triangles cover.

    Args:
        places: From 0 on, shape (n, 2).
        triangles: Shape (m, 3).
        cell: Side of a cell, in the unit of the places.

    Returns:
        Shape (k, 2).
    """
    high = places.max(axis=0) / cell
    shape = (int(high[1]) + 3, int(high[0]) + 3)
    samples = _sampled(places / cell + _AWRY, np.zeros(len(places)), triangles, shape)
    cells = np.unique(samples.cell)
    found = np.column_stack([cells % shape[1], cells // shape[1]]) + 0.5 - _AWRY
    return np.asarray(found * cell)


@dataclass(frozen=True, slots=True, eq=False)
class _Samples:
    """Which triangle covers which cell, at which depth; by cell, the farthest first."""

    face: IntArray
    cell: IntArray
    depth: FloatArray
    columns: int

    def missed(self, count: int) -> BoolArray:
        """Which of so many triangles cover no middle of a cell."""
        found = np.ones(count, dtype=bool)
        found[self.face] = False
        return found


def _sampled(
    plane: FloatArray, depth: FloatArray, triangles: IntArray, shape: tuple[int, int]
) -> _Samples:
    """Sample the middles of cells; `plane` is in cells."""
    a, b, c = (plane[triangles[:, k]] for k in range(3))
    low = np.ceil(np.minimum(np.minimum(a, b), c) - 0.5).astype(np.int64)
    high = np.floor(np.maximum(np.maximum(a, b), c) - 0.5).astype(np.int64)
    wide, tall = np.maximum(high - low + 1, 0).T
    counts = wide * tall
    face = np.repeat(np.arange(len(triangles)), counts)
    within = np.arange(int(counts.sum())) - np.repeat(np.cumsum(counts) - counts, counts)
    column = low[face, 0] + within % wide[face]
    row = low[face, 1] + within // wide[face]
    at = np.column_stack([column, row]) + 0.5
    share_b, share_c = _shares(at, a[face], b[face], c[face])
    kept = (share_b > _TINY) & (share_c > _TINY) & (share_b + share_c < 1.0 - _TINY)
    face, share_b, share_c = face[kept], share_b[kept], share_c[kept]
    corners = depth[triangles[face]]
    found = corners[:, 0] + share_b * (corners[:, 1] - corners[:, 0])
    found += share_c * (corners[:, 2] - corners[:, 0])
    cell = row[kept] * shape[1] + column[kept]
    order = np.lexsort((found, cell))
    return _Samples(face[order], cell[order], found[order], shape[1])


_TINY = 1e-9


def _shares(
    at: FloatArray, a: FloatArray, b: FloatArray, c: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Barycentric shares of the second and third corner, nan for an edge-on triangle."""
    ab, ac, ap = b - a, c - a, at - a
    turn = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
    turn = np.where(np.abs(turn) > _TINY, turn, np.nan)
    share_b = (ap[:, 0] * ac[:, 1] - ap[:, 1] * ac[:, 0]) / turn
    share_c = (ab[:, 0] * ap[:, 1] - ab[:, 1] * ap[:, 0]) / turn
    return share_b, share_c


def _layers(samples: _Samples, nearest: FloatArray, count: int) -> IntArray:
    """Turns of painting; -1 for hidden triangles.

    A triangle that is partly hidden goes by the longest chain of such triangles behind it; those
    with nothing before them come last, whether or not a middle of a cell tells what they cover.
    """
    first = samples.depth >= nearest[samples.cell]
    seen, partly = np.zeros(count, dtype=bool), np.zeros(count, dtype=bool)
    seen[samples.face[first]] = True
    partly[samples.face[~first]] = True
    kept = (seen & partly)[samples.face]
    face, at = samples.face[kept], samples.cell[kept]
    same = at[1:] == at[:-1]
    pairs = np.unique(np.column_stack([face[:-1][same], face[1:][same]]), axis=0)
    layer = np.where(seen & partly, 0, -1)
    for _ in range(_ROUNDS):
        above = layer.copy()
        np.maximum.at(above, pairs[:, 1], layer[pairs[:, 0]] + 1)
        if np.array_equal(above, layer):
            break
        layer = above
    layer[seen & ~partly] = layer.max(initial=-1) + 1
    return layer


def _sliver_layers(
    place: IntArray, depth: FloatArray, layer: IntArray, samples: _Samples, cell: float
) -> IntArray:
    """Let triangles between the middles of cells go with what is seen in their own cell.

    Args:
        place: Column and row of the cell of each sliver's middle, shape (k, 2).
        depth: Of that middle, shape (k,) [m].
        layer: Of all triangles, shape (m,).
        samples: Of the triangles that are no slivers.
        cell: Side of a cell [m].

    Returns:
        Layer of each sliver, -1 where what is seen lies well before it, shape (k,).
    """
    at = place[:, 1] * samples.columns + place[:, 0]
    cells = int(max(at.max(initial=0), samples.cell.max(initial=0))) + 1
    seen, front = np.full(cells, -1), np.full(cells, -np.inf)
    seen[samples.cell], front[samples.cell] = samples.face, samples.depth
    there = seen[at]
    close = np.abs(depth - front[at]) <= _CLOSE * cell
    return np.asarray(np.where(there < 0, 0, np.where(close, layer[there], -1)))

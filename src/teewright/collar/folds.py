"""How high a fold may stand: the excess of wrinkled cloth, gathered along lines of the mesh."""

from collections.abc import Iterator

import numpy as np

from teewright.junction.skin import FloatArray, IntArray, SkinMesh

GATHER = 0.05
"""Length of cloth whose excess gathers in one fold [m]; an engineer's choice on the cautious side:
cloth that is pressed to the wall buckles in waves of about 2 pi (B/p)^(1/3), some 30 mm for a
soaked felt of bending stiffness B = 5 mN m under p = 0.5 bar, and friction holds the rest."""


def fold_height(
    mesh: SkinMesh, rest: FloatArray, positions: FloatArray, wrinkle: FloatArray
) -> float:
    """Height of the fold that stands if the excess of `GATHER` gathers in one.

    A fold that takes up the length e stands e/2 high. Excess is summed along the mesh's rows
    and columns.

    Args:
        mesh: Mesh, for its rows and columns.
        rest: Corners of each triangle as cut, shape (m, 3, 2) [m].
        positions: Of the vertices when formed, shape (n, 3) [m].
        wrinkle: Cloth in excess across the wrinkles of each triangle, per length, shape (m,).

    Returns:
        Height above the smooth cloth [m].
    """
    keys, excess = _edge_excess(mesh.triangles, rest, positions, wrinkle)
    longest = 0.0
    for path, doubled in _paths(mesh):
        ends = np.sort(np.column_stack([path[:-1], path[1:]]), axis=1)
        at = np.searchsorted(keys, ends[:, 0] * len(positions) + ends[:, 1])
        length = np.linalg.norm(np.diff(positions[path], axis=0), axis=1)
        more = excess[at] * length
        if path[0] == path[-1]:  # a fold may lie across the start of a closed line
            more, length = np.tile(more, 2), np.tile(length, 2)
        longest = max(longest, _most_gathered(more, length, doubled))
    return longest / 2.0


def _edge_excess(
    triangles: IntArray, rest: FloatArray, positions: FloatArray, wrinkle: FloatArray
) -> tuple[IntArray, FloatArray]:
    """Keys of all edges, sorted, and the mean excess along each, per length [-]."""
    across = _across(triangles, rest, positions)
    pairs = np.vstack([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    step = positions[pairs[:, 1]] - positions[pairs[:, 0]]
    step /= np.maximum(np.linalg.norm(step, axis=1), 1e-15)[:, None]
    share = np.einsum("ij,ij->i", step, np.tile(across, (3, 1))) ** 2
    pairs = np.sort(pairs, axis=1)
    keys, place = np.unique(pairs[:, 0] * len(positions) + pairs[:, 1], return_inverse=True)
    total = np.bincount(place, weights=share * np.tile(wrinkle, 3))
    return keys, np.asarray(total / np.bincount(place))


def _across(triangles: IntArray, rest: FloatArray, positions: FloatArray) -> FloatArray:
    """Direction in space in which each triangle is stretched least, unit vectors (m, 3)."""
    corners = positions[triangles]
    formed = np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]], axis=2)
    cut = np.stack([rest[:, 1] - rest[:, 0], rest[:, 2] - rest[:, 0]], axis=2)
    gradient = formed @ np.linalg.inv(cut)
    _, vectors = np.linalg.eigh(np.swapaxes(gradient, 1, 2) @ gradient)
    found = np.einsum("mij,mj->mi", gradient, vectors[:, :, 0])
    return np.asarray(found / np.maximum(np.linalg.norm(found, axis=1), 1e-15)[:, None])


def _paths(mesh: SkinMesh) -> Iterator[tuple[IntArray, tuple[bool, bool]]]:
    """Rows and columns of the mesh, and whether the plane of symmetry doubles their ends."""
    for row in mesh.grid:
        yield (row, (True, True)) if mesh.half else (np.append(row, row[0]), (False, False))
    for column in mesh.grid.T:
        yield column, (False, False)
    for wing in mesh.wings:
        for row in wing:
            yield row, (False, False)
    for column in _wing_columns(mesh):
        yield column, (False, mesh.half)


def _wing_columns(mesh: SkinMesh) -> Iterator[IntArray]:
    """Columns of the wings; of a whole mesh, those of both sides joined at the far side."""
    wings = [wing for wing in mesh.wings if wing.size]
    if len(wings) == 2:
        yield from np.vstack([wings[0], wings[1][-2::-1]]).T
    elif wings:
        yield from wings[0].T


def _most_gathered(excess: FloatArray, length: FloatArray, doubled: tuple[bool, bool]) -> float:
    """Greatest excess on `GATHER` of a line [m].

    Excess is even along each edge, so the greatest begins or ends where an edge does.
    """
    for end, twice in enumerate(doubled):  # the mirror image goes on beyond the plane
        if twice:
            both = (excess, length) if end else (excess[::-1], length[::-1])
            excess, length = (np.concatenate([part, part[::-1]]) for part in both)
            if not end:
                excess, length = excess[::-1], length[::-1]
    along = np.concatenate([[0.0], np.cumsum(length)])
    total = np.concatenate([[0.0], np.cumsum(excess)])
    ahead = np.interp(along + GATHER, along, total) - total
    behind = total - np.interp(along - GATHER, along, total)
    return float(max(np.max(ahead), np.max(behind)))

"""The lines of a solid shape on paper: its outline, its edges, and any line as far as in sight."""

import numpy as np

from teewright.junction.skin import FloatArray, IntArray
from teewright.report.figures.patches import boundary_loops, chains
from teewright.report.figures.projections import NEAR, Picture

_STEEP = 0.03


def outline(points: FloatArray, triangles: IntArray, picture: Picture) -> list[FloatArray]:
    """Lines where the surface turns away from the viewer, and its edges, as far as in sight.

    Args:
        points: Shape (n, 3) [m].
        triangles: As projected, shape (m, 3).
        picture: The view of them.

    Returns:
        (right, up) of the points of each line, shape (k, 2) [m].
    """
    edges = [np.array([*loop, loop[0]]) for loop in boundary_loops(triangles)]
    found = [line for edge in edges for line in in_sight(points[edge], picture)]
    for line in _contours(points, triangles, picture):
        found += in_sight(line, picture, near=_STEEP)
    return found


def in_sight(line: FloatArray, picture: Picture, *, near: float = NEAR) -> list[FloatArray]:
    """Parts of a line that nothing hides.

    Args:
        line: Points in order, shape (k, 3) [m].
        picture: The view.
        near: As for `Picture.shows` [-].

    Returns:
        (right, up) of each part, shape (j, 2) [m].
    """
    right, up, toward = picture.view.axes()
    fine = _refined(line, 1.5 * picture.cell)
    plane, depth = fine @ np.column_stack([right, up]), fine @ toward
    shown = picture.shows(plane, depth, near)
    breaks = np.flatnonzero(np.diff(shown.astype(np.int8))) + 1
    runs = np.split(np.arange(len(fine)), breaks)
    return [plane[run] for run in runs if shown[run[0]] and len(run) > 2]


def _refined(line: FloatArray, step: float) -> FloatArray:
    """The line with points no farther apart than `step`."""
    lengths = np.linalg.norm(np.diff(line, axis=0), axis=1)
    parts = np.maximum(np.ceil(lengths / step).astype(np.int64), 1)
    begin = np.repeat(np.arange(len(parts)), parts)
    offset = np.arange(int(parts.sum())) - np.repeat(np.cumsum(parts) - parts, parts)
    share = (offset / parts[begin])[:, None]
    inner = line[begin] + share * (line[begin + 1] - line[begin])
    return np.asarray(np.concatenate([inner, line[-1:]]))


def _contours(points: FloatArray, triangles: IntArray, picture: Picture) -> list[FloatArray]:
    """Where a smooth surface through the vertices is seen edge-on and curves away behind.

    The angle between normal and view is linear in each triangle; it vanishes on one straight
    piece. A piece from which the surface rises towards the viewer lies in a hollow: it is hidden.
    """
    toward = picture.view.axes()[2]
    facing = _normals(points, triangles) @ toward
    corners = facing[triangles]
    mixed = np.flatnonzero((corners.min(axis=1) < 0.0) & (corners.max(axis=1) >= 0.0))
    places: dict[tuple[int, int], FloatArray] = {}
    pieces: list[tuple[tuple[int, int], tuple[int, int]]] = []
    for face in mixed:
        vertices = triangles[face]
        if _slope(points[vertices], facing[vertices], toward) <= 0.0:
            continue
        ends = [_crossing(points, facing, vertices, k, places) for k in range(3)]
        first, last = (end for end in ends if end is not None)
        pieces.append((first, last))
    return [np.array([places[key] for key in chain]) for chain in chains(pieces)]


def _normals(points: FloatArray, triangles: IntArray) -> FloatArray:
    """Unit normals of the vertices, of their triangles weighed by area, shape (n, 3)."""
    a, b, c = (points[triangles[:, k]] for k in range(3))
    normal = np.zeros_like(points)
    for k in range(3):
        np.add.at(normal, triangles[:, k], np.cross(b - a, c - a))
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    return np.asarray(normal / np.where(length > 0.0, length, 1.0))


def _slope(corners: FloatArray, values: FloatArray, direction: FloatArray) -> float:
    """Rise of a linear function on a triangle along a direction laid into its plane."""
    sides = np.stack([corners[1] - corners[0], corners[2] - corners[0]])
    rise = np.array([values[1] - values[0], values[2] - values[0]])
    gram = sides @ sides.T
    return float(np.linalg.solve(gram, rise) @ (sides @ direction))


def _crossing(
    points: FloatArray,
    facing: FloatArray,
    vertices: IntArray,
    k: int,
    places: dict[tuple[int, int], FloatArray],
) -> tuple[int, int] | None:
    """Edge `k` of a triangle where the function changes its sign on it; its place is noted."""
    i, j = int(vertices[k]), int(vertices[(k + 1) % 3])
    if (facing[i] >= 0.0) == (facing[j] >= 0.0):
        return None
    key = (min(i, j), max(i, j))
    share = facing[key[0]] / (facing[key[0]] - facing[key[1]])
    places[key] = points[key[0]] + share * (points[key[1]] - points[key[0]])
    return key

"""Numbers of vertices and triangles of a skin's mesh: counts in, numbers out, no shape."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.junction.plan import MeshPlan
from teewright.junction.skin import IntArray


@dataclass(frozen=True, slots=True, eq=False)
class Topology:
    """Which vertex is where.

    Attributes:
        vertices: Number of vertices.
        grid: Rings round the branch, shape (rows, columns).
        wings: Vertices beyond the outer line, towards +y and towards -y, shape (k, c).
        sides: Columns of the outer line's side towards +y, towards -y, along +x.
        closing: Vertices of the closing line.
        triangles: Counter-clockwise seen from the host, shape (m, 3).
    """

    vertices: int
    grid: IntArray
    wings: tuple[IntArray, ...]
    sides: tuple[IntArray, ...]
    closing: IntArray
    triangles: IntArray


def topology_of(plan: MeshPlan) -> Topology:
    """Numbers of a plan's vertices and triangles.

    Args:
        plan: Its counts are read, not its lengths.

    Returns:
        The numbers.
    """
    columns = sum(plan.quadrants) + (1 if plan.half else 0)
    rows = (plan.counts.main + plan.counts.branch) * plan.parts + 1
    grid = np.arange(rows * columns, dtype=np.int64).reshape(rows, columns)
    sides, count = _sides(plan.corners), grid.size
    wings: tuple[IntArray, ...] = ()
    if plan.counts.wing:
        wings, count = _wings(grid, sides, plan.counts.wing * plan.parts)
    elif not plan.half:
        grid, count = _weld(grid, sides)
    cells = [_ring_cells(grid, plan.quadrants)]
    flanks = np.cumsum(plan.quadrants)[[0, 2] if not plan.half else [0]]
    for k, wing in enumerate(wings):
        cells.append(_wing_cells(wing, abs(int(sides[k][0] - flanks[k])), down=k == 1))
    closing = wings[0][-1] if wings else grid[0, sides[0]]
    return Topology(count, grid, wings, sides, closing, np.concatenate(cells))


def _sides(corners: tuple[int, ...]) -> tuple[IntArray, ...]:
    """Columns of the rectangle's two sides, corner to corner along +x."""
    upper = np.arange(corners[1], corners[0] - 1, -1, dtype=np.int64)
    if len(corners) == 2:
        return (upper,)
    return upper, np.arange(corners[2], corners[3] + 1, dtype=np.int64)


def _wings(
    grid: IntArray, sides: tuple[IntArray, ...], rows: int
) -> tuple[tuple[IntArray, ...], int]:
    """Number both wings; they share their last row."""
    count = grid.size
    wings: list[IntArray] = []
    for k, side in enumerate(sides):
        wide = len(side)
        new = rows if k == 0 else rows - 1
        wing = np.empty((rows + 1, wide), dtype=np.int64)
        wing[0] = grid[0, side]
        wing[1 : new + 1] = count + np.arange(new * wide).reshape(new, wide)
        if k == 1:
            wing[-1] = wings[0][-1]
        count += new * wide
        wings.append(wing)
    return tuple(wings), count


def _weld(grid: IntArray, sides: tuple[IntArray, ...]) -> tuple[IntArray, int]:
    """Give both sides of the rectangle the same vertices, and close the numbering up."""
    welded = grid.copy()
    welded[0, sides[1]] = grid[0, sides[0]]
    kept, numbers = np.unique(welded, return_inverse=True)
    return numbers.reshape(grid.shape).astype(np.int64), len(kept)


def _split(
    a: IntArray, b: IntArray, c: IntArray, d: IntArray, rising: NDArray[np.bool_]
) -> IntArray:
    """Two triangles of each cell a b c d, counter-clockwise; rising cells are cut a-c."""
    up = np.stack([np.stack([a, b, c], -1), np.stack([a, c, d], -1)], -2)
    down = np.stack([np.stack([a, b, d], -1), np.stack([b, c, d], -1)], -2)
    cells = np.where(rising[..., None, None], up, down)
    return np.asarray(cells.reshape(-1, 3))


def _ring_cells(grid: IntArray, quadrants: tuple[int, ...]) -> IntArray:
    """Triangles of the rings; the cut of the cells is mirrored at crotch, flanks and heel."""
    rising = np.repeat([1, 0, 1, 0][: len(quadrants)], quadrants).astype(np.int64) == 1
    ring = grid if len(quadrants) == 2 else np.concatenate([grid, grid[:, :1]], axis=1)
    cut = np.broadcast_to(rising, (len(ring) - 1, len(rising)))
    return _split(ring[:-1, :-1], ring[:-1, 1:], ring[1:, 1:], ring[1:, :-1], cut)


def _wing_cells(wing: IntArray, flank: int, *, down: bool) -> IntArray:
    """Triangles of a wing; the cut is mirrored where the flank's column ends."""
    rising = np.arange(wing.shape[1] - 1) >= flank
    cut = np.broadcast_to(rising, (len(wing) - 1, len(rising)))
    a, b, c, d = wing[:-1, :-1], wing[:-1, 1:], wing[1:, 1:], wing[1:, :-1]
    return _split(b, a, d, c, ~cut) if down else _split(a, b, c, d, cut)

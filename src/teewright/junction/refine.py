"""From a coarse mesh to the one with each interval halved."""

from dataclasses import dataclass

import numpy as np

from teewright.junction.skin import FloatArray, IntArray, SkinMesh


@dataclass(frozen=True, slots=True, eq=False)
class Prolongation:
    """Each fine vertex between two coarse ones.

    Attributes:
        parents: Coarse vertices, the same twice where the fine vertex is one of them, shape
            (fine, 2).
        weights: Of the parents, sum 1, by distance in space, shape (fine, 2) [-].
    """

    parents: IntArray
    weights: FloatArray

    def carried(self, values: FloatArray) -> FloatArray:
        """Values of the fine vertices from those of the coarse ones.

        Args:
            values: Shape (coarse, ...).

        Returns:
            Shape (fine, ...).
        """
        shape = (-1,) + (1,) * (values.ndim - 1)
        first, second = (self.weights[:, k].reshape(shape) for k in range(2))
        return np.asarray(first * values[self.parents[:, 0]] + second * values[self.parents[:, 1]])


def prolongation(coarse: SkinMesh, fine: SkinMesh) -> Prolongation:
    """How the vertices of a mesh lie between those of the one it was refined from.

    Args:
        coarse: Built to a plan.
        fine: Built to `finer` of that plan.

    Returns:
        Parents and weights.
    """
    parents = np.empty((len(fine.points), 2), dtype=np.int64)
    cuts = _cell_cuts(coarse)
    start = _halve(parents, coarse.grid, fine.grid, cuts, ring=not coarse.half)
    for old, new in zip(coarse.wings, fine.wings, strict=True):
        start += _halve(parents, old, new, cuts[start:], ring=False)
    apart = [np.linalg.norm(fine.points - coarse.points[parents[:, k]], axis=1) for k in (1, 0)]
    whole = apart[0] + apart[1]
    share = np.where(whole > 0.0, apart[0] / np.where(whole > 0.0, whole, 1.0), 0.5)
    return Prolongation(parents, np.column_stack([share, 1.0 - share]))


def _cell_cuts(mesh: SkinMesh) -> IntArray:
    """Ends of the cut of each cell: what its two triangles share, shape (cells, 2)."""
    first, second = mesh.triangles[0::2], mesh.triangles[1::2]
    shared = (first[:, :, None] == second[:, None, :]).any(axis=2)
    return np.asarray(first[shared].reshape(-1, 2))


def _halve(parents: IntArray, old: IntArray, new: IntArray, cuts: IntArray, *, ring: bool) -> int:
    """Write the parents of one patch; the number of its cells."""
    ahead = np.roll(old, -1, axis=1) if ring else old[:, 1:]
    here = old if ring else old[:, :-1]
    cells = (old.shape[0] - 1) * here.shape[1]
    parents[new[1::2, 1::2]] = cuts[:cells].reshape(old.shape[0] - 1, here.shape[1], 2)
    parents[new[1::2, ::2]] = np.stack([old[:-1], old[1:]], axis=2)
    parents[new[::2, 1::2]] = np.stack([here, ahead], axis=2)
    parents[new[::2, ::2]] = np.stack([old, old], axis=2)
    return int(cells)

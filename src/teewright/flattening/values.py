"""What a flattening is given and what it gives back: plain arrays."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
"""Array of floats."""
IntArray = NDArray[np.int64]
"""Array of whole numbers."""


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """A surface cut into pieces, ready to be laid flat; all pieces are numbered through.

    Flat coordinates are (across, along) the grain, and triangles are counter-clockwise in them.

    Attributes:
        sides: Formed length of each triangle's sides from corner 0 to 1, 1 to 2 and 2 to 0,
            measured on the surface, shape (m, 3) [m].
        triangles: Flat vertices of each triangle, shape (m, 3).
        pairs: Ends of two edges that are sewn to each other: (from, to) on one piece and (from,
            to) on the other, flat vertices, shape (p, 4).
        held: Flat vertices of which one coordinate is kept at 0, shape (h,).
        axes: Which coordinate, 0 across or 1 along the grain, shape (h,).
    """

    sides: FloatArray
    triangles: IntArray
    pairs: IntArray
    held: IntArray
    axes: IntArray


def chords(corners: FloatArray, triangles: IntArray) -> FloatArray:
    """Straight sides of triangles from corner 0 to 1, 1 to 2 and 2 to 0.

    Args:
        corners: Shape (k, 3) [m].
        triangles: Shape (m, 3).

    Returns:
        Shape (m, 3) [m].
    """
    ends = corners[np.roll(triangles, -1, axis=1)] - corners[triangles]
    lengths: FloatArray = np.linalg.norm(ends, axis=2)
    return lengths


@dataclass(frozen=True, slots=True)
class Stiffness:
    """Membrane stiffness of the cloth against logarithmic strain.

    Attributes:
        across: D11, across the grain [N/m].
        along: D22, along the grain [N/m].
        coupling: D12 [N/m].
        shear: D33, on the engineering shear [N/m].
    """

    across: float
    along: float
    coupling: float
    shear: float


@dataclass(frozen=True, slots=True, eq=False)
class Flattening:
    """Pieces laid flat.

    Attributes:
        flat: Cut coordinates (across, along the grain), shape (k, 2) [m].
        stretch: Principal stretches of each triangle, formed over cut, larger first,
            shape (m, 2) [-].
        along: Stretch of a thread along and of one across the grain, shape (m, 2) [-].
        ratio: Largest over smallest principal stretch [-].
        mismatch: Largest difference in length of the edges of a pair [m].
        iterations: Newton steps.
        residual: Fall of the (dimensionless) objective that one more Newton step promises.
    """

    flat: FloatArray
    stretch: FloatArray
    along: FloatArray
    ratio: float
    mismatch: float
    iterations: int
    residual: float

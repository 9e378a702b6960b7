"""A mesh of the skin: what flattening and forming work on."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.junction.values import Skin

FloatArray = NDArray[np.float64]
"""Array of floats."""
IntArray = NDArray[np.int64]
"""Array of whole numbers."""


@dataclass(frozen=True, slots=True, eq=False)
class SkinMesh:
    """Triangles on a skin: a grid round the branch, and two wings that reach round the main.

    Attributes:
        skin: The surface.
        points: Shape (n, 3) [m].
        triangles: Vertices counter-clockwise seen from the host, shape (m, 3).
        zone: 0 on the main, 1 on the rounded edge, 2 on the branch, by the triangle's middle,
            shape (m,).
        phi: Angle round the branch of each column, ascending from 0 at the crotch; columns end
            at pi (half) or before 2 pi (whole), shape (columns,) [rad].
        grid: Vertices of the rows round the branch, from the outer line on the main (row 0) to
            the top of the branch (last row), shape (rows, columns).
        seam_row: Row that lies on the saddle seam.
        wings: Vertices beyond the outer line, towards +y and towards -y (only +y if half). In
            each, the first row is part of grid row 0, rows go on to the closing line at the
            far side of the main, columns run along +x, shape (k, c). Empty where the grid
            itself reaches the far side.
        main_unrolled: (x along the main, arc length round it from z = crown, positive to +y) of
            the vertices on main and rounded edge, the latter carried on straight from where the
            edge begins; nan elsewhere, shape (n, 2) [m].
        branch_unrolled: (arc length round the branch from the crotch, along its axis) likewise
            for the vertices on branch and rounded edge, shape (n, 2) [m].
        half: Whether it covers y >= 0 only.
    """

    skin: Skin
    points: FloatArray
    triangles: IntArray
    zone: IntArray
    phi: FloatArray
    grid: IntArray
    seam_row: int
    wings: tuple[IntArray, ...]
    main_unrolled: FloatArray
    branch_unrolled: FloatArray
    half: bool

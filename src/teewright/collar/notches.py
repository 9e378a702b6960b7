"""Notches: marks on both panels that meet when the saddle is sewn."""

import math

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

PER_QUADRANT = 3
"""Spaces between notches in each quadrant."""
_QUADRANTS = ("C", "L", "H", "R")


def notch_angles(phi: FloatArray, seam: FloatArray) -> list[tuple[str, float]]:
    """Labels and places of the notches.

    `C` crotch, `H` heel, `L` and `R` the flanks at phi = +90 and -90 degrees; between them
    `C1`, `C2`, ... in the direction of rising phi, at equal shares of the seam's length in
    space, so that each notch lands at one place whichever panel carries it.

    Args:
        phi: Angles from -pi to pi with all quadrants among them, shape (n,) [rad].
        seam: Seam in space at these angles, shape (n, 3) [m].

    Returns:
        (label, phi in -pi < phi <= pi [rad]) in the order of sewing from the crotch.
    """
    steps = np.linalg.norm(np.diff(seam, axis=0), axis=1)
    length = np.concatenate([[0.0], np.cumsum(steps)])
    marks = []
    for label, start in zip(_QUADRANTS, (0.0, math.pi / 2, -math.pi, -math.pi / 2), strict=True):
        low, high = np.interp([start, start + math.pi / 2], phi, length)
        for step in range(PER_QUADRANT):
            at = float(np.interp(low + (high - low) * step / PER_QUADRANT, length, phi))
            name = f"{label}{step}" if step else label
            marks.append((name, math.pi if name == "H" else at))
    return marks

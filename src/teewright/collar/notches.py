"""Notches: marks on both panels that meet when the saddle is sewn."""

import math

import numpy as np
from numpy.typing import NDArray

from teewright.collar.values import Notch

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


def place_notches(
    marks: list[tuple[str, float]], phi: FloatArray, seam: FloatArray, *, outside: float
) -> tuple[Notch, ...]:
    """Put notches on the seam line of a flat panel.

    Args:
        marks: (label, phi [rad]) each.
        phi: Angles of the seam line, rising, shape (n,) [rad].
        seam: Seam line of the panel, shape (n, 2) [m].
        outside: +1 where the cut edge lies to the left of the line as phi rises, else -1.

    Returns:
        One notch a mark, its normal across the seam line towards the cut edge.
    """
    tangent = np.gradient(seam, phi, axis=0)
    notches = []
    for label, at in marks:
        x, y = (float(np.interp(at, phi, seam[:, axis])) for axis in (0, 1))
        dx, dy = (float(np.interp(at, phi, tangent[:, axis])) for axis in (0, 1))
        size = math.hypot(dx, dy)
        normal = (-outside * dy / size, outside * dx / size)
        notches.append(Notch(label=label, point=(x, y), normal=normal))
    return tuple(notches)

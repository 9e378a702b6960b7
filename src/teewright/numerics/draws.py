"""Points that fill a space evenly: cases for a spread, the same at every run."""

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from teewright.errors import InputError

FloatArray = NDArray[np.float64]
MOST = 40
"""Numbers of a point at the most."""


def even_normals(doublings: int, size: int) -> FloatArray:
    """Standard normal numbers from Sobol's sequence, in the place of random ones.

    The first point of the sequence, all 0, is left out; each number goes through the inverse
    of the normal distribution.

    Args:
        doublings: 2^doublings - 1 points are given, 1 to 16.
        size: Numbers of each point, up to `MOST`.

    Returns:
        Shape (2^doublings - 1, size) [-].

    Raises:
        InputError: There are too few points or too many numbers.
    """
    if not (1 <= doublings <= 16 and 1 <= size <= MOST):
        raise InputError(
            "give no points",
            field="doublings and size",
            value=(doublings, size),
            allowed=f"1 to 16 and 1 to {MOST}",
        )
    from scipy.stats import qmc  # noqa: PLC0415 -- takes a quarter of a second to load

    points = qmc.Sobol(size, scramble=False).random_base2(doublings)[1:]
    return np.asarray(ndtri(points), dtype=np.float64)

"""The law of a textile over a whole collar: arrays in, arrays out."""

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
"""Array of floats."""


def thinned(thickness: float, stretch: FloatArray) -> FloatArray:
    """Thickness over a collar, t / (lambda_1 lambda_2).

    At one pressure a felt has one density: the same fibre on more area is that much thinner
    (conservation of mass; an assumption for other textiles).

    Args:
        thickness: Not stretched, at the pressure meant [m].
        stretch: Principal stretches, shape (m, 2) [-].

    Returns:
        Thickness, shape (m,) [m].
    """
    return np.asarray(thickness / (stretch[:, 0] * stretch[:, 1]), dtype=np.float64)

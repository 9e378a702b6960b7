"""The law of a textile over a whole collar: arrays in, arrays out."""

import numpy as np
from numpy.typing import NDArray

from teewright.fabric.law import FabricLaw

FloatArray = NDArray[np.float64]
"""Array of floats."""


def wrinkle_limits(law: FabricLaw, stretch: FloatArray, direction: FloatArray) -> FloatArray:
    """`teewright.fabric.law.wrinkle_limit` for many places.

    Args:
        law: Of the fabric.
        stretch: The larger principal stretch, shape (m,) [-].
        direction: Of the larger stretch, as cut, from the grain, shape (m,) [rad].

    Returns:
        Least stretch across that keeps tension, shape (m,) [-].
    """
    c2 = np.cos(direction) ** 2
    s2 = 1.0 - c2
    along, across, shear = law.stiffness_along, law.stiffness_across, law.shear
    straight = c2 * c2 + s2 * s2
    compliance = (
        c2 * c2 / along + s2 * s2 / across + (1.0 / shear - 2.0 * law.poisson / along) * s2 * c2
    )
    contraction = law.poisson / along * straight
    contraction -= (1.0 / along + 1.0 / across - 1.0 / shear) * s2 * c2
    return np.asarray(stretch ** -(contraction / compliance), dtype=np.float64)


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

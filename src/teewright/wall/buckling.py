"""Buckling of rings and tubes under pressure from outside, beside ASTM F1216.

Moser, Buried Pipe Design, eq. 3.13 and 3.14, p. 111, for rings and long tubes on their own;
Glock's formula for a ring inside a rigid host, value from memory. The free ring and the long
tube size nothing: they are what Glock and eq. X1.1 are swept against.
"""

import math

from teewright.numerics.limits import within

THIN = (5.0, 500.0)
"""Diameter over thickness of a thin ring or tube [-]."""
POISSON = (0.0, 0.5)
"""Poisson's ratios [-]."""
MODULUS = (1e6, 1e12)
"""Moduli [Pa]."""
MOSER = "Moser, Buried Pipe Design, p. 111"
GLOCK = "Glock's ring in a rigid host (value from memory)"


def free_ring(modulus: float, thickness: float, mean_radius: float) -> float:
    """Critical pressure of a free ring, 3 E I / R^3 with I = t^3/12 (Moser, eq. 3.13, p. 111).

    Args:
        modulus: E [Pa].
        thickness: t [m].
        mean_radius: R, to the middle of the wall [m].

    Returns:
        Pressure [Pa].

    Raises:
        RangeError: The ring is not thin, or the modulus out of range.
    """
    _check(modulus, 2.0 * mean_radius / thickness, law=MOSER)
    return 3.0 * modulus * (thickness**3 / 12.0) / mean_radius**3


def long_tube(modulus: float, thickness: float, mean_radius: float, poisson: float) -> float:
    """Critical pressure of a long tube, E t^3 / [4 (1 - v^2) R^3] (Moser, eq. 3.14, p. 111).

    Args:
        modulus: E [Pa].
        thickness: t [m].
        mean_radius: R, to the middle of the wall [m].
        poisson: v [-].

    Returns:
        Pressure [Pa].

    Raises:
        RangeError: The tube is not thin, or a property out of range.
    """
    _check(modulus, 2.0 * mean_radius / thickness, law=MOSER)
    within(poisson, POISSON, quantity="Poisson's ratio", unit="-", law=MOSER)
    return modulus * thickness**3 / (4.0 * (1.0 - poisson**2) * mean_radius**3)


def glock_mean(modulus: float, dimension_ratio: float, poisson: float) -> float:
    """Glock, E/(1 - v^2) (t/D_m)^2.2 with the mean diameter of the liner, D_m = D - t.

    Value from memory. Glock's energy, worked out anew, gives 1.0025 of it with the mean
    diameter for every D/t. Between this and `glock_outer` lie 4 to 8 %: say which is used.

    Args:
        modulus: E [Pa].
        dimension_ratio: D/t, D the outer diameter of the liner [-].
        poisson: v [-].

    Returns:
        Critical pressure in a rigid, perfectly round host [Pa].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    _check(modulus, dimension_ratio, law=GLOCK)
    return _glock(modulus, dimension_ratio - 1.0, poisson)


def glock_outer(modulus: float, dimension_ratio: float, poisson: float) -> float:
    """Glock, E/(1 - v^2) (t/D)^2.2 with the outer diameter of the liner.

    Value from memory; see `glock_mean`.

    Args:
        modulus: E [Pa].
        dimension_ratio: D/t, D the outer diameter of the liner [-].
        poisson: v [-].

    Returns:
        Critical pressure in a rigid, perfectly round host [Pa].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    _check(modulus, dimension_ratio, law=GLOCK)
    return _glock(modulus, dimension_ratio, poisson)


def glock_thickness(
    pressure: float, diameter: float, modulus: float, *, poisson: float, reduction: float
) -> float:
    """Thickness against buckling after Glock with the mean diameter, solved for t.

    t = D / { [r E / (P (1 - v^2))]^(1/2.2) + 1 }; value from memory. Glock's host is round and
    the ring fits without a gap: what ovality and safety take off is handed in as r.

    Args:
        pressure: Groundwater P [Pa].
        diameter: Outer diameter of the liner D [m].
        modulus: E [Pa].
        poisson: v [-].
        reduction: r, e.g. the ovality factor over the safety factor [-].

    Returns:
        Thickness, 0 without groundwater [m].

    Raises:
        RangeError: A property out of range.
    """
    within(modulus, MODULUS, quantity="modulus", unit="Pa", law=GLOCK)
    within(poisson, POISSON, quantity="Poisson's ratio", unit="-", law=GLOCK)
    within(reduction, (0.01, 1.0), quantity="reduction", unit="-", law=GLOCK)
    if pressure <= 0.0:
        return 0.0
    ring = reduction * modulus / (pressure * (1.0 - poisson**2))
    return diameter / (math.pow(ring, 1.0 / 2.2) + 1.0)


def glock_enhancement(dimension_ratio: float) -> float:
    """K with which F1216 X1.1 gives the pressure of `glock_mean`, (DR - 1)^0.8 / 2.

    Glock over the long free tube. K = 7, the usual value, agrees at DR = 28.1: a stiffer
    liner has less help from its host than K = 7 says.

    Args:
        dimension_ratio: D/t, D the outer diameter of the liner [-].

    Returns:
        K [-].

    Raises:
        RangeError: The liner is not thin.
    """
    within(dimension_ratio, THIN, quantity="dimension ratio", unit="-", law=GLOCK)
    return 0.5 * math.pow(dimension_ratio - 1.0, 0.8)


def _glock(modulus: float, ratio: float, poisson: float) -> float:
    within(poisson, POISSON, quantity="Poisson's ratio", unit="-", law=GLOCK)
    return modulus / (1.0 - poisson**2) * math.pow(ratio, -2.2)


def _check(modulus: float, ratio: float, *, law: str) -> None:
    within(ratio, THIN, quantity="dimension ratio", unit="-", law=law)
    within(modulus, MODULUS, quantity="modulus", unit="Pa", law=law)

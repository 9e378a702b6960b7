"""Wall thickness against groundwater after ASTM F1216, Appendix X1.

The clauses of the standard are values from memory. The equations X1.1 and X1.2, their symbols
and two worked designs were read in Najafi, Trenchless Technology Piping: Installation and
Inspection (McGraw-Hill, 2010), sec. 2.7, pp. 75-83, and agree. `DR` is D/t with D the mean
inner diameter of the host; `q` is the ovality as a share, not in per cent.
"""

import math

from teewright.numerics.limits import within

OVALITY = (0.0, 0.10)
"""Ovalities for which the appendix is used [-]; value from memory."""
POISSON = (0.0, 0.5)
"""Poisson's ratios [-]."""
SAFETY = (1.0, 5.0)
"""Safety factors [-]."""
ENHANCEMENT = (1.0, 10.0)
"""Enhancement factors K [-]."""
RATIO = (5.0, 500.0)
"""Dimension ratios D/t of a thin liner [-]."""
STRENGTH = (1e4, 1e10)
"""Flexural strengths [Pa]."""
PRESSURE = (0.0, 1e6)
"""Pressures from outside [Pa]."""
DIAMETER = (0.03, 5.0)
"""Diameters [m]."""
X1 = "ASTM F1216 Appendix X1"


def ovality_factor(ovality: float) -> float:
    """Reduction of the buckling pressure by ovality, C = [(1 - q)/(1 + q)^2]^3 (F1216 X1).

    Args:
        ovality: q [-].

    Returns:
        C, 1 for a round pipe [-].

    Raises:
        RangeError: The ovality is outside 0 to 10 %.
    """
    within(ovality, OVALITY, quantity="ovality", unit="-", law=X1)
    return ((1.0 - ovality) / (1.0 + ovality) ** 2) ** 3


def x1_1_pressure(
    dimension_ratio: float,
    modulus: float,
    *,
    poisson: float,
    ovality: float,
    safety_factor: float,
    enhancement: float,
) -> float:
    """Groundwater that a tight-fitting liner stands, F1216 eq. X1.1.

    P = 2 K E_L / (1 - v^2) * 1/(DR - 1)^3 * C/N.

    Args:
        dimension_ratio: DR = D/t [-].
        modulus: Long-term flexural modulus E_L [Pa].
        poisson: v [-].
        ovality: q of the host [-].
        safety_factor: N [-].
        enhancement: K [-].

    Returns:
        Allowed pressure [Pa].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(dimension_ratio, RATIO, quantity="dimension ratio", unit="-", law=X1)
    factor = _x1_1_factor(
        modulus,
        poisson=poisson,
        ovality=ovality,
        safety_factor=safety_factor,
        enhancement=enhancement,
    )
    return factor / (dimension_ratio - 1.0) ** 3


def x1_1_thickness(
    pressure: float,
    diameter: float,
    modulus: float,
    *,
    poisson: float,
    ovality: float,
    safety_factor: float,
    enhancement: float,
) -> float:
    """Thickness against groundwater, F1216 eq. X1.1 solved for t.

    t = D / { [2 K E_L C / (P N (1 - v^2))]^(1/3) + 1 }.

    Args:
        pressure: Groundwater P [Pa].
        diameter: Mean inner diameter of the host D [m].
        modulus: Long-term flexural modulus E_L [Pa].
        poisson: v [-].
        ovality: q of the host [-].
        safety_factor: N [-].
        enhancement: K [-].

    Returns:
        Thickness, 0 without groundwater [m].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(pressure, PRESSURE, quantity="pressure", unit="Pa", law=X1)
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=X1)
    factor = _x1_1_factor(
        modulus,
        poisson=poisson,
        ovality=ovality,
        safety_factor=safety_factor,
        enhancement=enhancement,
    )
    if pressure == 0.0:
        return 0.0
    return diameter / (math.cbrt(factor / pressure) + 1.0)


def x1_2_thickness(
    pressure: float, diameter: float, strength: float, *, ovality: float, safety_factor: float
) -> float:
    """Thickness against bending of an oval liner, F1216 eq. X1.2 solved for t.

    1.5 q (1 + q) DR^2 - 0.5 (1 + q) DR = s_L / (P N), a quadratic in 1/t.

    Args:
        pressure: Groundwater P [Pa].
        diameter: Mean inner diameter of the host D [m].
        strength: Long-term flexural strength s_L [Pa].
        ovality: q [-].
        safety_factor: N [-].

    Returns:
        Thickness, 0 without groundwater or in a round pipe [m].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(pressure, PRESSURE, quantity="pressure", unit="Pa", law=X1)
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=X1)
    within(strength, STRENGTH, quantity="flexural strength", unit="Pa", law=X1)
    within(ovality, OVALITY, quantity="ovality", unit="-", law=X1)
    within(safety_factor, SAFETY, quantity="safety factor", unit="-", law=X1)
    if pressure == 0.0 or ovality == 0.0:
        return 0.0
    a, b = 1.5 * ovality * (1.0 + ovality), 0.5 * (1.0 + ovality)
    c = strength / (pressure * safety_factor)
    ratio = (b + math.sqrt(b**2 + 4.0 * a * c)) / (2.0 * a)
    return diameter / ratio


def x1_2_pressure(
    dimension_ratio: float, strength: float, *, ovality: float, safety_factor: float
) -> float:
    """Groundwater at which an oval liner just meets F1216 eq. X1.2.

    P = s_L / { N [1.5 q (1 + q) DR^2 - 0.5 (1 + q) DR] }. The bracket is the tension at the
    outer face of the sharper ends, bending less thrust; the thrust adds to the compression at
    the inner face there, which the equation does not judge. Against the exact ellipse the
    tension is 1 to 6 % too high, on the safe side.

    Args:
        dimension_ratio: DR = D/t [-].
        strength: Long-term flexural strength s_L [Pa].
        ovality: q [-].
        safety_factor: N [-].

    Returns:
        Pressure, infinite where the liner is so round that no fibre is in tension [Pa].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(dimension_ratio, RATIO, quantity="dimension ratio", unit="-", law=X1)
    within(strength, STRENGTH, quantity="flexural strength", unit="Pa", law=X1)
    within(ovality, OVALITY, quantity="ovality", unit="-", law=X1)
    within(safety_factor, SAFETY, quantity="safety factor", unit="-", law=X1)
    bending = 1.5 * ovality * (1.0 + ovality) * dimension_ratio**2
    tension = bending - 0.5 * (1.0 + ovality) * dimension_ratio
    return strength / (safety_factor * tension) if tension > 0.0 else math.inf


def widest_plate(thickness: float, diameter: float) -> float:
    """Widest hole in the host over which a liner acts as a plate, 1.83 (t D)^(1/2).

    F1216 X1's hole-span condition, d/D <= 1.83 (t/D)^(1/2), value from memory.

    Args:
        thickness: t [m].
        diameter: Mean inner diameter of the host D [m].

    Returns:
        Diameter of the hole [m].
    """
    return 1.83 * math.sqrt(thickness * diameter)


def span_thickness(
    pressure: float, diameter: float, hole: float, strength: float, *, safety_factor: float
) -> float:
    """Thickness over a round hole in the host, F1216 X1's hole-span equation (from memory).

    P = 5.33/(DR - 1)^2 (D/d)^2 s_L/N, a clamped round plate of radius d/2: 5.33 = 4/0.75.
    Solved for t: t = D / { (D/d) [5.33 s_L/(P N)]^(1/2) + 1 }. It holds while the liner over
    the hole acts as a plate, see `widest_plate`: beyond, it acts as a ring.

    Args:
        pressure: P [Pa].
        diameter: Mean inner diameter of the host D [m].
        hole: Diameter of the hole d [m].
        strength: Long-term flexural strength s_L [Pa].
        safety_factor: N [-].

    Returns:
        Thickness, 0 without pressure or without a hole [m].

    Raises:
        RangeError: A value outside its range.
    """
    within(pressure, PRESSURE, quantity="pressure", unit="Pa", law=X1)
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=X1)
    within(strength, STRENGTH, quantity="flexural strength", unit="Pa", law=X1)
    within(safety_factor, SAFETY, quantity="safety factor", unit="-", law=X1)
    within(hole, (0.0, diameter), quantity="hole", unit="m", law=X1)
    if pressure == 0.0 or hole == 0.0:
        return 0.0
    root = math.sqrt(5.33 * strength / (pressure * safety_factor))
    return diameter / (diameter / hole * root + 1.0)


def _x1_1_factor(
    modulus: float,
    *,
    poisson: float,
    ovality: float,
    safety_factor: float,
    enhancement: float,
) -> float:
    within(modulus, (1e6, 1e12), quantity="modulus", unit="Pa", law=X1)
    within(poisson, POISSON, quantity="Poisson's ratio", unit="-", law=X1)
    within(safety_factor, SAFETY, quantity="safety factor", unit="-", law=X1)
    within(enhancement, ENHANCEMENT, quantity="enhancement factor", unit="-", law=X1)
    factor = 2.0 * enhancement * modulus * ovality_factor(ovality)
    return factor / (1.0 - poisson**2) / safety_factor

"""Thickness of a liner that must carry the ground itself, ASTM F1216 eq. X1.3 and X1.4.

A collar in a sound or lined main does not need them: they are for a host that has given up.
The clauses are values from memory; the equations and a worked design were read in Najafi,
Trenchless Technology Piping (McGraw-Hill, 2010), sec. 2.7, pp. 75-77, and agree.
"""

import math

from teewright.numerics.limits import within
from teewright.units import FOOT, PSI
from teewright.wall.f1216 import DIAMETER, PRESSURE, RATIO, SAFETY, X1, ovality_factor

STIFFNESS_FLOOR = 0.093 * PSI
"""Least E I / D^3 of X1.4 [Pa] (0.093 psi, Najafi 2010, p. 77)."""
SUPPORT_RATE = 0.065 / FOOT
"""Rate in the coefficient of elastic support, 0.065 per foot of cover [1/m]."""


def buoyancy_factor(water: float, soil: float) -> float:
    """Water buoyancy factor of X1.3, R_w = 1 - 0.33 H_w/H, 0.67 at the least.

    Args:
        water: Height of water over the crown H_w [m].
        soil: Height of soil over the crown H, above 0 [m].

    Returns:
        R_w [-].

    Raises:
        RangeError: A height outside 0 to 50 m.
    """
    within(water, (0.0, 50.0), quantity="water over the crown", unit="m", law=X1)
    within(soil, (0.01, 50.0), quantity="soil over the crown", unit="m", law=X1)
    return max(0.67, 1.0 - 0.33 * water / soil)


def support_factor(soil: float) -> float:
    """Coefficient of elastic support of X1.3, B' = 1 / (1 + 4 exp(-0.065 H)), H in feet.

    Args:
        soil: Height of soil over the crown [m].

    Returns:
        B' [-].

    Raises:
        RangeError: The height is outside 0 to 50 m.
    """
    within(soil, (0.0, 50.0), quantity="soil over the crown", unit="m", law=X1)
    return 1.0 / (1.0 + 4.0 * math.exp(-SUPPORT_RATE * soil))


def x1_3_thickness(
    load: float,
    diameter: float,
    modulus: float,
    *,
    soil_modulus: float,
    buoyancy: float,
    support: float,
    ovality: float,
    safety_factor: float,
) -> float:
    """Thickness of a liner that carries soil and traffic alone, F1216 eq. X1.3 since -07b.

    q_t = (1/N) [32 R_w B' E'_s C (E_L I/D^3)]^(1/2), I = t^3/12, solved for t:
    t = D { 12 (N q_t)^2 / (32 R_w B' E'_s C E_L) }^(1/3).

    Args:
        load: Total pressure from outside q_t [Pa].
        diameter: Mean inner diameter of the host D [m].
        modulus: Long-term flexural modulus E_L [Pa].
        soil_modulus: E'_s [Pa].
        buoyancy: R_w [-].
        support: B' [-].
        ovality: q [-].
        safety_factor: N [-].

    Returns:
        Thickness [m].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(load, PRESSURE, quantity="load", unit="Pa", law=X1)
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=X1)
    within(modulus, (1e6, 1e12), quantity="modulus", unit="Pa", law=X1)
    within(soil_modulus, (1e4, 1e9), quantity="soil modulus", unit="Pa", law=X1)
    within(safety_factor, SAFETY, quantity="safety factor", unit="-", law=X1)
    stiffness = 32.0 * buoyancy * support * soil_modulus * ovality_factor(ovality) * modulus
    return diameter * math.cbrt(12.0 * (safety_factor * load) ** 2 / stiffness)


def x1_3_load(
    dimension_ratio: float,
    modulus: float,
    *,
    soil_modulus: float,
    buoyancy: float,
    support: float,
    ovality: float,
    safety_factor: float,
) -> float:
    """Load that a liner carries alone, F1216 eq. X1.3 since -07b.

    q_t = (1/N) [32 R_w B' E'_s C E_L / (12 DR^3)]^(1/2).

    Args:
        dimension_ratio: DR = D/t [-].
        modulus: Long-term flexural modulus E_L [Pa].
        soil_modulus: E'_s [Pa].
        buoyancy: R_w [-].
        support: B' [-].
        ovality: q [-].
        safety_factor: N [-].

    Returns:
        Total pressure from outside q_t [Pa].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(dimension_ratio, RATIO, quantity="dimension ratio", unit="-", law=X1)
    within(modulus, (1e6, 1e12), quantity="modulus", unit="Pa", law=X1)
    within(soil_modulus, (1e4, 1e9), quantity="soil modulus", unit="Pa", law=X1)
    within(safety_factor, SAFETY, quantity="safety factor", unit="-", law=X1)
    ground = 32.0 * buoyancy * support * soil_modulus * ovality_factor(ovality)
    return math.sqrt(ground * modulus / (12.0 * dimension_ratio**3)) / safety_factor


def x1_4_thickness(diameter: float, modulus: float) -> float:
    """Least thickness for handling, F1216 eq. X1.4, E/(12 DR^3) >= 0.093 psi.

    Args:
        diameter: Mean inner diameter of the host D [m].
        modulus: Short-term flexural modulus E [Pa].

    Returns:
        Thickness [m].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=X1)
    within(modulus, (1e6, 1e12), quantity="modulus", unit="Pa", law=X1)
    return diameter * math.cbrt(12.0 * STIFFNESS_FLOOR / modulus)

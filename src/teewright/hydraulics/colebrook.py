"""Full pipe after Colebrook and White.

1/sqrt(f) = -2 log10[ k/(3.7 D) + 2.51/(Re sqrt(f)) ] (Colebrook, Turbulent flow in pipes,
J. Inst. Civ. Engrs 11, 1939; constant 2.51 as in EN 752 and most tables, 2.5 in some).
With h_f = f (L/D) V^2/(2g) and S = h_f/L it is explicit in V, the form of sewer tables:
V = -2 sqrt(2 g D S) log10[ k/(3.7 D) + 2.51 nu / (D sqrt(2 g D S)) ].
"""

import math

from teewright.errors import ConvergenceError
from teewright.numerics.limits import within
from teewright.units import GRAVITY

WATER_10_CELSIUS = 1.31e-6
"""Kinematic viscosity of water at 10 degrees Celsius [m2/s]; value from memory, usual tables."""
RELATIVE_ROUGHNESS = (0.0, 0.05)
"""k/D for which the formula is used, that of the usual resistance diagrams [-]."""
TURBULENT = (4000.0, 1e8)
"""Reynolds numbers for which the formula holds [-]; value from memory, usual textbooks."""
LAMINAR = 2300.0
"""Reynolds number below which a pipe's flow is laminar [-]; value from memory, textbooks."""
DIAMETER = (0.005, 5.0)
"""Inner diameters [m]."""
SLOPE = (1e-6, 1.0)
"""Slopes of the energy line [-]."""
VISCOSITY = (1e-7, 1e-4)
"""Kinematic viscosities [m2/s]."""
LAW = "Colebrook and White (1939)"


def colebrook_velocity(
    diameter: float,
    slope: float,
    roughness: float,
    *,
    kinematic_viscosity: float = WATER_10_CELSIUS,
    constant: float = 2.51,
) -> float:
    """Velocity in a full pipe at a slope of the energy line, explicit Colebrook-White.

    The rival of `colebrook_friction`: the same law without a root to be found.

    Args:
        diameter: Inner diameter [m].
        slope: Head lost per length [-].
        roughness: Equivalent sand roughness k [m].
        kinematic_viscosity: nu [m2/s].
        constant: Of the smooth term, 2.51 or the older 2.5 [-].

    Returns:
        Mean velocity [m/s].

    Raises:
        RangeError: A value outside the ranges of this module, or a flow that is not turbulent.
    """
    _check(diameter, roughness, kinematic_viscosity)
    within(slope, SLOPE, quantity="slope", unit="-", law=LAW)
    scale = math.sqrt(2.0 * GRAVITY * diameter * slope)
    inner = roughness / (3.7 * diameter) + constant * kinematic_viscosity / (diameter * scale)
    velocity = -2.0 * scale * math.log10(inner)
    reynolds = velocity * diameter / kinematic_viscosity
    within(reynolds, TURBULENT, quantity="Reynolds number", unit="-", law=LAW)
    return velocity


def colebrook_friction(relative_roughness: float, reynolds: float) -> float:
    """Darcy's friction factor in turbulent flow, by Newton's method on 1/sqrt(f).

    Args:
        relative_roughness: k/D [-].
        reynolds: V D/nu [-].

    Returns:
        Friction factor [-].

    Raises:
        RangeError: Outside the ranges of this module.
        ConvergenceError: No root in 50 steps.
    """
    within(relative_roughness, RELATIVE_ROUGHNESS, quantity="relative roughness", unit="-", law=LAW)
    within(reynolds, TURBULENT, quantity="Reynolds number", unit="-", law=LAW)
    x, residual = 6.0, math.inf
    for _ in range(50):
        inner = relative_roughness / 3.7 + 2.51 * x / reynolds
        residual = x + 2.0 * math.log10(inner)
        slope = 1.0 + 2.0 / math.log(10.0) * 2.51 / reynolds / inner
        x -= residual / slope
        if abs(residual) < 1e-12:
            return 1.0 / x**2
    raise ConvergenceError("Colebrook's friction factor", iterations=50, residual=residual)


def friction_factor(relative_roughness: float, reynolds: float) -> float:
    """Darcy's friction factor at any Reynolds number above zero.

    64/Re below 2300 (Hagen-Poiseuille), Colebrook-White above 4000. Between the two nothing
    is certain: the turbulent value at 4000 is used, which is the larger one (safe side for a
    capacity).

    Args:
        relative_roughness: k/D [-].
        reynolds: V D/nu [-].

    Returns:
        Friction factor [-].

    Raises:
        RangeError: Outside the ranges of this module.
    """
    within(reynolds, (1e-9, TURBULENT[1]), quantity="Reynolds number", unit="-", law=LAW)
    if reynolds < LAMINAR:
        return 64.0 / reynolds
    return colebrook_friction(relative_roughness, max(reynolds, TURBULENT[0]))


def _check(diameter: float, roughness: float, viscosity: float) -> None:
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=LAW)
    within(viscosity, VISCOSITY, quantity="kinematic viscosity", unit="m2/s", law=LAW)
    within(
        roughness / diameter,
        RELATIVE_ROUGHNESS,
        quantity="relative roughness",
        unit="-",
        law=LAW,
    )

"""Loads from outside on a host that has given up: water, soil and wheels at the crown.

The total load of F1216 X1.3 as in Najafi, Trenchless Technology Piping (McGraw-Hill, 2010),
pp. 75-76; the influence of a load on the surface after Newmark's integral of Boussinesq's
solution for an elastic half-space.
"""

import math

from teewright.numerics.limits import within
from teewright.units import FOOT, hydrostatic
from teewright.wall.f1216_soil import buoyancy_factor

WHEEL_LENGTH = 3.0 * FOOT
"""Length of pipe that shares a wheel [m] (3 ft, Najafi 2010, p. 76 and Table 2.12)."""
COVER = (0.01, 50.0)
"""Ground over the crown [m]."""
WEIGHT = (5e3, 30e3)
"""Unit weights of soil [N/m3]."""
TRAFFIC = (0.0, 5e5)
"""Pressures of traffic at the crown [Pa]."""
NEWMARK = "Newmark's influence of a surface load (Boussinesq's half-space)"
LOAD = "the total load of F1216 X1.3"


def total_load(water: float, cover: float, soil_weight: float, traffic: float) -> float:
    """Pressure that a fully deteriorated host leaves to the liner, q_t of F1216 X1.3.

    q_t = rho_w g H_w + gamma H R_w + W_s (Najafi 2010, p. 75, in SI).

    Args:
        water: Groundwater over the crown H_w; 0 or less is none [m].
        cover: Soil over the crown H [m].
        soil_weight: Unit weight of the soil gamma [N/m3].
        traffic: Pressure of traffic at the crown W_s [Pa].

    Returns:
        q_t [Pa].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(cover, COVER, quantity="soil over the crown", unit="m", law=LOAD)
    within(soil_weight, WEIGHT, quantity="unit weight of soil", unit="N/m3", law=LOAD)
    within(traffic, TRAFFIC, quantity="pressure of traffic", unit="Pa", law=LOAD)
    wet = max(water, 0.0)
    return hydrostatic(wet) + soil_weight * cover * buoyancy_factor(wet, cover) + traffic


def load_influence(half_width: float, half_length: float, depth: float) -> float:
    """Share of a point load that falls on a rectangle centred under it, C_s.

    Newmark's corner value four times: with m and n the half sides over the depth,
    C = (2/pi) [ m n (m^2 + n^2 + 2) / ((m^2 + 1)(n^2 + 1) r) + atan(m n / r) ] and
    r = (m^2 + n^2 + 1)^(1/2).

    Args:
        half_width: Half the width of the rectangle [m].
        half_length: Half its length [m].
        depth: Of the rectangle below the surface [m].

    Returns:
        C_s, from 0 to 1 [-].

    Raises:
        RangeError: A length outside 1 mm to 100 m.
    """
    lengths = (("half width", half_width), ("half length", half_length), ("depth", depth))
    for quantity, value in lengths:
        within(value, (1e-3, 100.0), quantity=quantity, unit="m", law=NEWMARK)
    m, n = half_width / depth, half_length / depth
    r = math.sqrt(m**2 + n**2 + 1.0)
    spread = m * n * (m**2 + n**2 + 2.0) / ((m**2 + 1.0) * (n**2 + 1.0) * r)
    return (spread + math.atan(m * n / r)) * 2.0 / math.pi


def wheel_pressure(wheel: float, diameter: float, cover: float, *, impact: float = 1.0) -> float:
    """Pressure of a wheel at the crown, W_s = C_s P F / (D 3 ft) (Najafi 2010, p. 76).

    Args:
        wheel: Load of the wheel P [N].
        diameter: Of the pipe D [m].
        cover: Ground over the crown [m].
        impact: Impact factor F [-].

    Returns:
        Pressure [Pa].

    Raises:
        RangeError: A value out of range.
    """
    within(wheel, (0.0, 1e6), quantity="wheel load", unit="N", law=LOAD)
    within(impact, (1.0, 2.0), quantity="impact factor", unit="-", law=LOAD)
    share = load_influence(diameter / 2.0, WHEEL_LENGTH / 2.0, cover)
    return share * wheel * impact / (diameter * WHEEL_LENGTH)

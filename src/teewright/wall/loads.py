"""Loads from outside on a host that has given up: water, soil and traffic at the crown.

The total load of F1216 X1.3 as in Najafi, Trenchless Technology Piping (McGraw-Hill, 2010),
p. 75.
"""

from teewright.numerics.limits import within
from teewright.units import hydrostatic
from teewright.wall.f1216_soil import buoyancy_factor

COVER = (0.01, 50.0)
"""Ground over the crown [m]."""
WEIGHT = (5e3, 30e3)
"""Unit weights of soil [N/m3]."""
TRAFFIC = (0.0, 5e5)
"""Pressures of traffic at the crown [Pa]."""
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

"""Flow through a hole: the orifice law."""

import math

from teewright.numerics.limits import within
from teewright.units import GRAVITY

SHARP_EDGED = 0.61
"""Coefficient of discharge of a sharp-edged round hole [-]; value from memory, textbooks."""
COEFFICIENT = (0.3, 1.0)
"""Coefficients of discharge [-]."""
ORIFICE = "orifice law (Torricelli)"


def orifice_flow(diameter: float, head: float, *, coefficient: float = SHARP_EDGED) -> float:
    """Flow through a round hole, Q = C_d (pi d^2/4) sqrt(2 g H) (Torricelli).

    Args:
        diameter: Of the hole [m].
        head: Over the centre of the hole, or the difference where both sides are under
            water [m].
        coefficient: Of discharge C_d [-].

    Returns:
        Flow [m3/s].

    Raises:
        RangeError: A value outside its range.
    """
    within(diameter, (1e-4, 1.0), quantity="diameter of the hole", unit="m", law=ORIFICE)
    within(head, (0.0, 50.0), quantity="head", unit="m", law=ORIFICE)
    within(coefficient, COEFFICIENT, quantity="coefficient", unit="-", law=ORIFICE)
    return coefficient * math.pi * diameter**2 / 4.0 * math.sqrt(2.0 * GRAVITY * head)


def discharge_coefficient(flow: float, diameter: float, head: float) -> float:
    """Coefficient of discharge from a measured flow, C_d = Q / [(pi d^2/4) sqrt(2 g H)].

    Args:
        flow: Measured [m3/s].
        diameter: Of the hole [m].
        head: Over the centre of the hole, above 0 [m].

    Returns:
        Coefficient [-].

    Raises:
        RangeError: A value outside its range.
    """
    within(head, (1e-6, 50.0), quantity="head", unit="m", law=ORIFICE)
    return flow / orifice_flow(diameter, head, coefficient=1.0)

"""Flow through an opening: the orifice law."""

import math

from teewright.numerics.limits import within
from teewright.units import GRAVITY

SHARP_EDGED = 0.61
"""Coefficient of discharge of a sharp-edged round hole [-]; value from memory, textbooks."""
COEFFICIENT = (0.3, 1.0)
"""Coefficients of discharge [-]."""
AREA = (0.0, 1.0)
"""Areas of the opening [m2]."""
ORIFICE = "orifice law (Torricelli)"


def orifice_flow(area: float, head: float, *, coefficient: float = SHARP_EDGED) -> float:
    """Flow through an opening, Q = C_d A sqrt(2 g H) (Torricelli).

    Args:
        area: Of the opening [m2].
        head: Over its centre, or the difference where both sides are under water [m].
        coefficient: Of discharge C_d [-]; 1 leaves out every loss and gives an upper bound.

    Returns:
        Flow [m3/s].

    Raises:
        RangeError: A value outside its range.
    """
    within(area, AREA, quantity="area of the opening", unit="m2", law=ORIFICE)
    within(head, (0.0, 50.0), quantity="head", unit="m", law=ORIFICE)
    within(coefficient, COEFFICIENT, quantity="coefficient", unit="-", law=ORIFICE)
    return coefficient * area * math.sqrt(2.0 * GRAVITY * head)

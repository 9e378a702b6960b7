"""What the fabric carries itself when it is stretched to its bore."""

from teewright.kit.values import Fabric
from teewright.numerics.limits import within

DIAMETER = (0.03, 3.0)
"""Inner diameters of mains and branches [m]."""
STRETCH = (1.0, 2.0)
"""Stretches, formed over cut [-]."""
STIFFNESS = (0.0, 1e6)
"""Membrane stiffnesses of a fabric [N/m]."""
MEMBRANE = "membrane in a cylinder, p = T/r (Laplace)"


def forming_pressure(stiffness: float, stretch: float, diameter: float) -> float:
    """Pressure that stretches a sleeve to its bore, p = J (lambda - 1) / r (Laplace).

    Args:
        stiffness: Membrane stiffness J of the fabric round the bore [N/m].
        stretch: Formed over cut, lambda [-].
        diameter: Of the bore [m].

    Returns:
        Pressure that the fabric itself carries [Pa].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(stiffness, STIFFNESS, quantity="membrane stiffness", unit="N/m", law=MEMBRANE)
    within(stretch, STRETCH, quantity="stretch", unit="-", law=MEMBRANE)
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=MEMBRANE)
    return stiffness * (stretch - 1.0) / (diameter / 2.0)


def least_carried(fabric: Fabric, stretch: float, diameter: float) -> float:
    """The least that the fabric carries itself: its softer direction in a bore [Pa].

    Args:
        fabric: The fabric.
        stretch: Formed over cut, lambda [-].
        diameter: Of the widest bore that it lines [m].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    softer = min(fabric.stiffness_along, fabric.stiffness_across)
    return forming_pressure(softer, stretch, diameter)

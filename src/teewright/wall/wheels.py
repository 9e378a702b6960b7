"""Wheels on the road over a host that has given up: the pressure that they bring to a crown."""

from dataclasses import dataclass
from math import fsum, pi

from teewright.numerics.limits import within
from teewright.units import FOOT

DEPTH = (0.3, 50.0)
"""Ground over the crown [m]; nearer to the road a wheel is no point."""
LOAD = (0.0, 1e6)
"""Loads of one wheel [N]."""
BESIDE = (0.0, 100.0)
"""Distances of wheels from the one over the crown [m]."""
LAW = "the point load of Boussinesq on level elastic ground"
SOURCE = "Boussinesq 1885, as in Moser, Buried Pipe Design, p. 33"
IMPACT_SOURCE = "Moser, Buried Pipe Design, table 2.5, highways"
_IMPACT = ((1.0 * FOOT, 1.5), (2.0 * FOOT, 1.35), (3.0 * FOOT, 1.15))
"""(ground over the crown up to [m], factor [-])."""


@dataclass(frozen=True, slots=True)
class Wheels:
    """Wheels of one weight, of which one stands over the crown.

    Attributes:
        load: Of each, standing still [N].
        beside: Distances of the others from it [m].
    """

    load: float
    beside: tuple[float, ...] = ()


def impact_factor(cover: float) -> float:
    """How much more a rolling wheel presses than one that stands still [-].

    1.5 to 1 ft of ground, 1.35 to 2 ft, 1.15 to 3 ft, 1 below. Source: table 2.5 of Moser,
    Buried Pipe Design, p. 34, for highways.

    Args:
        cover: Ground over the crown [m].
    """
    return next((factor for most, factor in _IMPACT if cover <= most), 1.0)


def share_of_others(wheels: Wheels, cover: float) -> float:
    """What the wheels beside add, over what the one above presses: `sum (1 + (r/c)^2)^(-5/2)` [-].

    Args:
        wheels: The wheels.
        cover: Ground over the crown [m].
    """
    return fsum((1.0 + (r / cover) ** 2) ** -2.5 for r in wheels.beside)


def wheel_pressure(wheels: Wheels, cover: float) -> float:
    """Pressure that wheels bring to a crown, W_s of F1216 X1.3 [Pa].

    `W_s = F 3 Q / (2 pi c^2) [1 + sum (1 + (r/c)^2)^(-5/2)]`: the vertical stress of point loads
    on level elastic ground (Boussinesq), with the impact of rolling. The wheel's footprint is
    left out, which overstates the pressure, the more the less ground there is.

    Args:
        wheels: The wheels.
        cover: Ground over the crown, 0.3 to 50 [m].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(cover, DEPTH, quantity="ground under a wheel", unit="m", law=LAW)
    within(wheels.load, LOAD, quantity="load of a wheel", unit="N", law=LAW)
    for distance in wheels.beside:
        within(distance, BESIDE, quantity="distance of wheels", unit="m", law=LAW)
    alone = 3.0 * wheels.load / (2.0 * pi * cover**2)
    return impact_factor(cover) * alone * (1.0 + share_of_others(wheels, cover))

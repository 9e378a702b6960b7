"""Part-full circular pipe with a constant roughness, and Manning's full pipe.

With theta the angle that the water surface spans at the centre, y = h/D:
theta = 2 acos(1 - 2y); a/A = (theta - sin theta) / (2 pi); r/R = 1 - sin theta / theta;
v/V = (N/n) (r/R)^(2/3); q/Q = (a/A) (v/V). Fair, Geyer & Okun, Water and Wastewater
Engineering, ch. 13 (ratios of the hydraulic elements); Manning's formula, same chapter.
"""

import math
from dataclasses import dataclass

from teewright.numerics.limits import within

DEPTH_RATIO = (0.0, 1.0)
"""Depth over diameter [-]."""
MANNING_N = (0.005, 0.05)
"""Manning's n of a pipe [s/m^(1/3)]."""
SLOPE = (0.0, 1.0)
"""Slopes for which uniform flow is worked out [-]."""
DIAMETER = (0.01, 5.0)
"""Inner diameters [m]."""
MANNING = "Manning's formula for a full circular pipe"


@dataclass(frozen=True, slots=True)
class PartFull:
    """Hydraulic elements at a depth, each over its value in the full pipe [-].

    Attributes:
        depth: Depth over diameter.
        area: Cross-section.
        radius: Hydraulic radius.
        velocity: Mean velocity at the same slope.
        flow: Flow at the same slope.
    """

    depth: float
    area: float
    radius: float
    velocity: float
    flow: float


def surface_angle(depth_ratio: float) -> float:
    """Angle that the water surface spans at the centre, 2 acos(1 - 2y) [rad].

    Args:
        depth_ratio: Depth over diameter [-].

    Returns:
        Angle, 0 for an empty pipe, 2 pi for a full one [rad].

    Raises:
        RangeError: The ratio is outside 0 to 1.
    """
    within(depth_ratio, DEPTH_RATIO, quantity="depth ratio", unit="-", law="part-full circle")
    return 2.0 * math.acos(1.0 - 2.0 * depth_ratio)


def part_full(depth_ratio: float, *, roughness_ratio: float = 1.0) -> PartFull:
    """Ratios of a part-full circle to the full one (Fair, Geyer & Okun, ch. 13).

    Args:
        depth_ratio: Depth over diameter [-].
        roughness_ratio: N/n, Manning's n of the full pipe over that at the depth; 1 where n
            is taken as constant [-].

    Returns:
        The ratios; all zero in an empty pipe.

    Raises:
        RangeError: The depth is outside the pipe, or the roughness ratio outside 0.5 to 1.5.
    """
    angle = surface_angle(depth_ratio)
    within(
        roughness_ratio, (0.5, 1.5), quantity="roughness ratio", unit="-", law="part-full circle"
    )
    if angle == 0.0:
        return PartFull(0.0, 0.0, 0.0, 0.0, 0.0)
    # near an empty pipe both differences lose their digits: the series takes over
    small = angle < 1e-2
    segment = angle**3 / 6.0 * (1.0 - angle**2 / 20.0) if small else angle - math.sin(angle)
    area, radius = segment / (2.0 * math.pi), segment / angle
    velocity = roughness_ratio * math.pow(radius, 2.0 / 3.0)
    return PartFull(depth_ratio, area, radius, velocity, area * velocity)


def manning_velocity(diameter: float, slope: float, manning: float) -> float:
    """Velocity in a full pipe, V = (1/n) (D/4)^(2/3) S^(1/2) (Manning).

    Args:
        diameter: Inner diameter [m].
        slope: Of the energy line [-].
        manning: n [s/m^(1/3)].

    Returns:
        Mean velocity [m/s].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=MANNING)
    within(slope, SLOPE, quantity="slope", unit="-", law=MANNING)
    within(manning, MANNING_N, quantity="Manning's n", unit="s/m^(1/3)", law=MANNING)
    return math.pow(diameter / 4.0, 2.0 / 3.0) * math.sqrt(slope) / manning


def manning_flow(diameter: float, slope: float, manning: float) -> float:
    """Flow in a full pipe, V pi D^2/4 with Manning's V.

    Args:
        diameter: Inner diameter [m].
        slope: Of the energy line [-].
        manning: n [s/m^(1/3)].

    Returns:
        Flow [m3/s].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    return manning_velocity(diameter, slope, manning) * math.pi * diameter**2 / 4.0

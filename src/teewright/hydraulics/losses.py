"""What the bores of a packer pass for a head: entry, friction and exit of a short pipe.

Full bore: H = (K_e + f L/d + K_o) v^2/(2g), Darcy and Weisbach with the losses at both ends as
multiples of the velocity head (Idelchik, Handbook of Hydraulic Resistance, 1966, diagrams 3-1
to 3-4 for the entry); f = 64/Re in laminar flow and after Colebrook and White above, without a
blend between (the solution of Clamond, Ind. Eng. Chem. Res. 48, 2009). K_o is 1 whether the
outlet is free or drowned: the jet takes its velocity head along or loses it in the water below.
What differs is where the head ends: at the water below, or, where this stands lower, half-way
between the critical depth and the crown of a free outlet, (y_c + d)/2 over the bore's invert
(culverts flowing full, US Army TM 5-820-4 app. B, after FHWA), which lies at or above the
axis; Q^2 = g A^3/T at the critical depth (Chow, Open-Channel Hydraulics, 1959, ch. 3 and 4).

Water below the axis of the bores passes nothing here, though in truth a little does, and a bore
whose entry is hardly covered is counted as if it ran full: in bores of ten diameters or more,
critical flow behind an open entry needs no higher water than that.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from fluids.fittings import entrance_rounded, exit_normal
from fluids.friction import friction_factor
from numpy.typing import NDArray

from teewright.hydraulics.colebrook import WATER_10_CELSIUS
from teewright.numerics.limits import within
from teewright.units import GRAVITY

FloatArray = NDArray[np.float64]

ROUGHNESS: Final = 0.6e-3
"""Equivalent sand roughness of a slimed bore [m]; common practice, no source."""
ROUNDING = (0.0, 0.2)
"""Radius of the entry's edge over the diameter for which its loss is tabled [-]."""
COUNT = (0, 50)
"""Numbers of bores."""
DIAMETER = (0.015, 1.0)
"""Diameters of bore [m]."""
LENGTH = (0.0, 20.0)
"""Lengths of bore [m]."""
RELATIVE_ROUGHNESS = (0.0, 0.05)
"""k/d for which Colebrook and White's law is used [-]."""
HEAD = (0.0, 50.0)
"""Heads that drive the bores [m]."""
FLOW = (0.0, 10.0)
"""Flows through all bores [m3/s]."""
LAW = "short pipe with entry, friction and exit losses"
_VELOCITIES = 300
_DEPTHS = 400
_FULLEST = 0.9995
"""Critical depth over diameter at which its table ends: T goes to 0."""


@dataclass(frozen=True, slots=True)
class Bores:
    """Equal bores through a packer.

    Attributes:
        count: Number, 0 where the packer has none.
        diameter: Of each [m].
        length: Of each [m].
        axis: Height of their axes over the invert of the main [m].
        roughness: Equivalent sand roughness [m].
        edge_radius: Radius of the edge of the entry, 0 where it is sharp [m].
    """

    count: int
    diameter: float
    length: float
    axis: float
    roughness: float = ROUGHNESS
    edge_radius: float = 0.0

    @property
    def area(self) -> float:
        """Cross-section of all bores [m2]."""
        return self.count * math.pi * self.diameter**2 / 4.0

    @property
    def invert(self) -> float:
        """Height of the bores' invert over that of the main [m]."""
        return self.axis - self.diameter / 2.0


def entry_loss(diameter: float, edge_radius: float = 0.0) -> float:
    """Loss at an entry flush with a wall, in velocity heads (Idelchik 1966).

    Args:
        diameter: Of the bore [m].
        edge_radius: Of the entry's edge; 0 is sharp-edged, for which it is 0.5 [m].

    Returns:
        K_e [-].

    Raises:
        RangeError: The radius is outside 0 to 0.2 of the diameter.
    """
    ratio = edge_radius / diameter
    within(ratio, ROUNDING, quantity="edge radius over diameter", unit="-", law=LAW)
    return float(entrance_rounded(diameter, edge_radius, method="Idelchik"))


def exit_loss() -> float:
    """Velocity head lost at the exit of a bore, free or drowned [-]."""
    return float(exit_normal())


def loss_coefficient(
    bores: Bores, velocity: float, *, kinematic_viscosity: float = WATER_10_CELSIUS
) -> float:
    """Sum of entry, friction and exit losses, K_e + f L/d + K_o.

    Args:
        bores: The bores.
        velocity: In each, above 0 [m/s].
        kinematic_viscosity: nu [m2/s].

    Returns:
        Losses in velocity heads [-].
    """
    reynolds = velocity * bores.diameter / kinematic_viscosity
    f = friction_factor(Re=reynolds, eD=bores.roughness / bores.diameter)
    ends = entry_loss(bores.diameter, bores.edge_radius) + exit_loss()
    return ends + float(f) * bores.length / bores.diameter


def bore_head(bores: Bores, flow: float, *, kinematic_viscosity: float = WATER_10_CELSIUS) -> float:
    """Head lost in full bores at a flow, entry and exit included.

    Args:
        bores: The bores, one or more.
        flow: Through all of them [m3/s].
        kinematic_viscosity: nu [m2/s].

    Returns:
        Head, from the water upstream to the water that drowns the outlet [m].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    check_bores(bores)
    within(bores.count, (1, COUNT[1]), quantity="number of bores", unit="-", law=LAW)
    within(flow, FLOW, quantity="flow", unit="m3/s", law=LAW)
    if flow == 0.0:
        return 0.0
    velocity = flow / bores.area
    losses = loss_coefficient(bores, velocity, kinematic_viscosity=kinematic_viscosity)
    return losses * velocity**2 / (2.0 * GRAVITY)


def full_bore_flow(
    bores: Bores, head: float, *, kinematic_viscosity: float = WATER_10_CELSIUS
) -> float:
    """Flow through full bores for a difference of head, the inverse of `bore_head`.

    Args:
        bores: The bores.
        head: From the water upstream to the water that drowns the outlet [m].
        kinematic_viscosity: nu [m2/s].

    Returns:
        Flow through all of them [m3/s].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    from scipy.optimize import brentq  # noqa: PLC0415 -- slow to load, and seldom needed

    check_bores(bores)
    within(head, HEAD, quantity="head", unit="m", law=LAW)
    if head == 0.0 or not bores.count:
        return 0.0

    def surplus(velocity: float) -> float:
        losses = loss_coefficient(bores, velocity, kinematic_viscosity=kinematic_viscosity)
        return losses * velocity**2 / (2.0 * GRAVITY) - head

    fastest = math.sqrt(2.0 * GRAVITY * head / exit_loss())
    found = brentq(surplus, 1e-9 * fastest, fastest, xtol=1e-14, rtol=1e-12)
    return float(found) * bores.area


def bypass_depth(
    bores: Bores,
    flow: float,
    downstream: float = 0.0,
    *,
    kinematic_viscosity: float = WATER_10_CELSIUS,
) -> float:
    """Depth of the water upstream that drives a flow past the packer.

    Args:
        bores: The bores, one or more.
        flow: Through all of them, above 0 [m3/s].
        downstream: Depth of the water downstream over the invert of the main [m].
        kinematic_viscosity: nu [m2/s].

    Returns:
        Depth over the invert of the main [m].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    lost = bore_head(bores, flow, kinematic_viscosity=kinematic_viscosity)
    end = _free_end(bores, np.array([flow / bores.count]))
    return max(float(end[0]), downstream) + lost


def bypass_flow(
    bores: Bores,
    upstream: FloatArray,
    downstream: float = 0.0,
    *,
    kinematic_viscosity: float = WATER_10_CELSIUS,
) -> FloatArray:
    """Flow past the packer for levels of the water on both sides, the inverse of `bypass_depth`.

    It never falls as the water upstream rises, nor rises as the water downstream does.

    Args:
        bores: The bores.
        upstream: Depths of the water upstream over the invert of the main, any shape [m].
        downstream: Depth of the water downstream over the same invert [m].
        kinematic_viscosity: nu [m2/s].

    Returns:
        Flow through all bores [m3/s], the shape of `upstream`.

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    check_bores(bores)
    depths = np.asarray(upstream, dtype=np.float64)
    if not bores.count or not depths.size:
        return np.zeros_like(depths)
    most = max(float(depths.max()), 0.0)
    within(most, HEAD, quantity="head", unit="m", law=LAW)
    velocity, lost = _full(bores, most, kinematic_viscosity)
    per_bore = velocity * bores.area / bores.count
    # the greater of two needs: the smaller of the two flows, each read from its own table
    free = np.interp(depths, _free_end(bores, per_bore) + lost, per_bore)
    # against the root of the head the flow of a drowned outlet is nearly straight
    drowned = np.interp(np.sqrt(np.maximum(depths - downstream, 0.0)), np.sqrt(lost), per_bore)
    return np.asarray(bores.count * np.minimum(free, drowned), dtype=np.float64)


def critical_depth(diameter: float, flow: FloatArray) -> FloatArray:
    """Critical depth in a circular pipe, Q^2 = g A^3/T.

    Args:
        diameter: Of the pipe [m].
        flow: Through it, any shape [m3/s].

    Returns:
        Depth, just short of the diameter where the flow is greater than any free surface
        carries [m].
    """
    # flow is about the square of the depth: rows lie closer where both are small
    depth = diameter * _FULLEST * np.linspace(0.0, 1.0, _DEPTHS) ** 1.5
    angle = 2.0 * np.arccos(1.0 - 2.0 * depth / diameter)
    area = diameter**2 / 8.0 * (angle - np.sin(angle))
    width = diameter * np.sin(angle / 2.0)
    flows = np.sqrt(GRAVITY * area**3 / np.maximum(width, 1e-12))
    return np.interp(flow, flows, depth)


def check_bores(bores: Bores) -> None:
    """Refuse bores that no packer has.

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(bores.count, COUNT, quantity="number of bores", unit="-", law=LAW)
    if not bores.count:
        return
    within(bores.diameter, DIAMETER, quantity="diameter of the bore", unit="m", law=LAW)
    within(bores.length, LENGTH, quantity="length of the bore", unit="m", law=LAW)
    limits = (bores.diameter / 2.0, DIAMETER[1])
    within(bores.axis, limits, quantity="height of the bores' axis", unit="m", law=LAW)
    relative = bores.roughness / bores.diameter
    within(relative, RELATIVE_ROUGHNESS, quantity="relative roughness", unit="-", law=LAW)
    entry_loss(bores.diameter, bores.edge_radius)


def _full(bores: Bores, most: float, viscosity: float) -> tuple[FloatArray, FloatArray]:
    """Velocities in a full bore, closer together where they are small, and the heads lost."""
    ends = entry_loss(bores.diameter, bores.edge_radius) + exit_loss()
    fastest = math.sqrt(2.0 * GRAVITY * max(most, 1e-6) / ends)
    velocity = fastest * np.linspace(0.0, 1.0, _VELOCITIES) ** 2
    relative = bores.roughness / bores.diameter
    reynolds = velocity[1:] * bores.diameter / viscosity
    f = np.array([friction_factor(Re=float(number), eD=relative) for number in reynolds])
    losses = np.concatenate(([0.0], ends + f * bores.length / bores.diameter))
    return velocity, losses * velocity**2 / (2.0 * GRAVITY)


def _free_end(bores: Bores, flow: FloatArray) -> FloatArray:
    """Height over the main's invert at which the head of a free outlet ends, (y_c + d)/2."""
    return bores.invert + (critical_depth(bores.diameter, flow) + bores.diameter) / 2.0

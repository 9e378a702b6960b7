"""What presses on the old pipe from outside, and what pressure from inside does to it."""

from dataclasses import dataclass, replace

from teewright.errors import InputError
from teewright.numerics.limits import within
from teewright.units import GRAVITY, WATER_DENSITY, hydrostatic

COVER = (0.0, 30.0)
"""Heights of ground over the crown [m]."""
HEAD = (-100.0, 50.0)
"""Heights of groundwater over the crown; below 0 it stands lower than the crown [m]."""
HOST = (0.05, 5.0)
"""Inner diameters of host pipes [m]."""
UNIT_WEIGHT = (5e3, 3e4)
"""Unit weights of soil [N/m3]."""
OVERBURDEN = "effective stress of level ground (Terzaghi)"


@dataclass(frozen=True, slots=True)
class Confinement:
    """What presses on the crown from outside.

    Attributes:
        soil: Effective vertical stress of the soil [Pa].
        water: Pressure of the groundwater [Pa].
    """

    soil: float
    water: float

    @property
    def total(self) -> float:
        """Soil and water together [Pa]."""
        return self.soil + self.water


@dataclass(frozen=True, slots=True)
class Ground:
    """What is known of the ground and the host at a connection.

    Attributes:
        head: Groundwater above the invert of the host, negative below it [m].
        host_diameter: Inner diameter of the host pipe, without its liner [m].
        cover: Ground above the crown of the host [m].
        host_cracked: Whether the host pipe is cracked, or None where not known.
        soil_weight: Unit weight above the groundwater [N/m3].
        soil_weight_saturated: Unit weight below the groundwater [N/m3].
    """

    head: float
    host_diameter: float
    cover: float
    host_cracked: bool | None
    soil_weight: float
    soil_weight_saturated: float

    @property
    def head_over_crown(self) -> float:
        """Groundwater above the crown of the host, negative below it [m]."""
        return self.head - self.host_diameter


@dataclass(frozen=True, slots=True)
class CrackedBranch:
    """A branch pipe that is declared as cracked, so that only soil and water hold it.

    Attributes:
        crown: Height of its crown at the end of what the packer carries into it, above the
            invert of the main [m]; there it has the least ground and water over it.
        formula: How that was found.
    """

    crown: float
    formula: str


def over_branch(ground: Ground, branch: CrackedBranch, diameter: float) -> Ground:
    """The ground at a cracked branch pipe, from that at the main.

    Args:
        ground: At the main, with the water that counts.
        branch: The pipe.
        diameter: Its inner diameter [m].
    """
    return replace(
        ground,
        head=ground.head - (branch.crown - diameter),
        host_diameter=diameter,
        cover=max(0.0, ground.cover + ground.host_diameter - branch.crown),
        host_cracked=True,
    )


def confinement(ground: Ground) -> Confinement:
    """Effective vertical stress of level ground and water pressure at the crown.

    sigma' = gamma (c - w) + (gamma_sat - gamma_w) w, u = rho g h, where w is the part of the
    cover that is under water (Terzaghi's effective stress). Traffic and any arching of the
    ground are left out.

    Args:
        ground: Cover, groundwater and unit weights.

    Returns:
        Soil and water.

    Raises:
        InputError: The saturated soil would float.
        RangeError: A value outside the ranges of this module.
    """
    within(ground.cover, COVER, quantity="cover", unit="m", law=OVERBURDEN)
    within(ground.host_diameter, HOST, quantity="host diameter", unit="m", law=OVERBURDEN)
    head = ground.head_over_crown
    within(head, HEAD, quantity="groundwater over the crown", unit="m", law=OVERBURDEN)
    for weight in (ground.soil_weight, ground.soil_weight_saturated):
        within(weight, UNIT_WEIGHT, quantity="unit weight", unit="N/m3", law=OVERBURDEN)
    buoyant = ground.soil_weight_saturated - WATER_DENSITY * GRAVITY
    if buoyant <= 0.0:
        raise InputError(
            "is not heavier than water",
            field="soil_weight_saturated",
            value=ground.soil_weight_saturated,
            allowed=f"more than {WATER_DENSITY * GRAVITY:.0f} N/m3",
        )
    wet = min(max(head, 0.0), ground.cover)
    soil = ground.soil_weight * (ground.cover - wet) + buoyant * wet
    return Confinement(soil, hydrostatic(max(head, 0.0)))

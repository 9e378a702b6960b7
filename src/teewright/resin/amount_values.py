"""Resin of a collar panel by panel: what goes in and what comes out."""

import math
from dataclasses import dataclass

from teewright.trace import TraceRow


@dataclass(frozen=True, slots=True)
class Panel:
    """A piece of a formed collar.

    Attributes:
        name: Of the piece.
        area: As formed [m2].
        thickness: Mean as formed, by area, under the installed pressure [m].
    """

    name: str
    area: float
    thickness: float


@dataclass(frozen=True, slots=True)
class Filling:
    """A volume beside the fabric that resin is to fill.

    Attributes:
        name: What is filled, e.g. `annulus at the cut edge`.
        volume: As declared [m3].
        note: Where the volume came from.
    """

    name: str
    volume: float
    note: str


@dataclass(frozen=True, slots=True)
class PanelResin:
    """Resin in one piece.

    Attributes:
        name: Of the piece.
        area: As formed [m2].
        thickness: As formed [m].
        volume: Of resin in its voids [m3].
    """

    name: str
    area: float
    thickness: float
    volume: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ResinAmount:
    """How much resin one collar takes, and what it weighs when it is soaked.

    Attributes:
        panels: Resin in each piece.
        fillings: As declared.
        in_fabric: Resin in the voids of all pieces [m3].
        filling: Resin beside the fabric [m3].
        lost: Of what is mixed, in mixer, rollers and film [m3].
        volume: To mix, losses included [m3].
        mass: To mix [kg].
        mass_a: Of part A in it [kg].
        mass_b: Of part B in it [kg].
        volume_a: Of part A before mixing [m3].
        volume_b: Of part B before mixing [m3].
        ratio_volume: Part B per part A by volume, from the densities [-].
        ratio_difference: Declared ratio by volume over it, less 1 [-]; 0 where none is declared.
        ratio_agrees: Whether the two are close enough.
        packs: Packs to open.
        left_over: Of the packs opened, beyond what is to mix [kg].
        saturated_density: Of the soaked collar, without air [kg/m3].
        saturated_mass: Of the soaked collar, fillings and losses not counted [kg].
        trace: Numbers in checking order.
    """

    panels: tuple[PanelResin, ...]
    fillings: tuple[Filling, ...]
    in_fabric: float
    filling: float
    lost: float
    volume: float
    mass: float
    mass_a: float
    mass_b: float
    volume_a: float
    volume_b: float
    ratio_volume: float
    ratio_difference: float
    ratio_agrees: bool
    packs: int
    left_over: float
    saturated_density: float
    saturated_mass: float
    trace: tuple[TraceRow, ...]

    @property
    def void_fraction(self) -> float:
        """Share of the fabric that resin fills, under the installed pressure [-]."""
        return self.in_fabric / math.fsum(p.area * p.thickness for p in self.panels)

"""Resin of a collar panel by panel, from the thickness that each has when formed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from teewright.errors import InputError
from teewright.kit.values import Fabric, Resin
from teewright.numerics.limits import within
from teewright.resin.amount_rows import amount_rows
from teewright.resin.amount_values import Filling, Panel, PanelResin, ResinAmount
from teewright.resin.uptake import (
    BALANCE,
    LOSS,
    RATIO,
    ROUNDING,
    THICKNESS,
    VOID_FRACTION,
    thickness_at,
)

PANEL_AREA = (1e-6, 20.0)
"""Formed areas of a panel [m2]."""
FILLING = (0.0, 0.1)
"""Volumes of one filling [m3]."""
DENSITY = (500.0, 3000.0)
"""Densities of resin parts, mixes and fibres [kg/m3]."""
OFF = 0.02
"""Difference of two ratios by volume above which they contradict each other [-]; common
practice, no source. A meter by volume that is set to the wrong one spoils the batch."""


@dataclass(frozen=True, slots=True)
class RatioCheck:
    """The ratio of the parts by mass and by volume, which must say the same.

    Attributes:
        by_mass: Part B per part A [-].
        by_volume: The same by volume, from the densities [-].
        declared: By volume as the data sheet has it [-], or None.
        difference: `declared` over `by_volume`, less 1 [-]; 0 where nothing was declared.
        agree: Whether the two are within `OFF`.
    """

    by_mass: float
    by_volume: float
    declared: float | None
    difference: float
    agree: bool


def ratio_check(resin: Resin, declared: float | None = None) -> RatioCheck:
    """Ratio of the parts by volume, r_v = r_m rho_a/rho_b, against what the sheet declares.

    Args:
        resin: Ratio by mass and densities of the parts.
        declared: Part B per part A by volume, as declared [-], or None.

    Returns:
        Both ratios and whether they agree.

    Raises:
        RangeError: A ratio or a density that cannot be.
    """
    within(resin.ratio_mass, RATIO, quantity="mix ratio by mass", unit="-", law=BALANCE)
    for name, density in (("part A", resin.density_a), ("part B", resin.density_b)):
        within(density, DENSITY, quantity=f"density of {name}", unit="kg/m3", law=BALANCE)
    by_volume = resin.ratio_mass * resin.density_a / resin.density_b
    difference = 0.0
    if declared is not None:
        within(declared, RATIO, quantity="mix ratio by volume", unit="-", law=BALANCE)
        difference = declared / by_volume - 1.0
    return RatioCheck(resin.ratio_mass, by_volume, declared, difference, abs(difference) <= OFF)


def panel_of(name: str, areas: Sequence[float], thicknesses: Sequence[float]) -> Panel:
    """A panel from the triangles of its formed map.

    Args:
        name: Of the panel.
        areas: Formed area of each triangle [m2].
        thicknesses: Thickness of each, in the same order [m].

    Returns:
        Area and mean thickness by area, so that the volume is that of the triangles.

    Raises:
        InputError: The two do not match, or there is no area.
    """
    if len(areas) != len(thicknesses) or not areas:
        raise InputError(
            "do not match",
            field=f"triangles of panel {name}",
            value=f"{len(areas)} areas, {len(thicknesses)} thicknesses",
            allowed="one thickness for each area, at least one",
        )
    area = math.fsum(areas)
    if not area > 0.0:
        raise InputError(
            "is no area", field=f"area of panel {name}", value=area, allowed="more than 0 m2"
        )
    volume = math.fsum(a * t for a, t in zip(areas, thicknesses, strict=True))
    return Panel(name, area, volume / area)


def void_fraction_at(fabric: Fabric, thickness: float) -> float:
    """Void fraction of a fabric at another thickness than that of its measurement.

    1 - n = (1 - n_0) t_0/t: the fibre stays while the thickness changes (conservation of
    volume; the fibre itself is taken as incompressible).

    Args:
        fabric: The fabric; its void fraction n_0, the pressure at which that was measured,
            where it is known, and its thickness under pressure.
        thickness: Of the fabric as cut, under what presses it in place [m].

    Returns:
        Void fraction n [-]; that declared where the pressure of its measurement is not known.

    Raises:
        InputError: The fabric has no points of thickness in order of pressure.
        RangeError: The fabric pressed so thin that the void fraction would leave the range of
            a textile.
    """
    if fabric.void_pressure is None:
        return fabric.void_fraction
    measured = thickness_at(fabric, fabric.void_pressure)
    void = 1.0 - (1.0 - fabric.void_fraction) * measured / thickness
    law = f"the void fraction of fabric {fabric.name} under pressure"
    return within(void, VOID_FRACTION, quantity="void fraction", unit="-", law=law)


def void_fraction_in_place(fabric: Fabric, thickness: float, stretch: float) -> float:
    """Void fraction of a fabric that was stretched by design and pressed.

    The stretch spreads fibre and voids alike over more area (see
    `teewright.resin.uptake.stretched_thickness`), so that pressure alone counts.

    Args:
        fabric: The fabric.
        thickness: In place, stretched, under the pressure meant [m].
        stretch: Formed over cut, both directions [-].

    Raises:
        InputError: The fabric has no points of thickness in order of pressure.
        RangeError: As `void_fraction_at`.
    """
    return void_fraction_at(fabric, thickness * stretch**2)


def saturated_density(void_fraction: float, resin_density: float, fibre_density: float) -> float:
    """Density of a saturated textile, rho = n rho_r + (1 - n) rho_f (rule of mixtures).

    Args:
        void_fraction: Share of the volume that resin fills, n [-].
        resin_density: Of the mix [kg/m3].
        fibre_density: Of the fibre itself, not of the textile [kg/m3].

    Returns:
        Density without air left in it [kg/m3].

    Raises:
        RangeError: A value outside the ranges of this room.
    """
    within(void_fraction, VOID_FRACTION, quantity="void fraction", unit="-", law=BALANCE)
    within(resin_density, DENSITY, quantity="density of the mix", unit="kg/m3", law=BALANCE)
    within(fibre_density, DENSITY, quantity="density of the fibre", unit="kg/m3", law=BALANCE)
    return void_fraction * resin_density + (1.0 - void_fraction) * fibre_density


def amount(
    panels: Sequence[Panel],
    resin: Resin,
    *,
    void_fraction: float,
    fibre_density: float,
    fillings: Sequence[Filling] = (),
    loss: float,
    declared_ratio: float | None = None,
) -> ResinAmount:
    """Resin of one collar: V = (sum A_f t n + sum V_f) / (1 - loss), in whole packs.

    Whole packs are mixed, so that the ratio of the parts is the pack's own. Laps hold resin
    too: give each as a panel of its own.

    Args:
        panels: Formed area and mean thickness of each piece.
        resin: Densities, ratio and pack.
        void_fraction: Under the installed pressure, see `void_fraction_at` [-].
        fibre_density: Of the fibre itself [kg/m3].
        fillings: Annulus at the cut edge, missing wall and the like, as declared.
        loss: Share of what is mixed that stays in mixer, rollers and film [-].
        declared_ratio: Part B per part A by volume as declared [-], or None.

    Returns:
        The amount, with its trace.

    Raises:
        InputError: There is no panel, or a filling has no note on where its volume came from.
        RangeError: A value outside the ranges of this room.
    """
    _check(panels, resin, fillings, void_fraction=void_fraction, loss=loss)
    soaked = saturated_density(void_fraction, resin.density, fibre_density)
    each = tuple(
        PanelResin(p.name, p.area, p.thickness, p.area * p.thickness * void_fraction)
        for p in panels
    )
    in_fabric = math.fsum(panel.volume for panel in each)
    filling = math.fsum(part.volume for part in fillings)
    volume = (in_fabric + filling) / (1.0 - loss)
    mass = volume * resin.density
    packs = math.ceil(mass / resin.pack_mass * (1.0 - ROUNDING))
    mass_a = mass / (1.0 + resin.ratio_mass)
    ratio = ratio_check(resin, declared_ratio)
    bulk = math.fsum(panel.area * panel.thickness for panel in panels)
    found = ResinAmount(
        panels=each,
        fillings=tuple(fillings),
        in_fabric=in_fabric,
        filling=filling,
        lost=volume * loss,
        volume=volume,
        mass=mass,
        mass_a=mass_a,
        mass_b=mass - mass_a,
        volume_a=mass_a / resin.density_a,
        volume_b=(mass - mass_a) / resin.density_b,
        ratio_volume=ratio.by_volume,
        ratio_difference=ratio.difference,
        ratio_agrees=ratio.agree,
        packs=packs,
        left_over=max(0.0, packs * resin.pack_mass - mass),
        saturated_density=soaked,
        saturated_mass=bulk * soaked,
        trace=(),
    )
    return amount_rows(
        found, resin, void_fraction=void_fraction, fibre_density=fibre_density, loss=loss,
        declared=declared_ratio,
    )  # fmt: skip


def _check(
    panels: Sequence[Panel],
    resin: Resin,
    fillings: Sequence[Filling],
    *,
    void_fraction: float,
    loss: float,
) -> None:
    if not panels:
        raise InputError(
            "is empty", field="panels", value="none", allowed="at least one formed panel"
        )
    for panel in panels:
        name = f"panel {panel.name}"
        within(panel.area, PANEL_AREA, quantity=f"formed area of {name}", unit="m2", law=BALANCE)
        within(panel.thickness, THICKNESS, quantity=f"thickness of {name}", unit="m", law=BALANCE)
    for part in fillings:
        name = f"filling {part.name}"
        within(part.volume, FILLING, quantity=f"volume of {name}", unit="m3", law=BALANCE)
        if not part.note.strip():
            raise InputError(
                "has no note",
                field=name,
                value=part.volume,
                allowed="a few words on where its volume came from",
            )
    within(void_fraction, VOID_FRACTION, quantity="void fraction", unit="-", law=BALANCE)
    within(loss, LOSS, quantity="loss", unit="-", law=BALANCE)
    within(resin.pack_mass, (1e-3, 1e4), quantity="mass of a pack", unit="kg", law=BALANCE)

"""Rows of the resin of a collar, in the order in which an engineer checks them."""

import math
from dataclasses import replace

from teewright.kit.values import Resin
from teewright.resin.amount_values import ResinAmount
from teewright.resin.uptake import BALANCE, mixed_density
from teewright.trace import Origin, TraceRow


def amount_rows(
    found: ResinAmount,
    resin: Resin,
    *,
    void_fraction: float,
    fibre_density: float,
    loss: float,
    declared: float | None,
) -> ResinAmount:
    """The same amount with its rows.

    Args:
        found: The amount.
        resin: Data sheet.
        void_fraction: Under the installed pressure [-].
        fibre_density: [kg/m3].
        loss: Share lost [-].
        declared: Ratio by volume as declared [-], or None.
    """
    rows = (
        *_fabric(found, void_fraction),
        *_to_mix(found, loss),
        *_parts(found, resin, declared),
        *_packs(found, resin),
        *_soaked(found, fibre_density),
    )
    return replace(found, trace=rows)


def _fabric(found: ResinAmount, void_fraction: float) -> tuple[TraceRow, ...]:
    area = math.fsum(panel.area for panel in found.panels)
    mean = math.fsum(panel.area * panel.thickness for panel in found.panels) / area
    formed, kit = "formed collar, laps included", "fabric, under the installed pressure"
    return (
        TraceRow("area of the pieces, formed", "A_f", area, "m2", "", formed, Origin.INPUT),
        TraceRow("mean thickness, formed", "t", mean, "mm", "", formed, Origin.INPUT),
        TraceRow("void fraction", "n", void_fraction, "%", "", kit, Origin.TABLE),
        TraceRow("resin in the voids", "V_v", found.in_fabric, "l", "A_f t n", BALANCE),
    )


def _to_mix(found: ResinAmount, loss: float) -> tuple[TraceRow, ...]:
    notes = "; ".join(f"{part.name}: {part.note}" for part in found.fillings) or "none declared"
    return (
        TraceRow("filling besides the fabric", "V_f", found.filling, "l", "", notes, Origin.INPUT),
        TraceRow("share lost", "s_l", loss, "%", "", "design rules", Origin.INPUT),
        TraceRow(
            "resin to mix, losses included",
            "V",
            found.volume,
            "l",
            "(V_v + V_f) / (1 − s_l)",
            BALANCE,
        ),
    )


def _parts(found: ResinAmount, resin: Resin, declared: float | None) -> tuple[TraceRow, ...]:
    kit = f"resin {resin.name}: {resin.source}"
    parts = mixed_density(resin.density_a, resin.density_b, resin.ratio_mass)
    return (
        TraceRow("density of the mix", "ρ_r", resin.density, "kg/m3", "", kit, Origin.TABLE),
        TraceRow("mass to mix", "m", found.mass, "kg", "ρ_r V"),
        TraceRow("density of part A", "ρ_a", resin.density_a, "kg/m3", "", kit, Origin.TABLE),
        TraceRow("density of part B", "ρ_b", resin.density_b, "kg/m3", "", kit, Origin.TABLE),
        *_ratios(found, resin, declared, kit),
        TraceRow(
            "density of the mix from its parts, as a check",
            "ρ_ab",
            parts,
            "kg/m3",
            "(1 + r_m) / (1/ρ_a + r_m/ρ_b)",
            "conservation of mass and volume",
        ),
        TraceRow("difference of the two", "δ", parts / resin.density - 1.0, "%", "ρ_ab/ρ_r − 1"),
        TraceRow("of it part A", "m_a", found.mass_a, "kg", "m / (1 + r_m)", kit),
        TraceRow("of it part B", "m_b", found.mass_b, "kg", "m − m_a", kit),
        TraceRow("part A by volume", "V_r,a", found.volume_a, "l", "m_a / ρ_a"),
        TraceRow("part B by volume", "V_r,b", found.volume_b, "l", "m_b / ρ_b"),
    )


def _ratios(
    found: ResinAmount, resin: Resin, declared: float | None, kit: str
) -> tuple[TraceRow, ...]:
    """Part B per part A both ways: told, worked out from the other, or told twice."""
    by_mass, by_volume = "part B per part A, by mass", "part B per part A, by volume"
    if resin.by_volume and declared is not None:
        return (
            TraceRow(by_volume, "r_V,d", declared, "-", "", kit, Origin.TABLE),
            TraceRow(by_mass, "r_m", resin.ratio_mass, "-", "r_V,d ρ_b / ρ_a", BALANCE),
        )
    rows = (
        TraceRow(by_mass, "r_m", resin.ratio_mass, "-", "", kit, Origin.TABLE),
        TraceRow(by_volume, "r_V", found.ratio_volume, "-", "r_m ρ_a / ρ_b", BALANCE),
    )
    if declared is None:
        return rows
    return (
        *rows,
        TraceRow("the same as declared", "r_V,d", declared, "-", "", kit, Origin.TABLE),
        TraceRow("difference of the two", "δ_V", found.ratio_difference, "%", "r_V,d / r_V − 1"),
    )


def _packs(found: ResinAmount, resin: Resin) -> tuple[TraceRow, ...]:
    kit = f"resin {resin.name}: {resin.source}"
    return (
        TraceRow("mass of a pack", "m_p", resin.pack_mass, "kg", "", kit, Origin.TABLE),
        TraceRow("packs to open", "n_p", float(found.packs), "no", "m / m_p, rounded up"),
        TraceRow("left over", "m_l", found.left_over, "kg", "n_p m_p − m"),
    )


def _soaked(found: ResinAmount, fibre_density: float) -> tuple[TraceRow, ...]:
    mixture = "rule of mixtures"
    return (
        TraceRow("density of the fibre", "ρ_f", fibre_density, "kg/m3", "", "fabric", Origin.INPUT),
        TraceRow(
            "density of the soaked collar",
            "ρ_c",
            found.saturated_density,
            "kg/m3",
            "n ρ_r + (1 − n) ρ_f",
            mixture,
        ),
        TraceRow("mass of the soaked collar", "m_c", found.saturated_mass, "kg", "A_f t ρ_c"),
    )

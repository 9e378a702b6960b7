"""Ratio of the two parts of a resin in a kit file, by mass, by volume or both."""

from collections.abc import Iterator

from teewright.errors import InputError
from teewright.formats.kit_materials import ResinTable
from teewright.formats.toml_common import KeyPath, Source
from teewright.resin.amount import OFF
from teewright.resin.uptake import RATIO

PER = 100.0
"""Parts A that the keys count on."""


def volume_ratio(table: ResinTable) -> float | None:
    """Part B per part A by volume as told [-], or None.

    Args:
        table: The resin.
    """
    return None if table.volumes_b_per_100_a is None else table.volumes_b_per_100_a / PER


def mass_ratio(table: ResinTable) -> float:
    """Part B per part A by mass [-]: as told, else r_V rho_b/rho_a from that by volume.

    Args:
        table: A resin that tells one of both, see `ratio_faults`.

    Raises:
        InputError: Neither is told.
    """
    if table.parts_b_per_100_a is not None:
        return table.parts_b_per_100_a / PER
    by_volume = volume_ratio(table)
    if by_volume is None:
        raise InputError("is not told", field="parts_b_per_100_a", value=table.name)
    return by_volume * table.density_b_kg_m3 / table.density_a_kg_m3


def ratio_faults(table: ResinTable, at: KeyPath, source: Source) -> Iterator[InputError]:
    """No ratio at all, two that contradict each other, or one that leads out of the range.

    Args:
        table: The resin.
        at: Its place in the file.
        source: Lines of the file.
    """
    by_mass, by_volume = table.parts_b_per_100_a, table.volumes_b_per_100_a
    densities = table.density_a_kg_m3 / table.density_b_kg_m3
    if by_mass is None and by_volume is None:
        yield source.fault(
            at, "tells no ratio of its parts", value=table.name,
            allowed="parts_b_per_100_a by mass, volumes_b_per_100_a, or both",
        )  # fmt: skip
    elif by_volume is None or by_mass is None:
        yield from _beyond(table, at, source)
    elif abs(by_volume / (by_mass * densities) - 1.0) > OFF:
        fits = by_mass * densities
        yield source.fault(
            (*at, "volumes_b_per_100_a"),
            f"contradicts parts_b_per_100_a = {by_mass:g}, which the densities make {fits:.4g} by "
            "volume",
            value=by_volume, allowed=f"{fits * (1.0 - OFF):.4g} to {fits * (1.0 + OFF):.4g}",
        )  # fmt: skip


def _beyond(table: ResinTable, at: KeyPath, source: Source) -> Iterator[InputError]:
    """A ratio by volume alone that is none by mass for which a demand is worked out."""
    ratio, (least, most) = mass_ratio(table), RATIO
    if not least <= ratio <= most:
        heavier = table.density_a_kg_m3 / table.density_b_kg_m3
        yield source.fault(
            (*at, "volumes_b_per_100_a"), "is no ratio by mass that can be mixed",
            value=table.volumes_b_per_100_a,
            allowed=f"{PER * least * heavier:.4g} to {PER * most * heavier:.4g}",
        )  # fmt: skip

"""Keys of a site file on a tide or river that the groundwater follows."""

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from teewright.findings import Finding, FindingKind, Place
from teewright.formats.toml_common import Source, Table
from teewright.network.conditions import Damping
from teewright.units import HOUR


class DampingTable(Table):
    """How the ground damps the swing of the open water inland."""

    period_h: float = Field(
        ge=0.02, le=10000, description="Period of the swing; of the usual tide about 12.4."
    )
    diffusivity_m2_s: float = Field(
        ge=1e-8, le=1e4,
        description="Transmissivity over storage coefficient of the ground, from a pumping test.",
    )  # fmt: skip
    source: Annotated[str, Field(max_length=400)] = Field(
        default="", description="Where these came from."
    )


def damping(table: DampingTable | None) -> Damping | None:
    """The damping in SI units, or None where the swing is taken undamped.

    Args:
        table: The `[damping]` table, or None.
    """
    if table is None:
        return None
    return Damping(table.period_h * HOUR, table.diffusivity_m2_s, table.source)


def damping_doubts(
    table: DampingTable | None, source: Source, *, levels: bool, distances: bool
) -> Iterator[Finding]:
    """What is told of the damping, but cannot be used.

    Args:
        table: The `[damping]` table, or None.
        source: Lines of the file.
        levels: Whether levels of open water are told.
        distances: Whether a node has its distance from the bank.
    """
    if table is None and distances:
        key, lacks = "bank_distance_m", "[damping] is not told"
        place = Place(source.file, None, key)
    elif table is not None and not (levels and distances):
        key, lacks = "damping", "bank_distance_m is told of no node"
        if not levels:
            lacks = "there are no water_levels"
        place = Place(source.file, source.line(("damping",)), key)
    else:
        return
    then = "the groundwater follows the open water undamped" if levels else "it is not used"
    yield Finding(
        FindingKind.DOUBT, "site-damping", f"{key} is given, but {lacks}; {then}", place, key
    )

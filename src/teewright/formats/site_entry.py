"""The `[entry]` table of a site file: what a coded class of groundwater entry brings."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated

from pydantic import Field

from teewright.errors import InputError
from teewright.formats.toml_common import Source, Table
from teewright.units import HOUR, LITRE

ASCENDING = ("sweating", "dripping", "flowing", "gushing")
"""Coded classes of groundwater entry, the least first."""

FlowLh = Annotated[float, Field(ge=0, le=100000)]


class EntryTable(Table):
    """Flow into one connection of each coded class of entry, as the engineer takes it."""

    sweating_l_h: FlowLh | None = Field(
        default=None, description="Of one that sweats; left out, it is not counted."
    )
    dripping_l_h: FlowLh | None = Field(
        default=None, description="Of one that drips; left out, it is not counted."
    )
    flowing_l_h: FlowLh | None = Field(
        default=None, description="Of one that flows; left out, it is not counted."
    )
    gushing_l_h: FlowLh | None = Field(
        default=None, description="Of one that gushes; left out, it is not counted."
    )
    source: Annotated[str, Field(max_length=400)] = Field(
        default="", description="Where these came from, as measurements in the same network."
    )


def entry_flows(table: EntryTable | None) -> tuple[tuple[str, float], ...]:
    """(coded class, flow [m3/s]) of each class that is told, the least first.

    Args:
        table: The `[entry]` table, or None.
    """
    return tuple((name, flow * LITRE / HOUR) for name, flow in _told(table))


def entry_faults(table: EntryTable | None, source: Source) -> Iterator[InputError]:
    """A worse class that brings less.

    Args:
        table: The `[entry]` table, or None.
        source: Its lines.
    """
    told = _told(table)
    for (lesser, less), (name, flow) in pairwise(told):
        if flow < less:
            yield source.fault(
                ("entry", f"{name}_l_h"), f"is less than where it is {lesser}",
                value=flow, allowed=f"number ≥ {less:g} l/h",
            )  # fmt: skip


def _told(table: EntryTable | None) -> list[tuple[str, float]]:
    if table is None:
        return []
    flows = [(name, getattr(table, f"{name}_l_h")) for name in ASCENDING]
    return [(name, flow) for name, flow in flows if flow is not None]

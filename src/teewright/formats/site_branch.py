"""Keys of one connection of a site file: the pipe of its branch, and voids to be filled."""

from collections.abc import Iterator, Sequence
from typing import Annotated

from pydantic import Field

from teewright.errors import InputError
from teewright.findings import Finding, FindingKind, Place
from teewright.formats.toml_common import Source, Table
from teewright.network.branch_pipe import BranchPipe, DeclaredFilling
from teewright.units import BAR, LITRE, MM, MPA

Text = Annotated[str, Field(max_length=400)]
Words = Annotated[str, Field(min_length=1, max_length=120)]


class BranchPipeTable(Table):
    """What the pipe of a branch stands from inside."""

    cracked: bool | None = Field(
        default=None,
        description="Whether it is cracked: then soil and water alone are taken to hold it, "
        "unless pressure_bar is told; left out, not known.",
    )
    thickness_mm: Annotated[float, Field(ge=1, le=500)] | None = Field(
        default=None, description="Wall of it that is still there."
    )
    strength_mpa: Annotated[float, Field(ge=0.1, le=1000)] | None = Field(
        default=None,
        description="Tension round the ring that it is allowed where it is sound, safety taken "
        "off; counted with the thickness, and where cracked = false.",
    )
    pressure_bar: Annotated[float, Field(ge=0.01, le=20)] | None = Field(
        default=None, description="Pressure from inside declared for it as a whole."
    )
    source: Text = Field(default="", description="Where these came from.")


class FillingTable(Table):
    """A void beside the collar that its resin is to fill."""

    what: Words = Field(description="What is filled, as the annulus at the cut edge.")
    volume_l: Annotated[float, Field(gt=0, le=100)] = Field(description="Volume of resin in it.")
    source: Words = Field(description="Where the volume came from, in words.")


def branch_pipe(table: BranchPipeTable | None) -> BranchPipe | None:
    """The pipe of a branch in SI units, or None where nothing is told.

    Args:
        table: The `branch_pipe` of a connection, or None.
    """
    if table is None:
        return None
    return BranchPipe(
        cracked=table.cracked,
        thickness=None if table.thickness_mm is None else table.thickness_mm * MM,
        strength=None if table.strength_mpa is None else table.strength_mpa * MPA,
        pressure=None if table.pressure_bar is None else table.pressure_bar * BAR,
        source=table.source,
    )


def fillings(tables: Sequence[FillingTable]) -> tuple[DeclaredFilling, ...]:
    """Voids to be filled, in SI units.

    Args:
        tables: The `fillings` of a connection.
    """
    return tuple(DeclaredFilling(t.what, t.volume_l * LITRE, t.source) for t in tables)


def filling_faults(tables: Sequence[FillingTable], i: int, source: Source) -> Iterator[InputError]:
    """A void that is told twice, or told in blanks alone.

    Args:
        tables: The `fillings` of a connection.
        i: Index of the connection.
        source: Lines of the file.
    """
    for j, table in enumerate(tables):
        at = ("connections", i, "fillings", j)
        for key in ("what", "source"):
            if not getattr(table, key).strip():
                yield source.fault(
                    (*at, key), "holds no words", value=getattr(table, key), allowed="a few words"
                )
        if table.what in [before.what for before in tables[:j]]:
            yield source.fault(
                (*at, "what"), "is there twice", value=table.what, allowed="each void once"
            )


def branch_pipe_doubts(
    table: BranchPipeTable | None, name: str, i: int, source: Source
) -> Iterator[Finding]:
    """What is told of the pipe of a branch, but cannot be used.

    Args:
        table: The `branch_pipe` of a connection, or None.
        name: Of the connection, for the sentence.
        i: Its index.
        source: Lines of the file.
    """
    if table is None:
        return
    place = Place(source.file, source.line(("connections", i, "branch_pipe")), "branch_pipe")
    if (table.strength_mpa is None) != (table.thickness_mm is None):
        told, missing = "strength_mpa", "thickness_mm"
        if table.strength_mpa is None:
            told, missing = missing, told
        yield Finding(
            FindingKind.DOUBT, "site-branch-pipe",
            f"{told} of the branch pipe {name} is given without {missing}; it is not used",
            place, f"{getattr(table, told):g}",
        )  # fmt: skip
    elif table.strength_mpa is not None and table.cracked is not False:
        yield Finding(
            FindingKind.DOUBT, "site-branch-pipe",
            f"the strength of the branch pipe {name} is given, but not that it is not cracked; a "
            "cracked ring has none and it is not used",
            place, f"{table.strength_mpa:g}",
        )  # fmt: skip

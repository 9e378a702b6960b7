"""Corrections by hand: what an engineer says against the survey, beside it and never over it.

A correction names the connection by one of its sightings, for ids follow from what the files say
while a sighting stays at its line, and at its place in the run where the lines moved.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from teewright.errors import InputError
from teewright.network.values import ConnectionKind, Sighting

LONGEST_CHAINAGE = 5000.0
"""Largest chainage that is believed [m]."""
SHORTEST_RUN = 0.5
"""Smallest length of a run that is believed [m]."""
OPEN, CLOSED = "open", "closed"


class Field(StrEnum):
    """What may be set of a connection."""

    CHAINAGE = "chainage"
    CLOCK = "clock"
    DIAMETER = "diameter"
    ANGLE = "angle"
    KIND = "kind"
    STATE = "state"


RANGES: dict[Field, tuple[float, float]] = {
    Field.CHAINAGE: (0.0, LONGEST_CHAINAGE),
    Field.CLOCK: (0.0, 12.0),
    Field.DIAMETER: (0.05, 2.0),
    Field.ANGLE: (0.5235987755982988, 1.5707963267948966),
}
"""Least and greatest value of each number [SI]: a clock in hours, an angle of 30 to 90 degrees."""
RUN_RANGES = {
    "diameter": RANGES[Field.DIAMETER],
    "length": (SHORTEST_RUN, LONGEST_CHAINAGE),
}
"""The same of a run [m]."""
WORDS: dict[Field, tuple[str, ...]] = {
    Field.KIND: tuple(kind.value for kind in ConnectionKind),
    Field.STATE: (OPEN, CLOSED),
}
"""What each of the others may be."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A sighting, so that it is found again when the files are read anew.

    Attributes:
        file: Name of the file.
        line: In the file, from 1, or None.
        run: Run in which it was.
        chainage: From the upstream node, as that sighting has it [m].
        clock: In flow view, as that sighting has it [h], or None.
        station: As that sighting has it [m], which the length of the run does not move; None in
            corrections of older releases.
    """

    file: str
    line: int | None
    run: str
    chainage: float
    clock: float | None
    station: float | None = None


@dataclass(frozen=True, slots=True)
class SetField:
    """Set one field of a connection.

    Attributes:
        connection: Any of its sightings.
        field: Which.
        value: [SI] for a number, else one of `WORDS`.
        act: Tells the acts apart in a file.
    """

    connection: Mark
    field: Field
    value: float | str
    act: Literal["set"] = "set"


@dataclass(frozen=True, slots=True)
class SetRun:
    """Set one field of a run.

    Attributes:
        run: Its id.
        field: `diameter`, `length` or `lined`.
        value: Inner diameter of the host, or length from node to node [m]; or whether it is
            lined.
        act: Tells the acts apart in a file.
    """

    run: str
    field: Literal["diameter", "length", "lined"]
    value: bool | float
    act: Literal["set run"] = "set run"


@dataclass(frozen=True, slots=True)
class Join:
    """Two connections are one.

    Attributes:
        connection: A sighting of the one that stays.
        other: A sighting of the one that it takes in.
        act: Tells the acts apart in a file.
    """

    connection: Mark
    other: Mark
    act: Literal["join"] = "join"


@dataclass(frozen=True, slots=True)
class Split:
    """One sighting is of another connection, of its own.

    Attributes:
        sighting: That sighting.
        act: Tells the acts apart in a file.
    """

    sighting: Mark
    act: Literal["split"] = "split"


@dataclass(frozen=True, slots=True)
class Decide:
    """What a connection needs, decided by hand.

    Attributes:
        connection: Any of its sightings.
        need: In the words of `assess.values.Need`.
        works: Kinds of work that make it ready; empty for those that the rules ask for.
        act: Tells the acts apart in a file.
    """

    connection: Mark
    need: str
    works: tuple[str, ...] = ()
    act: Literal["decide"] = "decide"


Act = SetField | SetRun | Join | Split | Decide


@dataclass(frozen=True, slots=True)
class Correction:
    """One correction.

    Attributes:
        what: What is corrected.
        who: Name or role of the person.
        at: When, ISO 8601 with time zone.
        why: In plain words, or `""`.
    """

    what: Act
    who: str
    at: str
    why: str = ""


def mark_of(sighting: Sighting, run_id: str) -> Mark:
    """The mark by which a sighting is found again."""
    place = sighting.place
    return Mark(place.file, place.line, run_id, sighting.chainage, sighting.clock, sighting.station)


def lengths_of(corrections: Iterable[Correction]) -> dict[str, float]:
    """Length of each run for which one was set [m]; the last one counts.

    They are wanted before the passes are laid along their runs: what was seen against the flow
    is turned round on the length.
    """
    acts = (one.what for one in corrections if isinstance(one.what, SetRun))
    return {act.run: float(act.value) for act in acts if act.field == "length"}


def check_field(field: Field, value: float | str) -> None:
    """Whether a field may be set to a value.

    Args:
        field: Which.
        value: [SI] for a number, else a word.

    Raises:
        InputError: It may not.
    """
    if field in WORDS:
        if value not in WORDS[field]:
            raise InputError(
                "is not known", field=field.value, value=value, allowed=", ".join(WORDS[field])
            )
        return
    low, high = RANGES[field]
    if isinstance(value, str) or not low <= value <= high or (field is Field.CLOCK and value == 0):
        raise InputError(
            "is out of range", field=field.value, value=value, allowed=f"{low:g} to {high:g} (SI)"
        )


def check_run_field(act: SetRun) -> None:
    """Whether a field of a run may be set so.

    Args:
        act: What is to be set.

    Raises:
        InputError: It may not.
    """
    if act.field == "lined":
        if not isinstance(act.value, bool):
            raise InputError("is not known", field="lined", value=act.value, allowed="yes or no")
        return
    low, high = RUN_RANGES[act.field]
    if isinstance(act.value, bool) or not low <= act.value <= high:
        raise InputError(
            "is out of range", field=act.field, value=act.value, allowed=f"{low:g} to {high:g} m"
        )

"""One installation as a chain of events."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class EventKind(StrEnum):
    """What can be logged, in the order of the work."""

    MIXED = "mixed"
    WET_OUT = "wet-out"
    LOWERED = "lowered"
    IN_PLACE = "in-place"
    AT_PRESSURE = "at-pressure"
    READING = "reading"
    RELEASED = "released"
    OUT = "out"
    TEST_READING = "test-reading"
    INSPECTED = "inspected"
    ABORTED = "aborted"
    CORRECTED = "corrected"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened.

    Attributes:
        id: UUID, made by the device.
        installation: Connection id, `#`, attempt from 1.
        kind: What happened.
        at: When, by the device's clock, with time zone.
        recorded: When it was stored, with time zone.
        device: Device id.
        sequence: Number within the device, from 1.
        person: Who, as a role or initials.
        data: (name, value) pairs; numbers in SI units; for `corrected` the id of the event
            that it corrects under `event`.
        previous: Hash of the event before in the project, hex, 64 zeros for the first.
        hash: SHA-256 over all the rest, hex.
    """

    id: str
    installation: str
    kind: EventKind
    at: datetime
    recorded: datetime
    device: str
    sequence: int
    person: str
    data: tuple[tuple[str, str], ...]
    previous: str
    hash: str


@dataclass(frozen=True, slots=True)
class Limits:
    """What an installation is held to.

    Attributes:
        latest_inflation: From mixing [s].
        release: From mixing [s].
        pressure_low: [Pa].
        pressure_high: [Pa].
    """

    latest_inflation: float
    release: float
    pressure_low: float
    pressure_high: float


@dataclass(frozen=True, slots=True)
class InstallationState:
    """Where an installation stands: a pure function of its events and limits.

    Attributes:
        installation: Connection id, `#`, attempt.
        step: Last step done, an `EventKind`, or None before mixing.
        next_action: One plain sentence: what to do next.
        inflate_by: Latest inflation, or None before mixing.
        release_from: Earliest release, or None before mixing.
        breaches: Limits that were broken, one plain sentence each.
        finished: Whether it is out, tested and inspected, or aborted.
        aborted: Whether it was given up.
        repeats: Steps that were logged again, by two tablets for instance, one plain sentence
            each; the first counts.
        differs: Where the present design has other limits than were told at the mixing, and
            what it would call broken, one plain sentence each; it is judged by what was told.
    """

    installation: str
    step: EventKind | None
    next_action: str
    inflate_by: datetime | None
    release_from: datetime | None
    breaches: tuple[str, ...]
    finished: bool
    aborted: bool
    repeats: tuple[str, ...] = ()
    differs: tuple[str, ...] = ()

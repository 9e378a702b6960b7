"""Leak tests and the state in which a connection is handed over."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from teewright.trace import TraceRow


class HandoverState(StrEnum):
    """State of a connection in the hand-over record."""

    TIGHT = "sealed and tight"
    NOT_TIGHT = "sealed, not tight"
    UNTESTED = "sealed, test still to come"
    IN_WORK = "in work"
    GIVEN_UP = "given up"
    PLANNED = "planned"
    NOT_SEALED = "not sealed"


@dataclass(frozen=True, slots=True)
class LeakTest:
    """A leak test judged from its readings.

    Attributes:
        method: `LA` to `LD`, `W`, `F1417` or `F1417-HALF`.
        passed: Whether it passed; None where the readings do not suffice, with the reason.
        required_time: [s].
        observed_time: From first to last reading used [s].
        limit: Largest drop [Pa], or largest water added [m3].
        measured: Drop [Pa] or water added [m3].
        reason: One plain sentence.
        trace: Numbers in checking order.
        began: Start of the test, after the first reading [s]; before it the air settled.
    """

    method: str
    passed: bool | None
    required_time: float
    observed_time: float
    limit: float
    measured: float
    reason: str
    trace: tuple[TraceRow, ...]
    began: float = 0.0


class Matter(StrEnum):
    """What a person must decide of a connection."""

    ATTEMPT = "another attempt"
    TEST = "the leak test"
    LIMITS = "the limits that were broken"


@dataclass(frozen=True, slots=True)
class Decision:
    """What a person decided of an installation.

    Attributes:
        text: What.
        person: Who.
        at: When, with time zone.
        on: Matters on which it still counts: nothing that bears on them came after it.
    """

    text: str
    person: str
    at: datetime
    on: frozenset[Matter]


@dataclass(frozen=True, slots=True)
class HandoverRecord:
    """What is handed over for one connection.

    Attributes:
        connection_id: Connection.
        state: State.
        installation: Installation that counts, or `""`.
        test: Its leak test, or None.
        departures: Limits broken and other departures, one plain sentence each.
        open_points: What is still missing.
        remarks: What a reader of the log must know though no limit is broken by it: other limits
            of the present design than those that were told, steps that were logged again.
        to_decide: Matters among the open points that a person must decide.
        decided: Points that a decision closed, one sentence each: by whom, when, what.
        earlier: (installation, what became of it) of the attempts before the one that counts.
    """

    connection_id: str
    state: HandoverState
    installation: str
    test: LeakTest | None
    departures: tuple[str, ...]
    open_points: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    to_decide: tuple[Matter, ...] = ()
    decided: tuple[str, ...] = ()
    earlier: tuple[tuple[str, str], ...] = ()

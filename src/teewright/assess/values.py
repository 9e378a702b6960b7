"""What each connection needs, and how much water it lets in."""

from dataclasses import dataclass
from enum import StrEnum

from teewright.findings import Finding


class Need(StrEnum):
    """What is to be done with a connection."""

    SEAL = "seal"
    MAKE_READY = "make ready first"
    LOOK_AGAIN = "look again"
    CLOSE_OFF = "close off"
    LEAVE = "leave"


class EntryClass(StrEnum):
    """Coded class of groundwater entry (EN 13508-2 code BBF), `dry` where none was seen."""

    DRY = "dry"
    SWEATING = "sweating"
    DRIPPING = "dripping"
    FLOWING = "flowing"
    GUSHING = "gushing"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a rule fired.

    Attributes:
        rule: Name of the rule, lower case with hyphens.
        text: One plain sentence.
    """

    rule: str
    text: str


@dataclass(frozen=True, slots=True)
class Entry:
    """Estimated entry of groundwater at one connection.

    Attributes:
        flow: Through the thin gap at the highest groundwater [m3/s], or None where the
            geometry or the water is not known or the formula does not hold.
        coded: Class that the survey codes.
        basis: `thin gap`, `coded class` or `not known`.
        reynolds: Reynolds number of the gap flow [-], or None.
        head: Water above the connection used [m], or None.
        text: One plain sentence for the list.
        most: Upper bound of the flow where the formula does not hold [m3/s], or None.
    """

    flow: float | None
    coded: EntryClass
    basis: str
    reynolds: float | None
    head: float | None
    text: str
    most: float | None = None


@dataclass(frozen=True, slots=True)
class GapEntry:
    """Flow through the gap round a cut edge.

    Attributes:
        flow: [m3/s], or None where the formula does not hold.
        most: Upper bound where it does not hold [m3/s], else None.
        reynolds: Reynolds number [-], or None.
    """

    flow: float | None
    most: float | None
    reynolds: float | None


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one connection needs.

    Attributes:
        connection_id: Connection.
        need: What is to be done.
        make_ready: Kinds of work to do first, keys of `Rates.make_ready`; empty otherwise.
        reasons: The rule that decided first, then the others that bear on it.
        entry: Estimated groundwater entry.
        rank: 1 for the greatest entry; ties in order of run and chainage.
    """

    connection_id: str
    need: Need
    make_ready: tuple[str, ...]
    reasons: tuple[Reason, ...]
    entry: Entry
    rank: int


@dataclass(frozen=True, slots=True)
class Assessment:
    """Verdicts on all connections of a survey.

    Attributes:
        verdicts: In the order of the survey's connections.
        findings: Assumptions and doubts.
    """

    verdicts: tuple[Verdict, ...]
    findings: tuple[Finding, ...]

    def of(self, connection_id: str) -> Verdict:
        """The verdict on a connection; `KeyError` where there is none."""
        return {v.connection_id: v for v in self.verdicts}[connection_id]

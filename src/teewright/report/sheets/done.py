"""One installation as its sheet sees it: what was logged, and what it is held to."""

from dataclasses import dataclass

from teewright.job.proving import limits_of, lined_diameters, tests_of
from teewright.job.values import Design
from teewright.proof.values import HandoverRecord, LeakTest
from teewright.report.index import JobIndex
from teewright.site.corrections import of_installation
from teewright.site.fields import number
from teewright.site.held import held_to, told_at_mixing
from teewright.site.naming import split_installation
from teewright.site.order import steps
from teewright.site.values import Event, EventKind, Limits

HELD = (EventKind.AT_PRESSURE, EventKind.READING)
"""Events that tell the pressure in the packer."""


@dataclass(frozen=True, slots=True)
class Done:
    """One installation with all that belongs to it.

    Attributes:
        name: Connection id, `#`, attempt.
        connection_id: Connection.
        attempt: From 1.
        events: As they were entered.
        steps: As they count, corrected.
        design: What it was designed for, or None.
        record: Where its connection stands, or None where another attempt counts.
        ended: What became of it where another attempt counts, one sentence, else empty.
        diameter: Inner diameter of the lined main [m].
    """

    name: str
    connection_id: str
    attempt: int
    events: tuple[Event, ...]
    steps: tuple[Event, ...]
    design: Design | None
    record: HandoverRecord | None
    ended: str
    diameter: float

    def last(self, kind: EventKind) -> Event | None:
        """Last event of a kind that counts."""
        return next((e for e in reversed(self.steps) if e.kind is kind), None)

    def first(self, kind: EventKind) -> Event | None:
        """First event of a kind that counts."""
        return next((e for e in self.steps if e.kind is kind), None)

    @property
    def pressures(self) -> tuple[Event, ...]:
        """Events while it was held that name a pressure."""
        return tuple(e for e in self.steps if e.kind in HELD and pressure_of(e) is not None)

    @property
    def limits(self) -> Limits | None:
        """What it is held to: what was told when it was mixed, or else its design."""
        if self.design is None:
            return told_at_mixing(self.events)
        return held_to(self.events, limits_of(self.design))

    @property
    def tests(self) -> tuple[tuple[str, LeakTest], ...]:
        """(label, leak test) of every test, the one that counts last."""
        return tests_of(self.name, self.events, self.diameter)

    @property
    def test(self) -> LeakTest | None:
        """The leak test that counts for it, though another attempt may count for the connection."""
        if self.record:
            return self.record.test
        return self.tests[-1][1] if self.tests else None


def pressure_of(event: Event) -> float | None:
    """Pressure that an event tells [Pa], or None."""
    return number(dict(event.data).get("pressure", ""))


def done_of(index: JobIndex, name: str) -> Done:
    """All that belongs to one installation.

    Args:
        index: The job.
        name: Installation.
    """
    connection_id, attempt = split_installation(name)
    own = of_installation(index.job.events, name)
    record = index.records.get(connection_id)
    ended = dict(record.earlier).get(name, "") if record is not None else ""
    if record is not None and record.installation != name:
        record = None
    job, design = index.job, index.designs.get(connection_id)
    lined = lined_diameters(job.survey, job.site, job.designs, (connection_id,))[connection_id]
    return Done(name, connection_id, attempt, own, steps(own), design, record, ended, lined)

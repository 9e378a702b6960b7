"""What a crew logs at a connection, step by step, for projects that have been begun."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone

from teewright.job.values import Design
from teewright.site.chain import Draft
from teewright.site.values import Event, EventKind
from teewright.store.project import Project
from teewright.units import MINUTE

K = EventKind
START = datetime(2027, 5, 3, 20, 30, tzinfo=timezone(timedelta(hours=2)))
AIR = (10_000.0, 9_700.0, 9_480.0, 9_310.0, 9_180.0)
"""Gauge pressures of a test that passes [Pa]."""
LEAKY = (10_000.0, 9_100.0, 8_300.0, 7_600.0, 7_000.0)
WORK = (K.WET_OUT, K.LOWERED, K.IN_PLACE, K.AT_PRESSURE, K.RELEASED, K.OUT)
Data = tuple[tuple[str, str], ...]


@dataclass
class Crew:
    """One device and its crew, at one connection after the other."""

    project: Project
    device: str = "tablet 1"
    person: str = "AB"
    sequence: int = 0

    def log(self, name: str, kind: EventKind, at: datetime, *data: tuple[str, str]) -> Event:
        self.sequence += 1
        return self.project.record(
            Draft(str(uuid.uuid4()), name, kind, at, self.device, self.sequence, self.person, data)
        )

    def set_collar(
        self,
        design: Design,
        *,
        start: datetime = START,
        attempt: int = 1,
        until: EventKind = K.OUT,
        late: float = -2.0 * MINUTE,
    ) -> tuple[str, datetime]:
        """Mix, press on, hold, pull out; `late` is when it is at pressure after the latest [s].

        Returns:
            Name of the installation and when it was out.
        """
        name, cure = f"{design.connection_id}#{attempt}", design.cure
        pressed = cure.latest_inflation + late
        freed = cure.release_time + 3.0 * MINUTE
        after = (0.6 * pressed, 0.7 * pressed, 0.9 * pressed, pressed, freed, freed + 8.0 * MINUTE)
        self.log(name, K.MIXED, start, ("batch", "B-17"))
        middle = str(round((design.pressure.low + design.pressure.high) / 2.0))
        at = start
        for kind, seconds in zip(WORK, after, strict=True):
            if kind is until and kind is not K.OUT:
                break
            at = start + timedelta(seconds=seconds)
            data = (("pressure", middle),) if kind is K.AT_PRESSURE else ()
            self.log(name, kind, at, *data)
            if kind is K.AT_PRESSURE:
                for minutes in (10, 25, 40):
                    moment = at + timedelta(minutes=minutes)
                    self.log(name, K.READING, moment, ("pressure", middle))
        return name, at

    def test_air(
        self, name: str, at: datetime, pressures: Sequence[float] = AIR, *, test: str = "1"
    ) -> None:
        """A leak test with air between two seals, a reading every 30 s."""
        for number, pressure in enumerate(pressures):
            self.log(
                name,
                K.TEST_READING,
                at + timedelta(minutes=5, seconds=30 * number),
                ("pressure", str(pressure)),
                ("elapsed", str(30.0 * number)),
                ("method", "LC"),
                ("test", test),
                ("test_volume", "0.02"),
                ("seal_distance", "1.2"),
            )

    def test_water(self, name: str, at: datetime) -> None:
        """A leak test with water, half an hour."""
        for number in range(7):
            self.log(
                name,
                K.TEST_READING,
                at + timedelta(minutes=5 + 5 * number),
                ("volume", str(number * 6e-6)),
                ("pressure", "30000"),
                ("elapsed", str(300.0 * number)),
                ("method", "W"),
            )

    def inspect(self, name: str, at: datetime) -> None:
        self.log(name, K.INSPECTED, at + timedelta(minutes=50), ("text", "round, no wrinkle"))

    def give_up(self, name: str, at: datetime) -> None:
        self.log(name, K.ABORTED, at + timedelta(minutes=1), ("reason", "packer lost air"))


def begun(project: Project, designs: Sequence[Design]) -> None:
    """A job under way: tight, not tight, late, given up, in work, tested with water, not tested."""
    crew, start = Crew(project), START
    made = []
    for number, design in enumerate(designs[:7]):
        until = K.RELEASED if number == 5 else K.AT_PRESSURE if number == 4 else K.OUT
        late = 4.0 * MINUTE if number == 2 else -2.0 * MINUTE
        made.append(crew.set_collar(design, start=start, until=until, late=late))
        start = start + timedelta(hours=3)
    crew.test_air(*made[0])
    crew.inspect(*made[0])
    crew.test_air(*made[1], LEAKY)
    crew.inspect(*made[1])
    crew.test_air(*made[2])
    crew.test_water(*made[3])
    crew.inspect(*made[3])
    crew.give_up(*made[4])

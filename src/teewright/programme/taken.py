"""What is given away before planning begins: crew-days, and runs and manholes on a day."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from teewright.kit.values import Crew
from teewright.programme.values import Shift

Place = tuple[str, str]
"""(`run` or `manhole`, its name)."""


@dataclass(frozen=True, slots=True)
class Taken:
    """Days by their index, crews by theirs.

    Attributes:
        crew_days: (day, crew) that are not free.
        places: (day, place) where another crew works.
    """

    crew_days: frozenset[tuple[int, int]] = frozenset()
    places: frozenset[tuple[int, Place]] = frozenset()

    def at(self, day: int) -> set[Place]:
        """Places where another crew works on a day."""
        return {place for d, place in self.places if d == day}

    @property
    def days(self) -> int:
        """Days on which anything is taken."""
        return len({d for d, _ in self.crew_days} | {d for d, _ in self.places})


NOTHING = Taken()


def places_of(shift: Shift) -> set[Place]:
    """Runs and manholes of a shift."""
    runs: set[Place] = {("run", v.run_id) for v in shift.visits}
    return runs | {("manhole", node) for node, _, _ in shift.manholes}


def taken_by(shifts: Iterable[Shift], dates: tuple[date, ...], crews: tuple[Crew, ...]) -> Taken:
    """What shifts that stand leave to nobody else.

    Args:
        shifts: The shifts.
        dates: Days of work; what stands on other days bars nothing.
        crews: Crews.
    """
    day_of = {day: d for d, day in enumerate(dates)}
    crew_of = {crew.name: c for c, crew in enumerate(crews)}
    there = [s for s in shifts if s.day in day_of]
    return Taken(
        frozenset((day_of[s.day], crew_of[s.crew]) for s in there if s.crew in crew_of),
        frozenset((day_of[s.day], place) for s in there for place in places_of(s)),
    )

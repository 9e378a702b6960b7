"""A programme with all that it is held against, and what every rule needs to speak of it."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import combinations

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.values import Installation, Programme, Shift, Visit

TOLERANCE = timedelta(milliseconds=1)

Fault = tuple[str, tuple[str, ...]]
"""One plain sentence, and the connections that it speaks of."""
Use = tuple[datetime, datetime, str]
"""Start and end of a use, and the connection that it is for."""


@dataclass(frozen=True, slots=True)
class Case:
    """A programme with all that it is held against.

    Attributes:
        programme: The finished programme.
        installations: What was to be placed, by connection.
        crews: Crews with their packers, by name.
        rules: Rules of the shifts.
        days: Days of the week on which a shift may start, 1 Monday to 7 Sunday.
        first_day: First day of work, or None for any.
        last_day: Last day on which a shift may start, or None for any.
    """

    programme: Programme
    installations: dict[str, Installation]
    crews: dict[str, Crew]
    rules: ShiftRules
    days: tuple[int, ...]
    first_day: date | None
    last_day: date | None

    def visits(self) -> Iterator[tuple[Shift, Visit]]:
        """Every visit with its shift."""
        for shift in self.programme.shifts:
            for visit in shift.visits:
                yield shift, visit

    def known(self) -> Iterator[tuple[Shift, Visit, Installation]]:
        """Every visit to a connection that was asked for."""
        for shift, visit in self.visits():
            if visit.connection_id in self.installations:
                yield shift, visit, self.installations[visit.connection_id]


Rule = Callable[[Case], Iterator[Fault]]
"""Finds every fault of one kind."""


def minutes(time: timedelta | float) -> str:
    """A duration in minutes, to the hundredth where it is not whole."""
    seconds = time.total_seconds() if isinstance(time, timedelta) else time
    return f"{seconds / 60.0:.2f}".rstrip("0").rstrip(".") + " min"


def clock(moment: datetime) -> str:
    """A time of day, with its seconds where there are any."""
    return f"{moment:%H:%M:%S}" if moment.second else f"{moment:%H:%M}"


def short(found: timedelta, least: float) -> bool:
    """Whether a duration is less than it must be [s]."""
    return found < timedelta(seconds=least) - TOLERANCE


def long(found: timedelta, most: float) -> bool:
    """Whether a duration is more than it may be [s]."""
    return found > timedelta(seconds=most) + TOLERANCE


def everyone(shift: Shift) -> tuple[str, ...]:
    """Connections of a shift."""
    return tuple(v.connection_id for v in shift.visits)


def overlaps(uses: Iterable[Use]) -> Iterator[tuple[str, str]]:
    """Pairs of connections of which the uses overlap."""
    for one, other in combinations(sorted(uses), 2):
        if other[0] < one[1] - TOLERANCE:
            yield one[2], other[2]

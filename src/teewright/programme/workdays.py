"""Days of work."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from teewright.kit.values import Crew
from teewright.programme.assigning import Filled
from teewright.programme.durations import Job
from teewright.programme.sequence import Van


def workdays(
    first: date, weekdays: tuple[int, ...], *, last: date | None, least: int
) -> list[date]:
    """Days on which a shift may start.

    Args:
        first: First day of the job.
        weekdays: 1 Monday to 7 Sunday, at least one.
        last: Last day, or None for as many as needed.
        least: Number of days wanted where there is no last day.

    Returns:
        Days in order.
    """
    found: list[date] = []
    day = first
    while (len(found) < least) if last is None else (day <= last):
        if day.isoweekday() in weekdays:
            found.append(day)
        day += timedelta(days=1)
    return found


def first_ready(days: list[date], not_before: date) -> int:
    """Index of the first day that is not too early; the number of days where there is none."""
    return next((k for k, day in enumerate(days) if day >= not_before), len(days))


def van_of(crew: Crew) -> Van:
    """The packers of a crew, sorted."""
    return tuple(sorted(crew.packers))


def places(jobs: Iterable[Job]) -> set[tuple[str, str]]:
    """Runs and manholes of jobs; on one day each belongs to one crew."""
    return {place for j in jobs for place in (("run", j.run), ("manhole", j.manhole))}


@dataclass(frozen=True, slots=True)
class Dated:
    """A shift on its day with its crew.

    Attributes:
        filled: What it holds.
        day: Index of the day.
        crew: Index of the crew.
    """

    filled: Filled
    day: int
    crew: int

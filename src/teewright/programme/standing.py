"""Shifts that stand: taken apart into seconds, without some of their visits, in order."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.durations import Job, seconds_up
from teewright.programme.sequence import Slot
from teewright.programme.values import Shift, Visit


def unit_names(crew: Crew) -> dict[str, str]:
    """Each packer on a van by the name that a visit has for it, and its own name."""
    counts, seen = Counter(crew.packers), Counter[str]()
    found: dict[str, str] = {}
    for name in crew.packers:
        seen[name] += 1
        found[f"{name} #{seen[name]}" if counts[name] > 1 else name] = name
    return found


def of_crew(crew: Crew) -> Crew:
    """The crew with each packer of its van under a name of its own."""
    return replace(crew, packers=tuple(unit_names(crew)))


def slot_of(visit: Visit, job: Job, start: datetime) -> Slot:
    """A visit in seconds from the start of its shift.

    Args:
        visit: The visit.
        job: Its installation.
        start: Of the shift.
    """

    def seconds(moment: datetime) -> int:
        return round((moment - start).total_seconds())

    return Slot(job, visit.packer, seconds(visit.mix), seconds(visit.lower), seconds(visit.release))


def trimmed(one: Shift, kept: set[str], rules: ShiftRules) -> Shift | None:
    """A shift with some of its visits, which stay as they are.

    Args:
        one: The shift.
        kept: Connections whose visits stay.
        rules: Of the shifts.

    Returns:
        The shift, its manholes set up and cleared straight before and after what is left; None
        where nothing is.
    """
    visits = tuple(v for v in one.visits if v.connection_id in kept)
    if visits == one.visits:
        return one
    if not visits:
        return None
    set_up = timedelta(seconds=seconds_up(rules.set_up))
    clear = timedelta(seconds=seconds_up(rules.clear))
    manholes = []
    for node in dict.fromkeys(v.manhole for v in visits):
        here = [v for v in visits if v.manhole == node]
        begin = min(v.mix for v in here) - set_up
        manholes.append((node, begin, max(v.tested for v in here) + clear))
    ordered = tuple(sorted(manholes, key=lambda m: m[1]))
    return replace(one, visits=visits, manholes=ordered)


def numbered(shifts: Iterable[Shift], crews: tuple[Crew, ...]) -> tuple[Shift, ...]:
    """Shifts in order of start, then crew, numbered from 1."""
    names = [crew.name for crew in crews]
    place = {name: k for k, name in enumerate(names)}
    ordered = sorted(shifts, key=lambda s: (s.start, place.get(s.crew, -1)))
    return tuple(replace(s, number=k) for k, s in enumerate(ordered, 1))

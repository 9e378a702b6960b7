"""Street, main and manholes: who may be there, and when."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import combinations

from teewright.programme.rules.case import TOLERANCE, Case, Fault, Use, clock, overlaps
from teewright.programme.values import Shift


def one_in_run(case: Case) -> Iterator[Fault]:
    """A run holds one packer, from lowering until the test is done."""
    runs: dict[str, list[Use]] = {}
    for _, visit in case.visits():
        runs.setdefault(visit.run_id, []).append((visit.lower, visit.tested, visit.connection_id))
    for run, spans in runs.items():
        for one, other in overlaps(spans):
            yield f"{run} holds {one} and {other} at once.", (one, other)


def one_crew(case: Case) -> Iterator[Fault]:
    """On one day a run and a manhole belong to one crew."""
    for one, other in combinations(case.programme.shifts, 2):
        if one.day == other.day and one.crew != other.crew:
            for place in sorted(_places(one) & _places(other)):
                text = f"{place} belongs to {one.crew} and {other.crew} on {one.day}."
                yield text, (*_at_place(one, place), *_at_place(other, place))


def _places(shift: Shift) -> set[str]:
    runs = {f"Run {v.run_id}" for v in shift.visits}
    return runs | {f"Manhole {node}" for node, _, _ in shift.manholes}


def _at_place(shift: Shift, place: str) -> Iterator[str]:
    """Connections of a shift at a run or manhole."""
    for v in shift.visits:
        if place in (f"Run {v.run_id}", f"Manhole {v.manhole}"):
            yield v.connection_id


def access(case: Case) -> Iterator[Fault]:
    """A street is in use within its access windows."""
    for shift, visit, asked in case.known():
        for node, start, end in shift.manholes:
            if node == visit.manhole and asked.access and not _open(start, end, asked.access):
                text = f"{visit.connection_id}: the street at {node} is in use from {clock(start)}"
                text += f" to {clock(end)}, outside its access windows."
                yield text, (visit.connection_id,)


def _open(start: datetime, end: datetime, windows: tuple[tuple[float, float], ...]) -> bool:
    """Whether daily windows, one taking over from another, last from start to end."""
    midnight = datetime.combine(start.date(), datetime.min.time())
    reached = start
    for _ in range(64):
        if reached >= end - TOLERANCE:
            return True
        closing = [
            midnight + timedelta(days=back, seconds=to)
            for since, to in windows
            for back in range(-3, 4)
            if midnight + timedelta(days=back, seconds=since) <= reached + TOLERANCE
        ]
        furthest = max(closing, default=reached)
        if furthest <= reached:
            return False
        reached = furthest
    return False

"""One batch and its collar: its steps, its working time, its release."""

from collections.abc import Iterator
from datetime import timedelta

from teewright.kit.values import ShiftRules
from teewright.programme.rules.case import Case, Fault, long, minutes, short
from teewright.programme.values import Installation, Visit

_Step = tuple[str, timedelta, float]


def step(case: Case) -> Iterator[Fault]:
    """Each step has the time that it takes."""
    for _, visit, asked in case.known():
        for name, found, least in _steps(visit, asked, case.rules):
            if short(found, least):
                text = f"{visit.connection_id}: {name} has {minutes(found)}"
                text += f", but takes {minutes(least)}."
                yield text, (visit.connection_id,)


def _steps(visit: Visit, asked: Installation, rules: ShiftRules) -> tuple[_Step, ...]:
    travel = asked.distance / rules.travel_speed
    way = rules.lower + travel + rules.position
    return (
        ("mixing and wetting out", visit.wet_out - visit.mix, rules.mix + rules.wet_out),
        ("from wetted out to lowering", visit.lower - visit.wet_out, 0.0),
        ("lowering, travel and positioning", visit.in_place - visit.lower, way),
        ("inflation", visit.at_pressure - visit.in_place, rules.inflate),
        ("hold", visit.release - visit.at_pressure, 0.0),
        ("removal", visit.out - visit.release, rules.remove + travel),
        ("test", visit.tested - visit.out, rules.test),
    )


def working_time(case: Case) -> Iterator[Fault]:
    """A batch is under full pressure while it can still be formed."""
    for _, visit, asked in case.known():
        for name, moment in (
            ("full pressure", visit.at_pressure),
            ("the latest full pressure", visit.latest_pressure),
        ):
            if long(moment - visit.mix, asked.latest_inflation):
                text = f"{visit.connection_id}: {name} comes {minutes(moment - visit.mix)} after"
                text += f" mixing, but the batch allows {minutes(asked.latest_inflation)}."
                yield text, (visit.connection_id,)
        pressed = visit.at_pressure
        late = long(pressed - visit.mix, asked.latest_inflation)
        if pressed > visit.latest_pressure and not late:
            text = f"{visit.connection_id}: full pressure comes after its own deadline."
            yield text, (visit.connection_id,)


def release(case: Case) -> Iterator[Fault]:
    """A collar is held until it is hard."""
    for _, visit, asked in case.known():
        for name, moment in (
            ("release", visit.release),
            ("the earliest release", visit.earliest_release),
        ):
            if short(moment - visit.mix, asked.release):
                text = f"{visit.connection_id}: {name} comes {minutes(moment - visit.mix)} after"
                text += f" mixing, but curing takes {minutes(asked.release)}."
                yield text, (visit.connection_id,)
        if visit.release < visit.earliest_release:
            text = f"{visit.connection_id} is released before its own earliest release."
            yield text, (visit.connection_id,)

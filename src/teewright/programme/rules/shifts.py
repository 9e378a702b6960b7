"""Shifts: their hours, their days, their crews, their order."""

from collections import Counter
from collections.abc import Iterator
from datetime import datetime, timedelta

from teewright.programme.rules.case import TOLERANCE, Case, Fault, clock, everyone, long, minutes
from teewright.programme.rules.hands import attended


def within(case: Case) -> Iterator[Fault]:
    """A shift starts in time, is not too long, and holds all that the crew does."""
    for shift in case.programme.shifts:
        midnight = datetime.combine(shift.day, datetime.min.time())
        if abs(shift.start - midnight - timedelta(seconds=case.rules.start)) > TOLERANCE:
            yield f"Shift {shift.number} starts at {clock(shift.start)}.", everyone(shift)
        if long(shift.end - shift.start, case.rules.length):
            text = f"Shift {shift.number} lasts {minutes(shift.end - shift.start)}."
            yield text, everyone(shift)
        for start, end, _, what, of in attended(shift, case.rules):
            if start < shift.start - TOLERANCE or end > shift.end + TOLERANCE:
                text = f"Shift {shift.number}: {what}, {clock(start)} to {clock(end)}, is outside"
                yield f"{text} the shift, {clock(shift.start)} to {clock(shift.end)}.", of


def max_collars(case: Case) -> Iterator[Fault]:
    """A shift holds one collar or more, and no more than it may."""
    for shift in case.programme.shifts:
        if not 1 <= len(shift.visits) <= case.rules.max_collars:
            text = f"Shift {shift.number} has {len(shift.visits)} collars"
            text += f"; allowed are 1 to {case.rules.max_collars}."
            yield text, everyone(shift)


def weekday(case: Case) -> Iterator[Fault]:
    """A shift starts on a day of work."""
    for shift in case.programme.shifts:
        if shift.day.isoweekday() not in case.days:
            yield f"Shift {shift.number} is on {shift.day}, no day of work.", everyone(shift)


def days(case: Case) -> Iterator[Fault]:
    """A shift starts within the days of the job."""
    for shift in case.programme.shifts:
        early = case.first_day is not None and shift.day < case.first_day
        late = case.last_day is not None and shift.day > case.last_day
        if early or late:
            text = f"Shift {shift.number} on {shift.day} is outside the job's days."
            yield text, everyone(shift)


def crew_known(case: Case) -> Iterator[Fault]:
    """A shift has a crew that there is."""
    for crew, _ in _taken(case):
        if crew not in case.crews:
            yield f"{crew} is no crew.", ()


def crew_day(case: Case) -> Iterator[Fault]:
    """A crew has one shift a day."""
    for (crew, day), count in _taken(case).items():
        if count > 1:
            yield f"{crew} has {count} shifts on {day}.", ()


def _taken(case: Case) -> Counter[tuple[str, object]]:
    return Counter((shift.crew, shift.day) for shift in case.programme.shifts)


def order(case: Case) -> Iterator[Fault]:
    """Shifts are numbered in order, and hold visits and manholes in order."""
    shifts = case.programme.shifts
    names = list(case.crews)
    keys = [(s.start, names.index(s.crew) if s.crew in names else -1) for s in shifts]
    if [s.number for s in shifts] != list(range(1, len(shifts) + 1)) or keys != sorted(keys):
        yield "Shifts are not numbered from 1 in order of start, then crew.", ()
    for shift in shifts:
        mixes = [v.mix for v in shift.visits]
        starts = [start for _, start, _ in shift.manholes]
        if mixes != sorted(mixes) or starts != sorted(starts):
            yield f"Shift {shift.number}: visits or manholes are not in order.", ()


def bound(case: Case) -> Iterator[Fault]:
    """What is claimed of the number of shifts agrees with itself."""
    programme, count = case.programme, len(case.programme.shifts)
    if not 0 <= programme.bound <= count or programme.proved != (programme.bound == count):
        text = f"{count} shifts, at least {programme.bound}, proved {programme.proved}"
        yield f"These do not agree: {text}.", ()

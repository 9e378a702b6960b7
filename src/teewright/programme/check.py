"""Whether a finished programme keeps every rule, told from its datetimes alone.

Shares no code with the optimiser, on purpose: it takes the programme as a foreman would, and
holds each visit against the clock. Each rule is one function.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import combinations, pairwise

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.values import Installation, Programme, Shift, Visit

_TOLERANCE = timedelta(milliseconds=1)


@dataclass(frozen=True, slots=True)
class Breach:
    """A rule that a programme breaks.

    Attributes:
        rule: Name of the rule.
        text: One plain sentence: where and by how much.
        about: Connections of the visits that it speaks of; empty where it speaks of none.
    """

    rule: str
    text: str
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Case:
    """A programme with all that it is held against."""

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


def check(
    programme: Programme,
    installations: tuple[Installation, ...],
    *,
    crews: tuple[Crew, ...],
    shifts: ShiftRules,
    days: tuple[int, ...],
    first_day: date | None = None,
    last_day: date | None = None,
) -> tuple[Breach, ...]:
    """Hold a programme against every rule.

    Args:
        programme: The finished programme.
        installations: What was to be placed.
        crews: Crews with their packers.
        shifts: Rules of the shifts.
        days: Days of the week on which a shift may start, 1 Monday to 7 Sunday.
        first_day: First day of work, or None for any.
        last_day: Last day on which a shift may start, or None for any.

    Returns:
        Every breach found, in the order of the rules; empty where all are kept.
    """
    case = _Case(
        programme,
        {i.connection_id: i for i in installations},
        {c.name: c for c in crews},
        shifts,
        days,
        first_day,
        last_day,
    )
    return tuple(breach for rule in _RULES for breach in rule(case))


def _minutes(time: timedelta | float) -> str:
    """A duration in minutes, to the hundredth where it is not whole."""
    seconds = time.total_seconds() if isinstance(time, timedelta) else time
    return f"{seconds / 60.0:.2f}".rstrip("0").rstrip(".") + " min"


def _at(moment: datetime) -> str:
    """A time of day, with its seconds where there are any."""
    return f"{moment:%H:%M:%S}" if moment.second else f"{moment:%H:%M}"


def _short(found: timedelta, least: float) -> bool:
    return found < timedelta(seconds=least) - _TOLERANCE


def _long(found: timedelta, most: float) -> bool:
    return found > timedelta(seconds=most) + _TOLERANCE


def _each_once(case: _Case) -> Iterator[Breach]:
    planned = Counter(visit.connection_id for _, visit in case.visits())
    named = Counter(u.connection_id for u in case.programme.unplanned)
    for key in case.installations:
        if planned[key] + named[key] != 1:
            text = f"{key} is planned {planned[key]} and refused {named[key]} times."
            yield Breach("once", text, (key,))
    for key in (planned + named).keys() - case.installations.keys():
        yield Breach("once", f"{key} was not asked for.", (key,))


def _same_place(case: _Case) -> Iterator[Breach]:
    for _, visit, asked in case.known():
        if (visit.run_id, visit.manhole) != (asked.run_id, asked.manhole):
            text = f"{visit.connection_id} is in {asked.run_id} from {asked.manhole}"
            text += f", not in {visit.run_id} from {visit.manhole}."
            yield Breach("place", text, (visit.connection_id,))


def _steps(case: _Case) -> Iterator[Breach]:
    rules = case.rules
    for _, visit, asked in case.known():
        travel = asked.distance / rules.travel_speed
        steps = (
            ("mixing and wetting out", visit.wet_out - visit.mix, rules.mix + rules.wet_out),
            ("from wetted out to lowering", visit.lower - visit.wet_out, 0.0),
            (
                "lowering, travel and positioning",
                visit.in_place - visit.lower,
                rules.lower + travel + rules.position,
            ),
            ("inflation", visit.at_pressure - visit.in_place, rules.inflate),
            ("hold", visit.release - visit.at_pressure, 0.0),
            ("removal", visit.out - visit.release, rules.remove + travel),
            ("test", visit.tested - visit.out, rules.test),
        )
        for name, found, least in steps:
            if _short(found, least):
                text = f"{visit.connection_id}: {name} has {_minutes(found)}"
                text += f", but takes {_minutes(least)}."
                yield Breach("step", text, (visit.connection_id,))


def _working_time(case: _Case) -> Iterator[Breach]:
    for _, visit, asked in case.known():
        for name, moment in (
            ("full pressure", visit.at_pressure),
            ("the latest full pressure", visit.latest_pressure),
        ):
            if _long(moment - visit.mix, asked.latest_inflation):
                text = f"{visit.connection_id}: {name} comes {_minutes(moment - visit.mix)} after"
                text += f" mixing, but the batch allows {_minutes(asked.latest_inflation)}."
                yield Breach("working-time", text, (visit.connection_id,))
        pressed = visit.at_pressure
        late = _long(pressed - visit.mix, asked.latest_inflation)
        if pressed > visit.latest_pressure and not late:
            text = f"{visit.connection_id}: full pressure comes after its own deadline."
            yield Breach("working-time", text, (visit.connection_id,))


def _release(case: _Case) -> Iterator[Breach]:
    for _, visit, asked in case.known():
        for name, moment in (
            ("release", visit.release),
            ("the earliest release", visit.earliest_release),
        ):
            if _short(moment - visit.mix, asked.release):
                text = f"{visit.connection_id}: {name} comes {_minutes(moment - visit.mix)} after"
                text += f" mixing, but curing takes {_minutes(asked.release)}."
                yield Breach("release", text, (visit.connection_id,))
        if visit.release < visit.earliest_release:
            text = f"{visit.connection_id} is released before its own earliest release."
            yield Breach("release", text, (visit.connection_id,))


Stay = tuple[datetime, datetime, str, str, tuple[str, ...]]
"""Start, end, manhole, what it is, and the connection that it is for or nearest to."""


def _attended(shift: Shift, rules: ShiftRules) -> list[Stay]:
    """What the crew does with its own hands."""
    stays: list[Stay] = []
    for node, start, end in shift.manholes:
        here = [v for v in shift.visits if v.manhole == node]
        first = tuple(v.connection_id for v in here[:1])
        last = tuple(v.connection_id for v in sorted(here, key=lambda v: v.tested)[-1:])
        stays.append((start, start + timedelta(seconds=rules.set_up), node, "set-up", first))
        stays.append((end - timedelta(seconds=rules.clear), end, node, "clearing", last))
    for v in shift.visits:
        name, of = v.connection_id, (v.connection_id,)
        stays.append((v.mix, v.wet_out, v.manhole, f"preparing {name}", of))
        stays.append((v.lower, v.at_pressure, v.manhole, f"placing {name}", of))
        stays.append((v.release, v.tested, v.manhole, f"finishing {name}", of))
    return stays


def _one_crew_one_place(case: _Case) -> Iterator[Breach]:
    for crew in {shift.crew: None for shift in case.programme.shifts}:
        mine = (s for s in case.programme.shifts if s.crew == crew)
        stays = sorted(stay for shift in mine for stay in _attended(shift, case.rules))
        for one, other in pairwise(stays):
            move = 0.0 if one[2] == other[2] else case.rules.move
            if _short(other[0] - one[1], move):
                text = f"{crew}: {one[3]} at {one[2]} ends {_at(one[1])}, {other[3]} at {other[2]}"
                text += f" begins {_at(other[0])}"
                text += f", with {_minutes(move)} of move between." if move else "."
                yield Breach("crew", text, one[4] + other[4])


def _one_batch(case: _Case) -> Iterator[Breach]:
    """No other batch is mixed and no other manhole attended while a batch is not in place."""
    for shift in case.programme.shifts:
        for visit in shift.visits:
            for start, end, node, what, of in _attended(shift, case.rules):
                away = node != visit.manhole
                mixing = what.startswith("preparing") and what != f"preparing {visit.connection_id}"
                inside = start < visit.at_pressure and end > visit.mix
                if inside and (away or mixing):
                    text = f"{visit.connection_id} is mixed and not in place during {what}."
                    yield Breach("one-batch", text, (visit.connection_id, *of))


def _set_up(case: _Case) -> Iterator[Breach]:
    rules = case.rules
    for shift in case.programme.shifts:
        for visit in shift.visits:
            if not any(_covers(span, visit, rules) for span in shift.manholes):
                text = f"{visit.connection_id}: {visit.manhole} is not set up from mixing to test."
                yield Breach("set-up", text, (visit.connection_id,))
        for node, start, end in shift.manholes:
            if not any(v.manhole == node and start <= v.mix <= end for v in shift.visits):
                text = f"Shift {shift.number}: {node} is set up for nothing."
                yield Breach("set-up", text)


def _covers(span: tuple[str, datetime, datetime], visit: Visit, rules: ShiftRules) -> bool:
    node, start, end = span
    ready = not _short(visit.mix - start, rules.set_up)
    return node == visit.manhole and ready and not _short(end - visit.tested, rules.clear)


def _unit(name: str, crew: Crew) -> tuple[str, int]:
    """Name and number of a packer as a visit has it."""
    base, mark, number = name.rpartition(" #")
    if name in crew.packers or not mark or not number.isdigit():
        return name, 1
    return base, int(number)


def _packer_fits(case: _Case) -> Iterator[Breach]:
    for shift, visit, asked in case.known():
        crew = case.crews.get(shift.crew)
        if crew is None:
            continue
        name, number = _unit(visit.packer, crew)
        if name not in asked.packers:
            text = f"{visit.connection_id}: {visit.packer} does not fit."
            yield Breach("packer-fit", text, (visit.connection_id,))
        if not 1 <= number <= crew.packers.count(name):
            text = f"{visit.connection_id}: {visit.packer} is not on the van of {crew.name}."
            yield Breach("packer-van", text, (visit.connection_id,))


def _packer_once(case: _Case) -> Iterator[Breach]:
    uses: dict[tuple[str, str, int], list[tuple[datetime, datetime, str]]] = {}
    for shift, visit in case.visits():
        crew = case.crews.get(shift.crew, Crew(shift.crew, 0, ()))
        key = (shift.crew, *_unit(visit.packer, crew))
        uses.setdefault(key, []).append((visit.mix, visit.out, visit.connection_id))
    for (crew_name, packer, number), spans in uses.items():
        several = crew_name in case.crews and case.crews[crew_name].packers.count(packer) > 1
        unit = f"{packer} #{number}" if several or number > 1 else packer
        for one, other in _overlaps(spans):
            text = f"{crew_name}: {unit} carries {one} and {other} at once."
            yield Breach("packer-once", text, (one, other))


def _overlaps(spans: Iterable[tuple[datetime, datetime, str]]) -> Iterator[tuple[str, str]]:
    for one, other in combinations(sorted(spans), 2):
        if other[0] < one[1] - _TOLERANCE:
            yield one[2], other[2]


def _run_once(case: _Case) -> Iterator[Breach]:
    runs: dict[str, list[tuple[datetime, datetime, str]]] = {}
    for _, visit in case.visits():
        runs.setdefault(visit.run_id, []).append((visit.lower, visit.tested, visit.connection_id))
    for run, spans in runs.items():
        for one, other in _overlaps(spans):
            yield Breach("run-once", f"{run} holds {one} and {other} at once.", (one, other))


def _one_crew_a_day(case: _Case) -> Iterator[Breach]:
    for one, other in combinations(case.programme.shifts, 2):
        if one.day == other.day and one.crew != other.crew:
            shared = _places(one) & _places(other)
            for place in sorted(shared):
                text = f"{place} belongs to {one.crew} and {other.crew} on {one.day}."
                yield Breach("one-crew", text, (*_at_place(one, place), *_at_place(other, place)))


def _places(shift: Shift) -> set[str]:
    runs = {f"Run {v.run_id}" for v in shift.visits}
    return runs | {f"Manhole {node}" for node, _, _ in shift.manholes}


def _at_place(shift: Shift, place: str) -> Iterator[str]:
    """Connections of a shift at a run or manhole."""
    for v in shift.visits:
        if place in (f"Run {v.run_id}", f"Manhole {v.manhole}"):
            yield v.connection_id


def _access(case: _Case) -> Iterator[Breach]:
    for shift, visit, asked in case.known():
        for node, start, end in shift.manholes:
            if node == visit.manhole and asked.access and not _open(start, end, asked.access):
                text = f"{visit.connection_id}: the street at {node} is in use from {_at(start)} to"
                text += f" {_at(end)}, outside its access windows."
                yield Breach("access", text, (visit.connection_id,))


def _open(start: datetime, end: datetime, windows: tuple[tuple[float, float], ...]) -> bool:
    """Whether daily windows, one taking over from another, last from start to end."""
    midnight = datetime.combine(start.date(), datetime.min.time())
    reached = start
    for _ in range(64):
        if reached >= end - _TOLERANCE:
            return True
        closing = [
            midnight + timedelta(days=back, seconds=to)
            for since, to in windows
            for back in range(-3, 4)
            if midnight + timedelta(days=back, seconds=since) <= reached + _TOLERANCE
        ]
        furthest = max(closing, default=reached)
        if furthest <= reached:
            return False
        reached = furthest
    return False


def _flow(case: _Case) -> Iterator[Breach]:
    for _, visit, asked in case.known():
        hour = visit.lower.replace(minute=0, second=0, microsecond=0)
        while hour < visit.out:
            if hour.hour not in asked.allowed_hours:
                text = f"{visit.connection_id}: the main is blocked from {_at(visit.lower)} to"
                text += f" {_at(visit.out)}, but may not be at {hour.hour} h."
                yield Breach("flow", text, (visit.connection_id,))
                break
            hour += timedelta(hours=1)


def _all(shift: Shift) -> tuple[str, ...]:
    return tuple(v.connection_id for v in shift.visits)


def _within_shift(case: _Case) -> Iterator[Breach]:
    for shift in case.programme.shifts:
        midnight = datetime.combine(shift.day, datetime.min.time())
        if abs(shift.start - midnight - timedelta(seconds=case.rules.start)) > _TOLERANCE:
            text = f"Shift {shift.number} starts at {_at(shift.start)}."
            yield Breach("shift", text, _all(shift))
        if _long(shift.end - shift.start, case.rules.length):
            text = f"Shift {shift.number} lasts {_minutes(shift.end - shift.start)}."
            yield Breach("shift", text, _all(shift))
        for start, end, _, what, of in _attended(shift, case.rules):
            if start < shift.start - _TOLERANCE or end > shift.end + _TOLERANCE:
                text = f"Shift {shift.number}: {what}, {_at(start)} to {_at(end)}, is outside the"
                yield Breach("shift", f"{text} shift, {_at(shift.start)} to {_at(shift.end)}.", of)


def _collars(case: _Case) -> Iterator[Breach]:
    for shift in case.programme.shifts:
        if not 1 <= len(shift.visits) <= case.rules.max_collars:
            text = f"Shift {shift.number} has {len(shift.visits)} collars"
            text += f"; allowed are 1 to {case.rules.max_collars}."
            yield Breach("max-collars", text, _all(shift))


def _dates(case: _Case) -> Iterator[Breach]:
    for shift in case.programme.shifts:
        if shift.day.isoweekday() not in case.days:
            text = f"Shift {shift.number} is on {shift.day}, no day of work."
            yield Breach("weekday", text, _all(shift))
        early = case.first_day is not None and shift.day < case.first_day
        late = case.last_day is not None and shift.day > case.last_day
        if early or late:
            text = f"Shift {shift.number} on {shift.day} is outside the job's days."
            yield Breach("days", text, _all(shift))
    for shift, visit, asked in case.known():
        if shift.day < asked.not_before:
            text = f"{visit.connection_id} is planned on {shift.day}"
            text += f", but ready from {asked.not_before}."
            yield Breach("not-before", text, (visit.connection_id,))


def _crews(case: _Case) -> Iterator[Breach]:
    taken = Counter((shift.crew, shift.day) for shift in case.programme.shifts)
    for (crew, day), count in taken.items():
        if crew not in case.crews:
            yield Breach("crew-known", f"{crew} is no crew.")
        if count > 1:
            yield Breach("crew-day", f"{crew} has {count} shifts on {day}.")


def _order(case: _Case) -> Iterator[Breach]:
    shifts = case.programme.shifts
    names = list(case.crews)
    keys = [(s.start, names.index(s.crew) if s.crew in names else -1) for s in shifts]
    if [s.number for s in shifts] != list(range(1, len(shifts) + 1)) or keys != sorted(keys):
        yield Breach("order", "Shifts are not numbered from 1 in order of start, then crew.")
    for shift in shifts:
        mixes = [v.mix for v in shift.visits]
        starts = [start for _, start, _ in shift.manholes]
        if mixes != sorted(mixes) or starts != sorted(starts):
            yield Breach("order", f"Shift {shift.number}: visits or manholes are not in order.")


def _bound(case: _Case) -> Iterator[Breach]:
    programme, count = case.programme, len(case.programme.shifts)
    if not 0 <= programme.bound <= count or programme.proved != (programme.bound == count):
        text = f"{count} shifts, at least {programme.bound}, proved {programme.proved}"
        yield Breach("bound", f"These do not agree: {text}.")


def _refusals(case: _Case) -> Iterator[Breach]:
    """A refusal for a reason that can be seen at once must be true."""
    rules = case.rules
    owned = {name for crew in case.crews.values() for name in crew.packers}
    for refused in case.programme.unplanned:
        asked = case.installations.get(refused.connection_id)
        if asked is None:
            continue
        travel = asked.distance / rules.travel_speed
        to_pressure = rules.mix + rules.wet_out + rules.lower + travel + rules.position
        to_pressure += rules.inflate
        after = rules.remove + travel + rules.test
        whole = rules.set_up + max(to_pressure, asked.release) + after + rules.clear
        false = {
            "packer": bool(owned & set(asked.packers)),
            "working-time": to_pressure + 8.0 < asked.latest_inflation,
            "shift-length": whole + 12.0 < rules.length,
            "last-day": case.last_day is None,
        }
        if false.get(refused.rule):
            text = f"{refused.connection_id} is refused by {refused.rule}, which does not hold."
            yield Breach("refusal", text, (refused.connection_id,))


_RULES = (
    _each_once,
    _same_place,
    _steps,
    _working_time,
    _release,
    _one_crew_one_place,
    _one_batch,
    _set_up,
    _packer_fits,
    _packer_once,
    _run_once,
    _one_crew_a_day,
    _access,
    _flow,
    _within_shift,
    _collars,
    _dates,
    _crews,
    _order,
    _bound,
    _refusals,
)

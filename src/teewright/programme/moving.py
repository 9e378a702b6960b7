"""Move one visit by hand: the rest of its shift makes way, and nothing is hidden.

What the crew cannot do with two hands gives way: its tasks are done one after the other, with
the move between manholes, a batch is placed before the crew does anything else, and no packer is
released before its collar is hard. Everything else stays as it was planned. Working time,
packers, runs, streets, flow and the end of the shift are not mended here: `check` tells what
breaks.
"""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from teewright.errors import InputError, UnknownNameError
from teewright.kit.values import Crew, ShiftRules
from teewright.programme.durations import Job, job, seconds_up, up
from teewright.programme.hands import Block, timed
from teewright.programme.sequence import Slot
from teewright.programme.standing import numbered, slot_of, trimmed, unit_names
from teewright.programme.timetable import shift
from teewright.programme.values import Installation, Programme, Shift, Visit

LEAD = 60
"""A moved visit begins on a whole step of this, where it is not told when [s]."""


@dataclass(frozen=True, slots=True)
class Move:
    """What is wanted of one visit.

    Attributes:
        connection_id: Connection, planned or not.
        crew: Name of the crew.
        day: Day on which its shift starts.
        mix: Start of mixing; at the same moment as another it goes first. None for after
            everything that the shift holds.
    """

    connection_id: str
    crew: str
    day: date
    mix: datetime | None = None


@dataclass(frozen=True, slots=True)
class Delay:
    """A visit that made way.

    Attributes:
        connection_id: Connection.
        by: Greatest delay of its mixing, full pressure and release [s].
    """

    connection_id: str
    by: float


def move(
    programme: Programme,
    wish: Move,
    *,
    asked: tuple[Installation, ...],
    crews: tuple[Crew, ...],
    rules: ShiftRules,
    held: frozenset[str] = frozenset(),
) -> Programme:
    """A programme with one visit in another place.

    Args:
        programme: As it is.
        wish: What is wanted.
        asked: All installations.
        crews: All crews.
        rules: Of the shifts.
        held: Connections whose visits keep their times, e.g. because they have begun.

    Returns:
        The new programme; its `bound` is that of the old one, as far as it can still be true.

    Raises:
        UnknownNameError: There is no such connection or crew.
        InputError: The visit is held, or begins on another day than the shift.
    """
    jobs = {i.connection_id: job(i, rules) for i in asked}
    crew = _crew(wish, crews)
    _validate(wish, jobs, held, rules)
    left = [_without(s, wish.connection_id, rules) for s in programme.shifts]
    there = next((s for s in left if s and (s.crew, s.day) == (crew.name, wish.day)), None)
    before = _visit(programme, wish.connection_id)
    new = _with(wish, there, before, _Shop(jobs, crew, rules, held))
    kept = [s for s in left if s is not None and s is not there and s.visits]
    shifts = numbered((*kept, new), crews)
    unplanned = tuple(u for u in programme.unplanned if u.connection_id != wish.connection_id)
    bound = min(programme.bound, len(shifts))
    return Programme(shifts, unplanned, bound, proved=bound == len(shifts))


def delays(before: Programme, after: Programme, *, but: str = "") -> tuple[Delay, ...]:
    """Visits that begin, press or release later than before.

    Args:
        before: As it was.
        after: As it is.
        but: Connection that is not looked at.
    """
    old = {v.connection_id: v for s in before.shifts for v in s.visits}
    found = []
    for visit in (v for s in after.shifts for v in s.visits):
        was = old.get(visit.connection_id)
        if was is None or visit.connection_id == but:
            continue
        by = max(
            (now - then).total_seconds()
            for now, then in (
                (visit.mix, was.mix),
                (visit.at_pressure, was.at_pressure),
                (visit.release, was.release),
            )
        )
        if by > 0:
            found.append(Delay(visit.connection_id, by))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Shop:
    """What is needed to time a shift."""

    jobs: dict[str, Job]
    crew: Crew
    rules: ShiftRules
    held: frozenset[str]


def _crew(wish: Move, crews: tuple[Crew, ...]) -> Crew:
    found = next((c for c in crews if c.name == wish.crew), None)
    if found is None:
        raise UnknownNameError(
            "is no crew",
            field="crew",
            value=wish.crew,
            allowed=", ".join(c.name for c in crews) or "none",
        )
    return found


def _validate(wish: Move, jobs: dict[str, Job], held: frozenset[str], rules: ShiftRules) -> None:
    if wish.connection_id not in jobs:
        raise UnknownNameError("is not to be set", field="connection", value=wish.connection_id)
    if wish.connection_id in held:
        raise InputError(
            "has begun or is done, and cannot be moved",
            field="connection",
            value=wish.connection_id,
            allowed="a collar that has not begun",
        )
    if wish.mix is not None:
        start = _start(wish.day, rules)
        if not timedelta(0) <= wish.mix - start < timedelta(days=1):
            raise InputError(
                "is not within the day of the shift",
                field="mix",
                value=wish.mix.isoformat(timespec="minutes"),
                allowed=f"{start:%Y-%m-%d %H:%M} or up to 24 h later",
            )


def _start(day: date, rules: ShiftRules) -> datetime:
    return datetime.combine(day, time()) + timedelta(seconds=rules.start)


def _visit(programme: Programme, connection_id: str) -> Visit | None:
    visits = (v for s in programme.shifts for v in s.visits)
    return next((v for v in visits if v.connection_id == connection_id), None)


def _without(one: Shift, connection_id: str, rules: ShiftRules) -> Shift | None:
    """A shift without a visit, or None where nothing is left."""
    if all(v.connection_id != connection_id for v in one.visits):
        return one
    return trimmed(one, {v.connection_id for v in one.visits} - {connection_id}, rules)


def _with(wish: Move, there: Shift | None, before: Visit | None, shop: _Shop) -> Shift:
    """The shift with the visit in it."""
    start = _start(wish.day, shop.rules)
    visits = there.visits if there else ()
    number = there.number if there else 0
    planned = [v for v in visits if v.connection_id in shop.jobs]
    slots = [slot_of(v, shop.jobs[v.connection_id], start) for v in planned]
    new = _slot(wish, slots, start, before, shop)
    order = [new, *slots]
    found = timed(
        tuple(Block(s, held=s.job.key in shop.held, together=s is new) for s in order),
        shop.rules,
        step=LEAD,
    )
    van = replace(shop.crew, packers=tuple(dict.fromkeys(s.packer for s in found.slots)))
    made = shift(number, wish.day, van, found, shop.rules)
    old = {v.connection_id: v for v in visits}
    same = tuple(_kept(v, old.get(v.connection_id), shop.held) for v in made.visits)
    strange = tuple(v for v in visits if v.connection_id not in shop.jobs)
    return replace(made, visits=tuple(sorted((*same, *strange), key=lambda v: v.mix)))


def _kept(made: Visit, old: Visit | None, held: frozenset[str]) -> Visit:
    return old if old is not None and made.connection_id in held else made


def _slot(
    wish: Move, slots: list[Slot], start: datetime, before: Visit | None, shop: _Shop
) -> Slot:
    """The wish in seconds of the shift, with a packer of the van."""
    this, rules = shop.jobs[wish.connection_id], shop.rules
    if wish.mix is not None:
        begin = int((wish.mix - start).total_seconds())
    else:
        ends = [s.finish + s.job.finish for s in slots]
        begin = _whole(max(ends) if ends else rules.set_up)
    place = _whole(begin + this.prepare)
    finish = _whole(max(place + this.place, begin + this.hold))
    draft = Slot(this, before.packer if before else "", begin, place, finish)
    return replace(draft, packer=_packer(draft, slots, shop.crew))


def _whole(seconds: float) -> int:
    return up(seconds_up(seconds), LEAD) * LEAD


def _packer(draft: Slot, slots: list[Slot], crew: Crew) -> str:
    """The packer it had where the van has it free, else one that fits and is free, or fits.

    Where none of the van fits it is one that fits, for the check to refuse.
    """
    units = unit_names(crew)
    fits = [unit for unit, name in units.items() if name in draft.job.packers]
    if draft.packer in fits:
        fits = [draft.packer, *(u for u in fits if u != draft.packer)]
    busy = Counter(s.packer for s in slots if _overlap(s, draft))
    free = [unit for unit in fits if not busy[unit]]
    return next(iter(free or fits or draft.job.packers), draft.packer)


def _overlap(one: Slot, other: Slot) -> bool:
    one_end, other_end = one.finish + one.job.finish, other.finish + other.job.finish
    return one.prepare < other_end and other.prepare < one_end

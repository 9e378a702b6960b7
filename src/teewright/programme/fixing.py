"""Plan again, keeping what is fixed or done.

Visits that are kept stay as they are, to the second. First their shifts are filled up: with what
was in them before, then with what is near. What is left is packed around them: their crews and
days are taken, and so are their runs and manholes on those days.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.alone import refusal
from teewright.programme.durations import Job, job
from teewright.programme.needs import least_shifts
from teewright.programme.optimise import MINUTE, PACE, plan
from teewright.programme.pinned import around
from teewright.programme.sequence import Sequence, Slot
from teewright.programme.solving import Budget
from teewright.programme.standing import numbered, of_crew, slot_of, trimmed, unit_names
from teewright.programme.taken import places_of
from teewright.programme.timetable import shift
from teewright.programme.values import Installation, Programme, Shift, Visit
from teewright.programme.workdays import places

TRIES = 4
"""Jobs refused in a row before a shift counts as full."""
LIMIT = 0.25
"""Most effort for one question, whether a job goes into a shift [s]."""
FILLING = 0.4
"""Share of the effort that filling up may take [-]."""

Say = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Keep:
    """What is kept.

    Attributes:
        connections: Connections whose visits stay as they are.
        now: Nothing else begins before; None where all of it lies ahead.
    """

    connections: frozenset[str]
    now: datetime | None = None


def replan(  # noqa: PLR0913 -- each limits the programme in its own way
    installations: tuple[Installation, ...],
    programme: Programme,
    keep: Keep,
    *,
    crews: tuple[Crew, ...],
    shifts: ShiftRules,
    first_day: date,
    days: tuple[int, ...],
    seconds: float = 10.0,
    progress: Say | None = None,
) -> Programme:
    """Plan all installations again around the visits that are kept.

    Args:
        installations: All that is to be placed, connections unique.
        programme: As it is.
        keep: What stays as it is.
        crews: Crews with their packers, names unique.
        shifts: Rules of the shifts.
        first_day: First day of work.
        days: Days of the week on which a shift may start, 1 Monday to 7 Sunday.
        seconds: About how long to search [s].
        progress: Told in one line what is being done.

    Returns:
        The programme; with nothing kept that of `plan`. `bound` is the greater of the number of
        shifts that are kept and what sums alone say that all installations need.

    Raises:
        InputError: A rule, a day or a name is not allowed.
    """
    asked = {i.connection_id: i for i in installations}
    stand = [
        one
        for s in programme.shifts
        if (one := trimmed(s, set(keep.connections) & asked.keys(), shifts)) is not None
    ]
    say = progress or (lambda _text: None)
    first = max(first_day, _first_open(keep.now, shifts) or first_day)
    if not stand:
        return plan(
            installations,
            crews=crews,
            shifts=shifts,
            first_day=first,
            days=days,
            seconds=seconds,
            progress=progress,
        )
    budget = Budget(FILLING * seconds / PACE)
    filling = _Filling(asked, programme, keep, crews, shifts, first_day, days, budget, say)
    filled = filling.fill(stand)
    there = {v.connection_id for s in filled for v in s.visits}
    rest = plan(
        tuple(i for i in installations if i.connection_id not in there),
        crews=crews,
        shifts=shifts,
        first_day=first,
        days=days,
        seconds=(1 - FILLING) * seconds,
        progress=progress,
        around=tuple(filled),
    )
    whole = numbered((*filled, *rest.shifts), crews)
    refused = {u.connection_id for u in rest.unplanned}
    jobs = tuple(job(i, shifts) for i in installations if i.connection_id not in refused)
    bound = min(len(whole), max(len(stand), least_shifts(jobs, shifts, MINUTE)))
    return Programme(whole, rest.unplanned, bound, proved=bound == len(whole))


def _first_open(now: datetime | None, rules: ShiftRules) -> date | None:
    """First day of which the shift has not begun."""
    if now is None:
        return None
    begun = (now - datetime.combine(now.date(), datetime.min.time())).total_seconds()
    return now.date() + timedelta(days=begun > rules.start)


@dataclass(slots=True)
class _Filling:
    """Fills up the shifts that stand.

    Attributes:
        asked: Installations by their connection.
        before: The programme as it was.
        keep: What stays as it is.
        crews: All crews.
        rules: Of the shifts.
        first_day: First day of work.
        days: Days of the week on which a shift may start.
        budget: Is charged.
        say: Told what is being done.
    """

    asked: dict[str, Installation]
    before: Programme
    keep: Keep
    crews: tuple[Crew, ...]
    rules: ShiftRules
    first_day: date
    days: tuple[int, ...]
    budget: Budget
    say: Say

    def fill(self, stand: list[Shift]) -> list[Shift]:
        """The same shifts, with as much in them as goes."""
        done: list[Shift] = []
        inside = {v.connection_id for s in stand for v in s.visits}
        free = [key for key in self.asked if key not in inside]
        jobs = {key: job(self.asked[key], self.rules) for key in free}
        able = [j for j in jobs.values() if refusal(j, self.crews, self.rules) is None]
        for k, one in enumerate(stand):
            self.say(f"filling up {one.crew}'s shift of {one.day} around what is kept")
            others = [*done, *stand[k + 1 :]]
            filled = self._filled(one, able, others)
            done.append(filled)
            went = {v.connection_id for v in filled.visits}
            able = [j for j in able if j.key not in went]
        return done

    def _filled(self, one: Shift, able: list[Job], others: list[Shift]) -> Shift:
        """A shift with as many jobs more as go, each tried once."""
        crew = next((c for c in self.crews if c.name == one.crew), None)
        if crew is None or not self._open(one):
            return one
        taken = {p for s in others if s.day == one.day for p in places_of(s)}
        units = unit_names(crew)
        pins = tuple(self._pin(v, one) for v in one.visits)
        held: tuple[Job, ...] = ()
        found: Sequence | None = None
        refused = 0
        for candidate in self._candidates(one, able):
            if refused >= TRIES or len(pins) + len(held) >= self.rules.max_collars:
                break
            if places((candidate,)) & taken or self.budget.spent:
                continue
            fits = tuple(u for u, name in units.items() if name in candidate.packers)
            trial = (*held, replace(candidate, packers=fits))
            answer = self._ask(one, crew, pins, trial) if fits else None
            if answer is None:
                refused += 1
            else:
                held, found, refused = trial, answer, 0
        if found is None:
            return one
        tidy = self._ask(one, crew, pins, held, best=True) or found
        return self._shift(one, crew, tidy)

    def _open(self, one: Shift) -> bool:
        """Whether anything may still be added to a shift."""
        over = self.keep.now is not None and one.end <= self.keep.now
        works = one.day >= self.first_day and one.day.isoweekday() in self.days
        return works and not over

    def _candidates(self, one: Shift, able: list[Job]) -> list[Job]:
        """Jobs that are ready, those that were in the shift before first, then near ones."""
        was = {
            v.connection_id: k
            for s in self.before.shifts
            if (s.crew, s.day) == (one.crew, one.day)
            for k, v in enumerate(s.visits)
        }
        nodes = {node for node, _, _ in one.manholes}
        ready = [j for j in able if self.asked[j.key].not_before <= one.day]
        return sorted(
            ready,
            key=lambda j: (was.get(j.key, len(was)), j.manhole not in nodes, -j.hold, j.key),
        )

    def _pin(self, visit: Visit, one: Shift) -> Slot:
        """A visit that stands, bound to its own packer."""
        mine = replace(job(self.asked[visit.connection_id], self.rules), packers=(visit.packer,))
        return slot_of(visit, mine, one.start)

    def _ask(
        self,
        one: Shift,
        crew: Crew,
        pins: tuple[Slot, ...],
        jobs: tuple[Job, ...],
        *,
        best: bool = False,
    ) -> Sequence | None:
        now = self.keep.now
        since = 0 if now is None else max(0, int((now - one.start).total_seconds()) + 1)
        van = tuple(sorted(of_crew(crew).packers))
        return around(
            pins,
            jobs,
            van,
            self.rules,
            since=since,
            budget=self.budget,
            limit=LIMIT * (4 if best else 1),
            best=best,
        )

    def _shift(self, one: Shift, crew: Crew, found: Sequence) -> Shift:
        """The shift with its new visits, the old ones as they were."""
        made = shift(one.number, one.day, of_crew(crew), found, self.rules)
        old = {v.connection_id: v for v in one.visits}
        visits = tuple(old.get(v.connection_id, v) for v in made.visits)
        return replace(made, visits=visits, start=one.start, end=one.end)

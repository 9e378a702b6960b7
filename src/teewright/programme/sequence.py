"""One shift of one crew: in which order, and when.

The crew is one resource: setting up and clearing a manhole, and the three tasks of each job,
never overlap, and between tasks at different manholes lies a move. A hold needs no crew, which
may meanwhile work at another manhole. Four rules of orderly work are kept besides:

- a manhole is set up once in a shift, straight before its first batch is mixed, and cleared
  straight after its last test;
- one batch at a time lives outside the main: the next is mixed when it is in place;
- the crew does not leave the manhole while a batch is not yet in place;
- a run holds one packer, from lowering until the test is done.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce
from itertools import combinations
from typing import Any, TypeVar

from teewright.kit.values import ShiftRules
from teewright.programme.blocked import Blocking
from teewright.programme.durations import Job, down, seconds_up, up
from teewright.programme.solving import Budget, solve
from teewright.programme.windows import common

Window = TypeVar("Window")
Van = tuple[str, ...]
"""Names of the packers on a van, sorted, one entry each."""


@dataclass(frozen=True, slots=True)
class Slot:
    """One job in a sequence; times in seconds from the start of the shift.

    Attributes:
        job: The job.
        packer: Name of the packer.
        prepare: Start of mixing.
        place: Start of lowering.
        finish: Release.
    """

    job: Job
    packer: str
    prepare: int
    place: int
    finish: int


@dataclass(frozen=True, slots=True)
class Sequence:
    """A shift in order.

    Attributes:
        slots: In order of mixing.
        manholes: (node, start of set-up, end of clearing) each, in order of set-up.
    """

    slots: tuple[Slot, ...]
    manholes: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether the jobs go into one shift.

    Attributes:
        sequence: How, or None.
        proved: Whether a missing sequence is proved impossible, a given one the best.
    """

    sequence: Sequence | None
    proved: bool


@dataclass(frozen=True, slots=True)
class _Task:
    start: Any
    size: int
    manhole: str


class ShiftModel:
    """The CP-SAT model of one shift; all times in steps of the grid.

    Args:
        jobs: At least one.
        van: Packers of the crew; each job has one that fits.
        rules: Of the shifts.
        grid: Starts are multiples of it [s].
    """

    def __init__(self, jobs: tuple[Job, ...], van: Van, rules: ShiftRules, grid: int) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - heavy, only where it is used

        self.model: Any = cp_model.CpModel()
        self.jobs, self.van, self.rules, self.grid = jobs, van, rules, grid
        self.horizon = down(int(rules.length), grid)
        self.nodes = tuple(dict.fromkeys(j.manhole for j in jobs))
        self.set_up = {n: self._task(seconds_up(rules.set_up), n) for n in self.nodes}
        self.clear = {n: self._task(seconds_up(rules.clear), n) for n in self.nodes}
        self.prepare = [self._task(j.prepare, j.manhole) for j in jobs]
        self.place = [self._task(j.place, j.manhole) for j in jobs]
        self.finish = [self._task(j.finish, j.manhole) for j in jobs]
        self.uses: list[dict[str, Any]] = []
        for k, job in enumerate(jobs):
            self._chain(k, job)
        for node in self.nodes:
            self._street(node)
        self._crew()
        self._order()
        self._runs()
        self._packers()

    def _time(self) -> Any:
        return self.model.new_int_var(0, self.horizon, "")

    def _task(self, seconds: int, manhole: str) -> _Task:
        return _Task(self._time(), up(seconds, self.grid), manhole)

    def _chain(self, k: int, job: Job) -> None:
        add, grid = self.model.add, self.grid
        prepare, place, finish = self.prepare[k], self.place[k], self.finish[k]
        add(place.start >= prepare.start + prepare.size)
        add(place.start <= prepare.start + down(job.latest - job.place, grid))
        add(finish.start >= place.start + place.size)
        add(finish.start >= prepare.start + up(job.hold, grid))
        for block, chosen in self._choice(job.blocking):
            for bound in self._blocked(k, job, block):
                add(bound).only_enforce_if(chosen)

    def _blocked(self, k: int, job: Job, block: Blocking) -> Iterator[Any]:
        """What holds where the main is blocked within one window."""
        grid, place, finish = self.grid, self.place[k].start, self.finish[k].start
        if block.whole:
            yield place >= up(block.first, grid)
            yield finish <= down(block.last - job.pull, grid)
        else:
            first, last, longest = block.bounds(job.inflate, grid, self._loss(job))
            pressed = place + self.place[k].size
            yield pressed >= first
            yield pressed <= last
            yield finish - pressed <= longest

    def _loss(self, job: Job) -> tuple[int, int]:
        """By how much full pressure comes before its step of the grid, whatever the way [s]."""
        del job
        return 0, self.grid - 1

    def _choice(self, windows: tuple[Window, ...]) -> list[tuple[Window, Any]]:
        chosen = [(window, self.model.new_bool_var("")) for window in windows]
        self.model.add_exactly_one([literal for _, literal in chosen])
        return chosen

    def _street(self, node: str) -> None:
        """The street at a manhole is in use from set-up to clearing."""
        here = [k for k, job in enumerate(self.jobs) if job.manhole == node]
        clear, set_up = self.clear[node], self.set_up[node]
        first, last = [self.prepare[k].start for k in here], [self.finish[k] for k in here]
        self.model.add_min_equality(set_up.start + set_up.size, first)
        self.model.add_max_equality(clear.start, [f.start + f.size for f in last])
        self.model.add(clear.start + clear.size <= self.horizon)
        windows = reduce(common, (j.access for j in self.jobs if j.manhole == node))
        for (start, end), chosen in self._choice(windows):
            begun = self.set_up[node].start >= up(start, self.grid)
            done = clear.start + clear.size <= down(end, self.grid)
            self.model.add(begun).only_enforce_if(chosen)
            self.model.add(done).only_enforce_if(chosen)

    def _crew(self) -> None:
        """The crew is in one place and does one thing."""
        stops = [*self.set_up.values(), *self.clear.values()]
        batches = list(zip(self.prepare, self.place, strict=True))
        fixed = self.model.new_fixed_size_interval_var
        tasks = [*stops, *self.prepare, *self.place, *self.finish]
        self.model.add_no_overlap([fixed(t.start, t.size, "") for t in tasks])
        spans = [(p.start, self._time(), m.start + m.size) for p, m in batches]
        self.model.add_no_overlap([self.model.new_interval_var(*s, "") for s in spans])
        stays = [(t.start, t.start + t.size, t.manhole) for t in [*stops, *self.finish]]
        stays += [(p.start, m.start + m.size, p.manhole) for p, m in batches]
        move = up(seconds_up(self.rules.move), self.grid)
        for a, b in combinations(stays, 2):
            if a[2] != b[2]:
                first = self.model.new_bool_var("")
                self.model.add(a[1] + move <= b[0]).only_enforce_if(first)
                self.model.add(b[1] + move <= a[0]).only_enforce_if(~first)

    def _order(self) -> None:
        """Jobs that differ in nothing but their name go in the order given."""
        for a, b in combinations(range(len(self.jobs)), 2):
            one, other = self.jobs[a], self.jobs[b]
            if one.kin == other.kin and one.times == other.times:
                self.model.add(self.prepare[a].start <= self.prepare[b].start)

    def _span(self, k: int, start: Any) -> tuple[Any, Any, Any]:
        return start, self._time(), self.finish[k].start + self.finish[k].size

    def _runs(self) -> None:
        """One packer in a run, from lowering until tested."""
        spans: dict[str, list[Any]] = {}
        for k, job in enumerate(self.jobs):
            span = self._span(k, self.place[k].start)
            spans.setdefault(job.run, []).append(self.model.new_interval_var(*span, ""))
        for intervals in spans.values():
            self.model.add_no_overlap(intervals)

    def _packers(self) -> None:
        """One collar on a packer, from mixing until tested."""
        owned = Counter(self.van)
        spans: dict[str, list[Any]] = {}
        for k, job in enumerate(self.jobs):
            span = self._span(k, self.prepare[k].start)
            uses = {n: self.model.new_bool_var("") for n in job.packers if n in owned}
            self.model.add_exactly_one(list(uses.values()))
            self.uses.append(uses)
            for name, used in uses.items():
                interval = self.model.new_optional_interval_var(*span, used, "")
                spans.setdefault(name, []).append(interval)
        for name, intervals in spans.items():
            self.model.add_cumulative(intervals, [1] * len(intervals), owned[name])

    def end(self) -> Any:
        """A variable not before the end of any clearing."""
        end = self._time()
        for task in self.clear.values():
            self.model.add(end >= task.start + task.size)
        return end

    def slack(self) -> Any:
        """Batches that wait, holds beyond need, streets in use."""
        waits = sum(p.start - m.start for m, p in zip(self.prepare, self.place, strict=True))
        holds = sum(f.start - m.start for m, f in zip(self.prepare, self.finish, strict=True))
        streets = sum(self.clear[n].start - self.set_up[n].start for n in self.nodes)
        return 4 * waits + 2 * holds + streets

    def read(self, solver: Any) -> Sequence:
        """The solution in seconds."""
        slots = [
            Slot(
                job,
                next(n for n, used in self.uses[k].items() if solver.boolean_value(used)),
                solver.value(self.prepare[k].start) * self.grid,
                solver.value(self.place[k].start) * self.grid,
                solver.value(self.finish[k].start) * self.grid,
            )
            for k, job in enumerate(self.jobs)
        ]
        manholes = [
            (
                node,
                solver.value(self.set_up[node].start) * self.grid,
                (solver.value(self.clear[node].start) + self.clear[node].size) * self.grid,
            )
            for node in self.nodes
        ]
        return Sequence(
            tuple(sorted(slots, key=lambda s: s.prepare)),
            tuple(sorted(manholes, key=lambda m: m[1])),
        )

    def hint(self, sequence: Sequence) -> None:
        """Start the next search from a sequence of the same jobs."""
        found = {slot.job.key: slot for slot in sequence.slots}
        self.model.clear_hints()
        for k, job in enumerate(self.jobs):
            slot = found[job.key]
            self.model.add_hint(self.prepare[k].start, slot.prepare // self.grid)
            self.model.add_hint(self.place[k].start, slot.place // self.grid)
            self.model.add_hint(self.finish[k].start, slot.finish // self.grid)


def possible(
    jobs: tuple[Job, ...], van: Van, rules: ShiftRules, *, grid: int, budget: Budget, limit: float
) -> Answer:
    """Whether one shift of a crew can hold all the jobs.

    Args:
        jobs: At least one.
        van: Packers of the crew; each job has one that fits.
        rules: Of the shifts.
        grid: Starts are multiples of it [s].
        budget: Is charged.
        limit: Most of it for this question [s].

    Returns:
        A sequence, not the best, or None.
    """
    shift = ShiftModel(jobs, van, rules, grid)
    solved = solve(shift.model, budget, limit)
    return Answer(shift.read(solved.solver) if solved.solver else None, proved=solved.proved)


def earliest(
    start: Sequence, van: Van, rules: ShiftRules, *, grid: int, budget: Budget, limit: float
) -> Sequence:
    """The sequence of the same jobs that ends first, and among those the tidiest.

    Args:
        start: A sequence that holds.
        van: Packers of the crew.
        rules: Of the shifts.
        grid: Starts are multiples of it [s].
        budget: Is charged.
        limit: Most of it for each of two searches [s].

    Returns:
        The better sequence, or `start`.
    """
    shift = ShiftModel(tuple(s.job for s in start.slots), van, rules, grid)
    end = shift.end()
    shift.hint(start)
    shift.model.minimize(end)
    solved = solve(shift.model, budget, limit)
    if solved.solver is None:
        return start
    best = shift.read(solved.solver)
    shift.model.add(end <= solved.solver.value(end))
    shift.hint(best)
    shift.model.minimize(shift.slack())
    tidied = solve(shift.model, budget, limit)
    return shift.read(tidied.solver) if tidied.solver else best

"""Which job of a kin goes into which shift, where the counts are decided."""

from dataclasses import dataclass
from typing import Any

from teewright.errors import InfeasibleError
from teewright.programme.durations import Job, dominates
from teewright.programme.oracle import Oracle
from teewright.programme.patterns import Kin, Pattern
from teewright.programme.sequence import Sequence, Van
from teewright.programme.solving import solve


@dataclass(frozen=True, slots=True)
class Filled:
    """A shift and what it holds.

    Attributes:
        van: Packers of its crew.
        jobs: The jobs.
        sequence: An order in which they can be done, or None.
    """

    van: Van
    jobs: tuple[Job, ...]
    sequence: Sequence | None

    @property
    def order(self) -> Sequence:
        """The sequence; `InfeasibleError` where there is none."""
        if self.sequence is None:
            raise InfeasibleError(f"no order is known for {len(self.jobs)} jobs of one shift")
        return self.sequence


@dataclass(frozen=True, slots=True)
class Share:
    """What a shift has room for.

    Attributes:
        van: Packers of its crew.
        counts: Jobs of each kin, at most.
        day: Index of its day.
    """

    van: Van
    counts: Pattern
    day: int


def fill(
    shares: list[Share], groups: tuple[Kin, ...], ready: dict[str, int], oracle: Oracle, tries: int
) -> list[Filled]:
    """Assign jobs to shifts whose most counts are given, until each shift has an order.

    A shift that has none bars its set of jobs, and every set that is harder, from all shifts.

    Args:
        shares: What each shift has room for.
        groups: Kinds of job.
        ready: For each job's key, the index of the first day.
        oracle: Says whether jobs go into a shift.
        tries: Most rounds.

    Returns:
        The shifts of the best round, in the order given, empty where there is none; a shift
        without a sequence has none that was found.
    """
    assignment = _Assignment(shares, groups, ready)
    best: list[Filled] = []
    for _ in range(tries):
        jobs = assignment.solve(oracle)
        if jobs is None:
            break
        found = [
            Filled(share.van, held, oracle.ask(held, share.van).sequence)
            for share, held in zip(shares, jobs, strict=True)
        ]
        if not best or _missing(found) < _missing(best):
            best = found
        if not _missing(found):
            break
        for held in found:
            if held.sequence is None:
                assignment.bar(held)
    return best


def _missing(found: list[Filled]) -> int:
    return sum(f.sequence is None for f in found)


class _Assignment:
    """The CP-SAT model: jobs of a kin to shifts, counts given."""

    def __init__(self, shares: list[Share], groups: tuple[Kin, ...], ready: dict[str, int]) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - heavy, only where it is used

        self.model: Any = cp_model.CpModel()
        self.shares, self.groups = shares, groups
        self.into: dict[tuple[str, int], Any] = {}
        for k, group in enumerate(groups):
            sharing = [b for b, share in enumerate(shares) if share.counts[k]]
            for job in group.jobs:
                able = [b for b in sharing if ready[job.key] <= shares[b].day]
                for b in able:
                    self.into[job.key, b] = self.model.new_bool_var("")
                self.model.add(sum(self.into[job.key, b] for b in able) == 1)
            for b in sharing:
                held = sum(self.into.get((job.key, b), 0) for job in group.jobs)
                self.model.add(held <= shares[b].counts[k])

    def bar(self, held: Filled) -> None:
        """Bar a set of jobs, and harder ones, from every shift with that van."""
        keys = {j.key for j in held.jobs}
        for b, share in enumerate(self.shares):
            if share.van == held.van:
                reached = [
                    self._reached(b, group, [j for j in group.jobs if j.key in keys])
                    for group in self.groups
                    if any(j.key in keys for j in group.jobs)
                ]
                self.model.add_at_least_one([~literal for literal in reached])

    def _reached(self, b: int, group: Kin, mine: list[Job]) -> Any:
        """True at least where the shift holds as many jobs, each as hard as all of mine."""
        harder = [j for j in group.jobs if j in mine or all(dominates(j, m) for m in mine)]
        there = [self.into[j.key, b] for j in harder if (j.key, b) in self.into]
        reached = self.model.new_bool_var("")
        if len(there) < len(mine):
            self.model.add(reached == 0)
        else:
            room = len(mine) - 1 + (len(there) - len(mine) + 1) * reached
            self.model.add(sum(there) <= room)
        return reached

    def solve(self, oracle: Oracle) -> list[tuple[Job, ...]] | None:
        """Jobs of each shift, or None where no assignment is left."""
        solver = solve(self.model, oracle.budget, oracle.limit).solver
        if solver is None:
            return None
        every = [j for group in self.groups for j in group.jobs]
        return [
            tuple(
                j
                for j in every
                if (j.key, b) in self.into and solver.boolean_value(self.into[j.key, b])
            )
            for b in range(len(self.shares))
        ]

"""Patterns on days and crews: the earliest finish with a given number of shifts."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from teewright.programme.covering import Column
from teewright.programme.patterns import Kin
from teewright.programme.sequence import Van
from teewright.programme.solving import Budget, solve
from teewright.programme.taken import NOTHING, Taken
from teewright.programme.workdays import places


@dataclass(frozen=True, slots=True)
class Placed:
    """A pattern on a day.

    Attributes:
        column: The pattern.
        day: Index of the day.
        crew: Index of the crew.
    """

    column: Column
    day: int
    crew: int


def dated_cover(  # noqa: PLR0913 -- each limits the choice in its own way
    columns: list[Column],
    groups: tuple[Kin, ...],
    vans: tuple[Van, ...],
    *,
    ready: dict[str, int],
    days: int,
    shifts: int,
    budget: Budget,
    limit: float,
    taken: Taken = NOTHING,
) -> tuple[Placed, ...] | None:
    """Place at most so many patterns on days, the last of them as early as can be.

    Args:
        columns: What may be used.
        groups: Kinds of job.
        vans: Van of each crew.
        ready: For each job's key, the index of the first day.
        days: Number of days.
        shifts: Most shifts.
        budget: Is charged.
        limit: Most of it for this choice [s].
        taken: What is given away already.

    Returns:
        The placed patterns in order of day and crew, which may hold more than there is; None
        where none were found in time.
    """
    model = _Model(columns, groups, vans, days, taken)
    model.hold_all(ready)
    model.model.add(sum(model.at.values()) <= shifts)
    solved = solve(model.model, budget, limit, linear=2)
    if solved.solver is None:
        return None
    used = [key for key, literal in model.at.items() if solved.solver.boolean_value(literal)]
    placed = [Placed(columns[p], d, c) for p, d, c in used]
    return tuple(sorted(placed, key=lambda s: (s.day, s.crew)))


class _Model:
    def __init__(
        self,
        columns: list[Column],
        groups: tuple[Kin, ...],
        vans: tuple[Van, ...],
        days: int,
        taken: Taken,
    ) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - heavy, only where it is used

        self.model: Any = cp_model.CpModel()
        self.columns, self.groups = columns, groups
        self.at: dict[tuple[int, int, int], Any] = {}
        for p, column in enumerate(columns):
            touched = places(self._easy(p))
            for d in range(days):
                if touched & taken.at(d):
                    continue
                for c, van in enumerate(vans):
                    if van == column.van and (d, c) not in taken.crew_days:
                        self.at[p, d, c] = self.model.new_bool_var("")
        for d in range(days):
            self._day(d, len(vans))
        self._finish(days)

    def hold_all(self, ready: dict[str, int]) -> None:
        """From every day on there is room for the jobs of a kin that are ready only then.

        Jobs that are ready later fit fewer days, the same for all of them, so that this is
        enough for each job to find room (Hall's condition for nested sets).
        """
        for k, group in enumerate(self.groups):
            begins = [ready[j.key] for j in group.jobs]
            for begin in set(begins) | {0}:
                room = sum(
                    self.columns[p].counts[k] * literal
                    for (p, d, _c), literal in self.at.items()
                    if d >= begin and self.columns[p].counts[k]
                )
                self.model.add(room >= sum(b >= begin for b in begins))

    def _day(self, d: int, crews: int) -> None:
        """A crew has one shift a day, a run and a manhole one crew."""
        today = {key: literal for key, literal in self.at.items() if key[1] == d}
        for c in range(crews):
            self.model.add_at_most_one([x for key, x in today.items() if key[2] == c])
        touched = [places(self._easy(p)) for p in range(len(self.columns))]
        for place in sorted(places(g.easy for g in self.groups)):
            self.model.add_at_most_one([x for key, x in today.items() if place in touched[key[0]]])

    def _easy(self, p: int) -> list[Any]:
        counts = self.columns[p].counts
        return [g.easy for g, n in zip(self.groups, counts, strict=True) if n]

    def _finish(self, days: int) -> None:
        """The last day first, then every shift as early as can be, then the cheapest."""
        working = [self.model.new_bool_var("") for _ in range(days)]
        for (_, d, _c), literal in self.at.items():
            self.model.add_implication(literal, working[d])
        for before, after in pairwise(working):
            self.model.add_implication(after, before)
        most = sum(len(g.jobs) for g in self.groups)
        dear = most * max(c.cost for c in self.columns) + 1
        early = sum((dear * d + self.columns[p].cost) * x for (p, d, _c), x in self.at.items())
        self.model.minimize(dear * (most * days + 1) * sum(working) + early)

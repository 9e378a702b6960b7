"""One shift of which some jobs stand: whether others go between and around them."""

from collections.abc import Mapping
from itertools import combinations

from teewright.kit.values import ShiftRules
from teewright.programme.durations import Job, up
from teewright.programme.sequence import Sequence, ShiftModel, Slot, Van
from teewright.programme.solving import Budget, solve


class _Pinned(ShiftModel):
    """The model of a shift, some jobs at their times.

    Args:
        jobs: At least one.
        van: Packers of the crew.
        rules: Of the shifts.
        grid: Starts are multiples of it [s].
        pins: For some jobs' keys, their times.
        since: Others begin no earlier, their set-up included [s].
    """

    def __init__(
        self,
        jobs: tuple[Job, ...],
        van: Van,
        rules: ShiftRules,
        grid: int,
        *,
        pins: Mapping[str, Slot],
        since: int,
    ) -> None:
        self.pins = pins
        super().__init__(jobs, van, rules, grid)
        for k, job in enumerate(jobs):
            if job.key in pins:
                self._pin(k, pins[job.key])
            else:
                self.model.add(self.prepare[k].start >= up(since, grid))
        for node in self.nodes:
            if all(j.key not in pins for j in jobs if j.manhole == node):
                self.model.add(self.set_up[node].start >= up(since, grid))

    def _pin(self, k: int, slot: Slot) -> None:
        add = self.model.add
        add(self.prepare[k].start == slot.prepare // self.grid)
        add(self.place[k].start == slot.place // self.grid)
        add(self.finish[k].start == slot.finish // self.grid)

    def _loss(self, job: Job) -> tuple[int, int]:
        """To the second: what stands may keep its window by no more."""
        lost = up(job.place, self.grid) * self.grid - job.place
        return lost, lost

    def _order(self) -> None:
        """Jobs that stand keep their place; of the others, like ones go in the order given."""
        free = [k for k, job in enumerate(self.jobs) if job.key not in self.pins]
        for a, b in combinations(free, 2):
            one, other = self.jobs[a], self.jobs[b]
            if one.kin == other.kin and one.times == other.times:
                self.model.add(self.prepare[a].start <= self.prepare[b].start)


def around(
    pins: tuple[Slot, ...],
    jobs: tuple[Job, ...],
    van: Van,
    rules: ShiftRules,
    *,
    since: int,
    budget: Budget,
    limit: float,
    best: bool = False,
) -> Sequence | None:
    """A shift that holds jobs at their times and others around them.

    Args:
        pins: Jobs that stand, with their times; each takes the packer that it names.
        jobs: Further jobs.
        van: Packers of the crew, each by a name of its own.
        rules: Of the shifts.
        since: Further jobs begin no earlier, their set-up included [s].
        budget: Is charged.
        limit: Most of it for each search [s].
        best: Whether the shift is to end as early as can be, rather than anyhow.

    Returns:
        The shift, or None where none was found; also where what stands breaks a rule itself.
    """
    every = (*(s.job for s in pins), *jobs)
    model = _Pinned(every, van, rules, _grid(pins), pins={s.job.key: s for s in pins}, since=since)
    if best:
        model.model.minimize(1000 * model.end() + model.slack())
    solved = solve(model.model, budget, limit)
    return model.read(solved.solver) if solved.solver else None


def _grid(pins: tuple[Slot, ...]) -> int:
    """Whole minutes where all that stands begins on one, else seconds."""
    starts = [s for slot in pins for s in (slot.prepare, slot.place, slot.finish)]
    return 60 if all(s % 60 == 0 for s in starts) else 1

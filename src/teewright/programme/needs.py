"""What jobs surely need of a shift, whatever their order: sums that bound from below."""

from collections import Counter

from teewright.kit.values import ShiftRules
from teewright.programme.durations import Job, down, seconds_up, up


class Needs:
    """Room in a shift and what each job takes of it, in steps of the grid.

    Args:
        jobs: All jobs, at least one.
        rules: Of the shifts.
        grid: Starts are multiples of it [s].

    Attributes:
        length: Of the shift.
        stop: Set-up, clearing and the move to a manhole.
        move: From one manhole to another.
        inner: Of the shift, without one set-up and one clearing.
        prepare: Shortest preparation of a collar.
        finish: Shortest work from release until tested.
    """

    def __init__(self, jobs: tuple[Job, ...], rules: ShiftRules, grid: int) -> None:
        set_up, clear = up(seconds_up(rules.set_up), grid), up(seconds_up(rules.clear), grid)
        self._grid = grid
        self.length = down(int(rules.length), grid)
        self.move = up(seconds_up(rules.move), grid)
        self.stop = set_up + clear + self.move
        self.inner = self.length - set_up - clear
        self.prepare = min(up(j.prepare, grid) for j in jobs)
        self.finish = min(up(j.finish, grid) for j in jobs)

    def attended(self, job: Job) -> int:
        """The crew's own work on a job."""
        return sum(up(s, self._grid) for s in (job.prepare, job.place, job.finish))

    def run_time(self, job: Job) -> int:
        """How long the job at least keeps others out of its run."""
        wait = down(job.latest - job.place, self._grid)
        held = max(up(job.place, self._grid), up(job.hold, self._grid) - wait)
        return held + up(job.finish, self._grid)

    def packer_time(self, job: Job) -> int:
        """How long the job at least keeps its packer."""
        ready = up(job.prepare, self._grid) + up(job.place, self._grid)
        return max(ready, up(job.hold, self._grid)) + up(job.finish, self._grid)

    def packer_room(self, count: int) -> int:
        """Time in which so many packers can be in use, begun and ended by one crew in turn."""
        lost = self.prepare + self.finish
        return sum(max(0, self.inner - k * lost) for k in range(count))

    def run_room(self) -> int:
        """Time in which a run can be taken."""
        return self.inner - self.prepare


def least_shifts(jobs: tuple[Job, ...], rules: ShiftRules, grid: int) -> int:
    """A number of shifts that is surely needed, from sums alone.

    Args:
        jobs: All jobs; each fits a shift alone.
        rules: Of the shifts.
        grid: Starts are multiples of it [s].

    Returns:
        At least 1 where there is a job, 0 where there is none.
    """
    if not jobs:
        return 0
    needs = Needs(jobs, rules, grid)
    runs: Counter[str] = Counter()
    for job in jobs:
        runs[job.run] += needs.run_time(job)
    work = sum(needs.attended(j) for j in jobs)
    by_run = max(up(t, needs.run_room()) for t in runs.values())
    return max(up(len(jobs), rules.max_collars), up(work, needs.inner), by_run)

"""Jobs into the fewest shifts, and those on the earliest days.

First shifts are filled one by one: the programme to beat. Then patterns of counts cover all jobs
with the fewest shifts; a pattern that even the easiest jobs of its kinds cannot follow is barred,
and the cover is sought again: each cover's number is a bound, and the last, which holds, may be
met. Last, patterns known to be possible are placed on days, and jobs are assigned to them; a
pattern for which that fails becomes dearer, and is dropped in the end.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.assigning import Share, fill
from teewright.programme.calendar_cover import Placed, dated_cover
from teewright.programme.covering import Column, cover
from teewright.programme.durations import Job
from teewright.programme.greedy import complete, fill_days, lighten
from teewright.programme.needs import least_shifts
from teewright.programme.oracle import Oracle
from teewright.programme.patterns import Front, Kin, Pattern, kins
from teewright.programme.sequence import Answer, Van
from teewright.programme.solving import Budget
from teewright.programme.taken import NOTHING, Taken
from teewright.programme.workdays import Dated, van_of

Use = tuple[Van, Pattern]
PARTS = (1, 2, 3)
"""Into how many each kind of job is split, round after round."""
PATIENCE = 3
"""Failures of a pattern, with different jobs, after which it is dropped."""
ROUNDS = 6
"""Rounds of assigning jobs to the same patterns."""


@dataclass(frozen=True, slots=True)
class Packed:
    """Jobs in shifts on days.

    Attributes:
        shifts: Each with an order in which it can be done, by day and crew.
        left: Jobs for which the days do not suffice.
        bound: Number of shifts that is surely needed for the jobs that are not left.
    """

    shifts: tuple[Dated, ...]
    left: tuple[Job, ...]
    bound: int


@dataclass(slots=True)
class Packing:
    """The search.

    Attributes:
        jobs: All jobs, at least one; each goes into a shift alone.
        ready: For each job's key, the index of the first day.
        days: Number of days.
        crews: All crews.
        rules: Of the shifts.
        grid: Starts are multiples of it [s].
        effort: Deterministic time for the search [s].
        say: Told what is being done.
        taken: What is given away before.
    """

    jobs: tuple[Job, ...]
    ready: dict[str, int]
    days: int
    crews: tuple[Crew, ...]
    rules: ShiftRules
    grid: int
    effort: float
    say: Callable[[str], None]
    taken: Taken = NOTHING
    _vans: Counter[Van] = field(default_factory=Counter)
    _groups: tuple[Kin, ...] = ()
    _fronts: tuple[Front, ...] = ()
    _good: set[Use] = field(default_factory=set)
    _failed: Counter[Use] = field(default_factory=Counter)
    _oracle: Oracle = field(init=False)

    def __post_init__(self) -> None:
        self._oracle = Oracle(self.rules, self.grid, Budget(self.effort), 0.06 * self.effort)
        self._vans = Counter(van_of(c) for c in self.crews)

    def pack(self) -> Packed:
        """Find shifts for all jobs, as few as the effort allows."""
        self.say(f"filling shifts with {len(self.jobs)} installations one by one")
        best, left = fill_days(
            self.jobs, self.ready, self.days, self.crews, self._oracle, self.taken
        )
        bound = least_shifts(self.jobs, self.rules, self.grid)
        for parts in PARTS:
            done = bound >= len(best) and not left and parts > 1
            if done or self._oracle.budget.spent:
                break
            self._sort(parts, best)
            bound = max(bound, self._prove(bound, len(self.jobs) if left else len(best)))
            found = self._place(best, complete=not left)
            if found and (left or _better(found, best)):
                best, left = found, []
        if left:
            kept = tuple(j for j in self.jobs if j not in left)
            bound = min(least_shifts(kept, self.rules, self.grid), len(best))
        best = sorted(best, key=lambda one: (one.day, one.crew))
        return Packed(tuple(best), tuple(left), bound)

    def _sort(self, parts: int, best: list[Dated]) -> None:
        """Sort jobs into kinds, more finely with more parts, and begin with the best so far."""
        self._groups = kins(self.jobs, parts)
        self._fronts = tuple(
            Front(self._groups, van, self.rules, self.grid) for van in sorted(self._vans)
        )
        self._failed.clear()
        self._good = {(one.filled.van, self._counts(one.filled.jobs)) for one in best}

    def _counts(self, jobs: tuple[Job, ...]) -> Pattern:
        return tuple(sum(j in group.jobs for j in jobs) for group in self._groups)

    def _prove(self, bound: int, enough: int) -> int:
        """Number of shifts that is surely needed; sought up to a number that is enough."""
        if not all(front.whole for front in self._fronts):
            return bound
        budget = self._oracle.budget
        stop, proving = 0.5 * budget.left, True
        while proving and bound < enough and budget.left > stop:
            chosen = cover(self._columns(), self._groups, self._vans, budget)
            bound = max(bound, chosen.bound)
            self.say(f"at least {bound} shifts are needed")
            if chosen.columns is None:
                break
            failed = self._bar_impossible(self._trimmed(list(chosen.columns)))
            proving = bool(failed) and all(answer.proved for answer in failed)
        return bound

    def _place(self, best: list[Dated], *, complete: bool) -> list[Dated] | None:
        """Place patterns known to be possible on days and assign jobs to them.

        Args:
            best: The programme to beat.
            complete: Whether it holds all jobs.
        """
        days = max(one.day for one in best) + 1 if complete else self.days
        most = len(best) if complete else len(self.jobs) + 1
        result: list[Dated] | None = None
        stop = 0.5 * self._oracle.budget.left
        while self._oracle.budget.left > stop:
            columns = [self._column(use) for use in self._known()]
            chosen = cover(columns, self._groups, self._vans, self._oracle.budget)
            if chosen.columns is None or len(chosen.columns) > most - (result is not None):
                break
            self.say(f"laying {len(chosen.columns)} shifts on days")
            found = self._lay(columns, chosen.columns, days)
            if found is None:
                break
            placed, exact = found
            if result is None or _better(placed, result):
                result = placed
            if exact or len(result) == len(chosen.columns):
                break
        return result

    def _lay(
        self, columns: list[Column], chosen: tuple[Column, ...], days: int
    ) -> tuple[list[Dated], bool] | None:
        """Place patterns on days; the shifts, and whether all came out as placed.

        Where all patterns known are too many to choose from, those of a cover are placed.
        """
        for choice, most in ((columns, days), (list(dict.fromkeys(chosen)), self.days)):
            found = dated_cover(
                choice,
                self._groups,
                tuple(van_of(c) for c in self.crews),
                ready=self.ready,
                days=min(most, max(self.ready.values()) + len(chosen) + self.taken.days),
                shifts=len(chosen),
                budget=self._oracle.budget,
                limit=0.15 * self.effort,
                taken=self.taken,
            )
            if found is not None:
                return self._assign(found)
        return None

    def _known(self) -> list[Use]:
        """The largest patterns known to be possible for the easiest jobs; a job alone is."""
        found = []
        self._good |= {
            (van, tuple(int(k == i) for i in range(len(self._groups))))
            for k, group in enumerate(self._groups)
            for van in self._vans
            if set(van) & set(group.easy.packers)
        }
        for van, counts in sorted(self._good):
            larger = any(
                v == van and n != counts and all(a >= b for a, b in zip(n, counts, strict=True))
                for v, n in self._good
            )
            if not larger and any(counts):
                found.append((van, counts))
        return found

    def _columns(self) -> list[Column]:
        return [
            self._column((front.van, counts))
            for front in self._fronts
            for counts in map(tuple, front.patterns.tolist())
            if any(counts)
        ]

    def _column(self, share: Use) -> Column:
        """Fewer manholes come first, then patterns known to be possible."""
        held = [g for g, n in zip(self._groups, share[1], strict=True) if n]
        stops = len({g.easy.manhole for g in held})
        return Column(*share, cost=2 * stops + 3 * self._failed[share] + (share not in self._good))

    def _trimmed(self, chosen: list[Column]) -> list[Use]:
        """Take what a cover holds too much from the shifts that hold most."""
        counts = [list(c.counts) for c in chosen]
        for k, group in enumerate(self._groups):
            for _ in range(sum(c[k] for c in counts) - len(group.jobs)):
                max((c for c in counts if c[k]), key=sum)[k] -= 1
        return [(c.van, tuple(n)) for c, n in zip(chosen, counts, strict=True)]

    def _bar_impossible(self, shares: list[Use]) -> list[Answer]:
        """Bar the patterns that even the easiest jobs cannot follow; the refusals."""
        refused: list[Answer] = []
        for van, counts in dict.fromkeys(shares):
            answer = self._eased(van, counts)
            if answer.sequence is None:
                refused.append(answer)
                self._bar(van, self._smallest(van, counts))
        return refused

    def _eased(self, van: Van, counts: Pattern) -> Answer:
        easy = [g.easy for g, n in zip(self._groups, counts, strict=True) for _ in range(n)]
        answer = self._oracle.ask(tuple(easy), van)
        if answer.sequence is not None:
            self._good.add((van, counts))
        return answer

    def _smallest(self, van: Van, counts: Pattern) -> Pattern:
        """Leave out what a refusal does not need."""
        kept = list(counts)
        for k, count in enumerate(counts):
            for _ in range(count):
                fewer = tuple(n - (i == k) for i, n in enumerate(kept))
                answer = self._eased(van, fewer)
                if answer.sequence is not None or not answer.proved:
                    break
                kept = list(fewer)
        return tuple(kept)

    def _bar(self, van: Van, counts: Pattern) -> None:
        """Bar a pattern for a van, and for those that have no packer besides."""
        for front in self._fronts:
            if not Counter(front.van) - Counter(van):
                front.bar(counts)

    def _assign(self, placed: tuple[Placed, ...]) -> tuple[list[Dated], bool] | None:
        """Assign jobs to patterns; make those dearer for which it failed, and mend them."""
        self.say(f"assigning {len(self.jobs)} installations to {len(placed)} shifts")
        shares = [Share(at.column.van, at.column.counts, at.day) for at in placed]
        filled = fill(shares, self._groups, self.ready, self._oracle, ROUNDS)
        dated: list[Dated] = []
        loose: list[Job] = []
        for at, held in zip(placed, filled, strict=False):
            if held.sequence is None:
                self._fail({(held.van, n) for n in (at.column.counts, self._counts(held.jobs))})
            kept, taken = lighten(held, self._oracle)
            dated += [Dated(kept, at.day, at.crew)] if kept else []
            loose += taken
        if not filled:
            return None
        whole = complete(dated, loose, self.ready, self.days, self.crews, self._oracle, self.taken)
        return (whole, not loose) if whole else None

    def _fail(self, uses: set[Use]) -> None:
        """Make patterns dearer, and drop those that have failed too often.

        What holds a dropped pattern goes with it; what it holds without one job is kept.
        """
        for van, counts in sorted(uses):
            self._failed[van, counts] += 1
            if self._failed[van, counts] < PATIENCE:
                continue
            self._good -= {
                (v, n)
                for v, n in self._good
                if v == van and all(a >= b for a, b in zip(n, counts, strict=True))
            }
            for k, count in enumerate(counts):
                if count:
                    self._good.add((van, tuple(n - (i == k) for i, n in enumerate(counts))))


def _better(found: list[Dated], best: list[Dated]) -> bool:
    """Fewer shifts, or as many and an earlier finish."""
    return (len(found), max(d.day for d in found)) < (len(best), max(d.day for d in best))

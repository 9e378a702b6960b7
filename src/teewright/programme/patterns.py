"""Patterns: how many jobs of each kin go into one shift together.

Jobs of one kin differ only in their times, so that it is enough to count them. A front holds the
largest patterns that are not yet known to be impossible; each refusal moves it inwards.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.kit.values import ShiftRules
from teewright.programme.durations import Job, easiest
from teewright.programme.needs import Needs
from teewright.programme.sequence import Van

Counts = NDArray[np.int64]
Pattern = tuple[int, ...]
MOST_NUMBERS = 8_000_000
"""Most numbers in one step of the search for the largest patterns, about 64 MB."""


@dataclass(frozen=True, slots=True)
class Kin:
    """Jobs that differ only in their times.

    Attributes:
        jobs: The jobs, the hardest first.
        easy: Not harder in any time than any of them.
    """

    jobs: tuple[Job, ...]
    easy: Job


def kins(jobs: tuple[Job, ...], parts: int = 1) -> tuple[Kin, ...]:
    """Group jobs by what they share, in the order in which they come.

    Args:
        jobs: All jobs.
        parts: Each group is split into so many, from hard to easy; the more, the closer the
            easiest job of a kin is to the others, and the more patterns there are.

    Returns:
        Kinds of job, none empty.
    """
    groups: dict[tuple[object, ...], list[Job]] = {}
    for job in jobs:
        groups.setdefault(job.kin, []).append(job)
    found = []
    for members in groups.values():
        ordered = sorted(members, key=lambda j: (-sum(j.times), j.key))
        size = -(-len(ordered) // parts)
        for start in range(0, len(ordered), size):
            part = tuple(ordered[start : start + size])
            found.append(Kin(part, easiest(part)))
    return tuple(found)


class Front:
    """The largest patterns for one van that are not known to be impossible.

    Args:
        groups: Kinds of job.
        van: Packers of the crew.
        rules: Of the shifts.
        grid: Starts are multiples of it [s].

    Attributes:
        van: Packers of the crew.
        patterns: One row each, one column a kin, shape (P, G).
        whole: False where there are too many to hold, and `patterns` has none.
    """

    def __init__(self, groups: tuple[Kin, ...], van: Van, rules: ShiftRules, grid: int) -> None:
        self.van = van
        easy = tuple(g.easy for g in groups)
        self._most = np.array(
            [len(g.jobs) if set(g.easy.packers) & set(van) else 0 for g in groups]
        )
        self._rows, self._room = _sums(easy, van, rules, grid)
        nodes = list(dict.fromkeys(j.manhole for j in easy))
        self._at = np.array([[j.manhole == node for node in nodes] for j in easy], dtype=np.int64)
        needs = Needs(easy, rules, grid)
        self._stop, self._shift = needs.stop, needs.length + needs.move
        self._work = np.array([needs.attended(j) for j in easy])
        largest = self._largest()
        self.whole = largest is not None
        self.patterns = np.zeros((0, len(groups)), dtype=np.int64) if largest is None else largest

    def _fits(self, counts: Counts) -> NDArray[np.bool_]:
        """Whether the sums allow each row of counts, shape (P, G) -> (P,)."""
        stops = np.count_nonzero(counts @ self._at, axis=1)
        crew = counts @ self._work + stops * self._stop <= self._shift
        sums = np.all(counts @ self._rows.T <= self._room, axis=1)
        return np.asarray(crew & sums & np.all(counts <= self._most, axis=1))

    def _largest(self) -> Counts | None:
        """Every pattern that fits and to which nothing can be added; None if too many."""
        size = len(self._most)
        units = np.eye(size, dtype=np.int64)
        layer = np.zeros((1, size), dtype=np.int64)
        largest = [np.zeros((0, size), dtype=np.int64)]
        while len(layer):
            if layer.size * size > MOST_NUMBERS:
                return None
            grown = layer[:, None, :] + units[None, :, :]
            fits = self._fits(grown.reshape(-1, size)).reshape(len(layer), size)
            largest.append(layer[~fits.any(axis=1)])
            layer = np.unique(grown[fits], axis=0)
        return np.concatenate(largest)

    def bar(self, refused: Pattern) -> None:
        """Move the front inwards: no pattern may reach all these counts."""
        bad = np.array(refused)
        hit = np.all(self.patterns >= bad, axis=1)
        kept, reached = self.patterns[~hit], self.patterns[hit]
        for k in np.flatnonzero(bad):
            smaller = reached.copy()
            smaller[:, k] = bad[k] - 1
            for row in np.unique(smaller, axis=0):
                if not np.any(np.all(kept >= row, axis=1)):
                    kept = np.vstack([kept[~np.all(kept <= row, axis=1)], row])
        self.patterns = kept


def _sums(easy: tuple[Job, ...], van: Van, rules: ShiftRules, grid: int) -> tuple[Counts, Counts]:
    """Rows and room of the sums that hold in every shift: packers, runs, collars."""
    needs = Needs(easy, rules, grid)
    rows = [[1] * len(easy)]
    room = [rules.max_collars]
    fits = {j.packers for j in easy}
    fits.add(tuple(sorted({name for packers in fits for name in packers})))
    for packers in sorted(fits):
        bound = [set(j.packers) <= set(packers) for j in easy]
        rows.append([needs.packer_time(j) * b for j, b in zip(easy, bound, strict=True)])
        room.append(needs.packer_room(sum(name in packers for name in van)))
    for run in dict.fromkeys(j.run for j in easy):
        rows.append([needs.run_time(j) * (j.run == run) for j in easy])
        room.append(needs.run_room())
    return np.array(rows), np.array(room)

"""The packing against an independent search over every way to share out the jobs."""

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest

from teewright.programme.durations import Job, dominates, easiest, job
from teewright.programme.needs import Needs, least_shifts
from teewright.programme.optimise import plan
from teewright.programme.oracle import Oracle
from teewright.programme.patterns import Front, kins
from teewright.programme.sequence import Van, possible
from teewright.programme.solving import Budget
from teewright.programme.values import Installation
from unit.programme.scenes import BASE, CREW, MINUTE, MONDAY, RULES, WEEK, asked

VAN: Van = ("P", "Q")
SHORT = replace(RULES, length=300 * MINUTE)


def partitions(items: tuple[Job, ...]) -> Iterator[list[tuple[Job, ...]]]:
    """Every way to share out items."""
    if not items:
        yield []
        return
    first, rest = items[0], items[1:]
    for size in range(len(rest) + 1):
        for others in combinations(rest, size):
            left = tuple(j for j in rest if j not in others)
            for further in partitions(left):
                yield [(first, *others), *further]


def fewest(installations: tuple[Installation, ...]) -> int:
    """Least number of shifts, by trying every partition."""
    jobs = tuple(job(i, SHORT) for i in installations)
    known: dict[tuple[Job, ...], bool] = {}

    def holds(part: tuple[Job, ...]) -> bool:
        if part not in known:
            answer = possible(part, VAN, SHORT, grid=60, budget=Budget(99.0), limit=9.0)
            assert answer.proved
            known[part] = answer.sequence is not None
        return known[part]

    return min(len(parts) for parts in partitions(jobs) if all(holds(p) for p in parts))


def some(seed: int, count: int) -> tuple[Installation, ...]:
    rng = random.Random(seed)
    return tuple(
        replace(
            asked(f"{run}/{k}", run, f"M{run}"),
            distance=rng.choice([0.0, 30.0, 60.0]),
            release=rng.choice([80, 100, 120]) * MINUTE,
            packers=rng.choice([("P",), ("P", "Q")]),
        )
        for k, run in zip(range(count), rng.choices("RS", k=count), strict=True)
    )


@pytest.mark.parametrize("seed", range(5))
def test_as_few_shifts_as_by_trying_every_partition(seed: int) -> None:
    installations = some(seed, 5)
    found = plan(
        installations, crews=(CREW,), shifts=SHORT, first_day=MONDAY, days=WEEK, seconds=8.0
    )
    least = fewest(installations)
    assert found.bound <= least == len(found.shifts)


@pytest.mark.parametrize("seed", range(3))
def test_sums_never_bar_what_is_possible(seed: int) -> None:
    """Every set of jobs that has an order keeps the sums and lies within the front."""
    jobs = tuple(job(i, SHORT) for i in some(seed, 5))
    groups = kins(jobs)
    front = Front(groups, VAN, SHORT, 60)
    for part in (p for size in range(1, 4) for p in combinations(jobs, size)):
        answer = possible(part, VAN, SHORT, grid=60, budget=Budget(99.0), limit=9.0)
        if answer.sequence is not None:
            counts = np.array([sum(j in g.jobs for j in part) for g in groups])
            assert np.any(np.all(front.patterns >= counts, axis=1))
            assert least_shifts(part, SHORT, 60) == 1


def test_front_holds_the_largest_patterns_and_no_others() -> None:
    """Against a walk over every count, before and after a refusal."""
    jobs = tuple(
        replace(job(asked(f"{run}/{k}", run, f"M{run}"), SHORT), key=f"{run}/{k}")
        for run in "RST"
        for k in range(3)
    )
    groups = kins(jobs)
    needs = Needs(jobs, SHORT, 60)
    one = groups[0].easy

    def allowed(counts: tuple[int, ...], refused: tuple[int, ...] | None) -> bool:
        stops = sum(n > 0 for n in counts)
        return (
            sum(counts) <= SHORT.max_collars
            and sum(counts) * needs.attended(one) + stops * needs.stop <= needs.length + needs.move
            and sum(counts) * needs.packer_time(one) <= needs.packer_room(2)
            and max(counts) * needs.run_time(one) <= needs.run_room()
            and not (refused and all(n >= r for n, r in zip(counts, refused, strict=True)))
        )

    front = Front(groups, VAN, SHORT, 60)
    for refused in (None, (1, 1, 0)):
        if refused:
            front.bar(refused)
        every = [c for c in product(range(4), repeat=3) if allowed(c, refused)]
        largest = {
            c
            for c in every
            if not any(
                other != c and all(a >= b for a, b in zip(other, c, strict=True)) for other in every
            )
        }
        assert {tuple(row) for row in front.patterns.tolist()} == largest


def test_easiest_is_dominated_by_its_kin() -> None:
    jobs = tuple(job(replace(BASE, distance=d), RULES) for d in (7.0, 20.0, 33.0))
    for each in jobs:
        assert dominates(each, easiest(jobs))


def test_oracle_tells_a_known_answer_of_other_places() -> None:
    oracle = Oracle(RULES, 60, Budget(9.0), 3.0)
    here = (job(asked("R/1", "R", "M"), RULES), job(asked("S/1", "S", "N"), RULES))
    there = (job(asked("T/1", "T", "O"), RULES), job(asked("U/1", "U", "L"), RULES))
    first = oracle.ask(here, VAN).sequence
    left = oracle.budget.left
    second = oracle.ask(there, VAN).sequence
    assert oracle.budget.left == left
    assert first is not None
    assert second is not None
    assert {s.job for s in second.slots} == set(there)
    assert {node for node, _, _ in second.manholes} == {"O", "L"}
    for one, other in zip(first.slots, second.slots, strict=True):
        assert (one.prepare, one.place, one.finish) == (other.prepare, other.place, other.finish)
        assert (one.job.manhole == "M") == (other.job.manhole == "O") or one.job.times == (
            other.job.times
        )


def test_oracle_tells_runs_of_one_manhole_from_runs_of_two() -> None:
    """Two jobs in one run take longer than in two: the answers must not be exchanged."""
    tight = replace(RULES, length=200 * MINUTE)
    oracle = Oracle(tight, 60, Budget(9.0), 3.0)
    apart = (job(asked("R/1", "R"), tight), job(asked("S/1", "S"), tight))
    together = (job(asked("R/1", "R"), tight), job(asked("R/2", "R"), tight))
    assert oracle.ask(apart, VAN).sequence is not None
    assert oracle.ask(together, VAN).sequence is None

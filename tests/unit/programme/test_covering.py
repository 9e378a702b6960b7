"""Covers against a walk over every choice of columns, and patterns on days."""

import random
from itertools import combinations_with_replacement

import pytest

from teewright.programme.calendar_cover import dated_cover
from teewright.programme.covering import Column, cover
from teewright.programme.durations import job
from teewright.programme.patterns import Kin, kins
from teewright.programme.solving import Budget
from unit.programme.scenes import RULES, asked

VAN = ("P", "Q")


def groups(*sizes: int) -> tuple[Kin, ...]:
    """Kinds of job of these sizes, each at a place of its own."""
    jobs = tuple(
        job(asked(f"{run}{k}", run, f"M{run}"), RULES)
        for run, size in zip("RSTUV", sizes, strict=False)
        for k in range(size)
    )
    return kins(jobs)


def holds(chosen: tuple[Column, ...], kinds: tuple[Kin, ...]) -> bool:
    return all(sum(c.counts[k] for c in chosen) >= len(kind.jobs) for k, kind in enumerate(kinds))


@pytest.mark.parametrize("seed", range(12))
def test_cover_is_the_fewest_of_every_choice(seed: int) -> None:
    rng = random.Random(seed)
    kinds = groups(*(rng.randint(1, 5) for _ in range(3)))
    random_counts = {tuple(rng.randint(0, 3) for _ in range(3)) for _ in range(5)}
    units = {(1, 0, 0), (0, 1, 0), (0, 0, 1)}
    columns = [Column(VAN, counts, 1 + sum(counts)) for counts in sorted(random_counts | units)]
    columns = [c for c in columns if any(c.counts)]
    least = next(
        number
        for number in range(1, 16)
        if any(holds(c, kinds) for c in combinations_with_replacement(columns, number))
    )
    found = cover(columns, kinds, {VAN: 1}, Budget(9.0))
    assert found.columns is not None
    assert holds(found.columns, kinds)
    assert (len(found.columns), found.bound) == (least, least)


def test_cover_shares_the_shifts_among_vans() -> None:
    kinds = groups(4)
    columns = [Column(van, (1,), 1) for van in (("P",), ("Q",))]
    found = cover(columns, kinds, {("P",): 1, ("Q",): 1}, Budget(9.0))
    assert found.columns is not None
    assert sorted(c.van for c in found.columns) == [("P",), ("P",), ("Q",), ("Q",)]


def laid(ready: dict[str, int], shifts: int, days: int) -> list[tuple[int, int]] | None:
    """Days and crews for two runs of two jobs, one job a shift."""
    kinds = groups(2, 2)
    columns = [Column(VAN, counts, 1) for counts in ((1, 0), (0, 1))]
    found = dated_cover(
        columns,
        kinds,
        (VAN, VAN),
        ready={j.key: 0 for kind in kinds for j in kind.jobs} | ready,
        days=days,
        shifts=shifts,
        budget=Budget(9.0),
        limit=3.0,
    )
    return None if found is None else [(placed.day, placed.crew) for placed in found]


def test_two_crews_work_in_two_runs_on_the_same_days() -> None:
    assert laid({}, 4, 4) == [(0, 0), (0, 1), (1, 0), (1, 1)]


def test_what_is_ready_later_moves_one_shift() -> None:
    found = laid({"R0": 3}, 4, 4)
    assert found is not None
    assert sorted(day for day, _ in found) == [0, 0, 1, 3]


def test_too_few_days_or_shifts_have_no_cover() -> None:
    assert laid({}, 4, 1) is None
    assert laid({}, 3, 4) is None
    assert laid({"R0": 3, "R1": 3}, 4, 4) is None

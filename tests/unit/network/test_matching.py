import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from teewright.network.matching import _NO, Mark, _assigned, assign, match


def _marks(*pairs: tuple[float, float | None]) -> list[Mark]:
    return [Mark(chainage, clock) for chainage, clock in pairs]


def test_neighbours_do_not_collapse() -> None:
    first = _marks((5.0, 3.0), (5.4, 3.0), (5.8, 3.0))
    second = _marks((5.25, 3.0), (5.65, 3.0), (6.05, 3.0))
    found = match(first, second, tolerance=0.3, largest_shift=1.0)
    assert found.pairs == ((0, 0), (1, 1), (2, 2))
    assert found.shift == 0.0


def test_most_pairs_before_nearest() -> None:
    # the nearest pair alone would leave the other two without a partner
    first, second = _marks((5.0, 3.0), (5.3, 3.0)), _marks((5.28, 3.0), (5.55, 3.0))
    assert assign(first, second, tolerance=0.3, shift=0.0).pairs == ((0, 0), (1, 1))


def test_clock_keeps_two_sides_apart() -> None:
    first, second = _marks((5.0, 3.0), (5.0, 9.0)), _marks((5.0, 9.5), (5.0, 2.0))
    assert match(first, second, tolerance=0.3, largest_shift=1.0).pairs == ((0, 1), (1, 0))
    lone = match(_marks((5.0, 3.0)), _marks((5.0, 4.6)), tolerance=0.3, largest_shift=1.0)
    assert lone.pairs == ()


def test_clock_across_the_crown_and_unknown_clock() -> None:
    crown = match(_marks((5.0, 11.5)), _marks((5.0, 12.5)), tolerance=0.3, largest_shift=1.0)
    assert crown.pairs == ((0, 0),)
    unknown = match(_marks((5.0, None)), _marks((5.1, 3.0)), tolerance=0.3, largest_shift=1.0)
    assert unknown.pairs == ((0, 0),)


def test_a_known_clock_is_a_better_partner_than_an_unknown_one() -> None:
    found = assign(_marks((5.0, 3.0)), _marks((5.0, None), (5.05, 3.0)), tolerance=0.3, shift=0.0)
    assert found.pairs == ((0, 1),)


def test_common_shift_is_found_though_one_pair_lies_without_it() -> None:
    # 8.7 stands in both passes, but all four pairs need the second moved by 0.6 m
    first = _marks((7.5, 9.0), (8.1, 3.0), (8.7, 3.0), (20.2, 3.0))
    second = _marks((8.1, 9.0), (8.7, 3.0), (9.2, 3.0), (20.8, 3.0))
    found = match(first, second, tolerance=0.3, largest_shift=1.2)
    assert found.pairs == ((0, 0), (1, 1), (2, 2), (3, 3))
    assert found.shift == pytest.approx(-0.6)


def test_one_pair_is_no_evidence_of_a_shift() -> None:
    found = match(_marks((5.0, 3.0)), _marks((5.8, 3.0)), tolerance=0.3, largest_shift=1.0)
    assert found.pairs == ()
    assert found.shift == 0.0


def test_no_shift_where_none_is_needed() -> None:
    row = _marks(*((0.6 * n, 12.0) for n in range(18)))
    found = match(row, row, tolerance=0.3, largest_shift=1.0)
    assert (found.shift, len(found.pairs), found.misfit) == (0.0, 18, 0.0)


def test_nothing_to_match() -> None:
    assert match([], _marks((1.0, 3.0)), tolerance=0.3, largest_shift=1.0).pairs == ()
    assert match(_marks((1.0, 3.0)), [], tolerance=0.3, largest_shift=1.0).pairs == ()


def test_the_two_passes_may_be_exchanged() -> None:
    first = _marks((2.0, 3.0), (2.5, 9.0), (7.0, None), (9.0, 1.0))
    second = _marks((2.2, 3.5), (2.4, 9.0), (6.8, 2.0), (12.0, 1.0))
    there = match(first, second, tolerance=0.3, largest_shift=1.0)
    back = match(second, first, tolerance=0.3, largest_shift=1.0)
    assert sorted(there.pairs) == sorted((i, j) for j, i in back.pairs)


def test_pairs_without_a_choice_are_those_of_the_assignment() -> None:
    chance = np.random.default_rng(7)
    without = 0
    for _ in range(500):
        rows, columns = chance.integers(1, 7, 2)
        near = chance.random((rows, columns)) < 0.25
        cost = np.where(near, chance.random((rows, columns)), _NO)
        taken = zip(*(ends.tolist() for ends in linear_sum_assignment(cost)), strict=True)
        expected: list[tuple[int, int]] = [(i, j) for i, j in taken if near[i, j]]
        assert _assigned(cost) == expected
        without += bool(near.any()) and near.sum(axis=0).max() <= 1 and near.sum(axis=1).max() <= 1
    assert 50 < without < 450  # both ways were gone

from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.report.spread import slots, spread, within

places = st.lists(st.floats(0.0, 100.0), min_size=1, max_size=12).map(sorted)


@settings(max_examples=60)
@given(places, st.floats(0.5, 9.0))
def test_labels_keep_their_gaps_and_their_centre(wanted: list[float], gap: float) -> None:
    found = spread(wanted, [gap] * (len(wanted) - 1))
    assert all(b - a >= gap - 1e-9 for a, b in pairwise(found))
    assert sum(found) == pytest.approx(sum(wanted), abs=1e-6)  # least squares moves no mean


def test_labels_with_room_stay_where_they_are() -> None:
    assert spread([0.0, 10.0, 20.0], [3.0, 3.0]) == [0.0, 10.0, 20.0]


def test_two_labels_at_one_place_part_evenly() -> None:
    assert spread([5.0, 5.0], [4.0]) == [3.0, 7.0]


@settings(max_examples=60)
@given(places, st.floats(0.5, 9.0))
def test_rows_stay_inside_their_ends(wanted: list[float], gap: float) -> None:
    gaps = [gap] * (len(wanted) - 1)
    found = within(spread(wanted, gaps), gaps, 0.0, 100.0)
    assert min(found) >= -1e-9
    assert max(found) <= 100.0 + 1e-9
    assert all(b - a >= gap - 1e-9 for a, b in pairwise(found))


def test_a_row_without_room_is_even() -> None:
    assert within([0.0, 10.0, 20.0], [10.0, 10.0], 0.0, 12.0) == [0.0, 6.0, 12.0]
    assert within([], [], 0.0, 12.0) == []


@settings(max_examples=40)
@given(st.lists(st.floats(0.0, 90.0), min_size=1, max_size=5).map(sorted))
def test_slots_are_the_best_of_all_choices(wanted: list[float]) -> None:
    centres = [10.0 * k for k in range(8)]

    def cost(chosen: tuple[int, ...]) -> float:
        return sum((w - centres[c]) ** 2 for w, c in zip(wanted, chosen, strict=True))

    best = min(cost(chosen) for chosen in combinations(range(8), len(wanted)))
    found = tuple(slots(wanted, centres))
    assert list(found) == sorted(set(found))
    assert cost(found) == pytest.approx(best)

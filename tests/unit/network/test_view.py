import pytest

from teewright.network.groups import Group
from teewright.network.lengths import lay
from teewright.network.values import Direction
from teewright.network.view import clock_distance, clock_gap, is_ring, middle, mirrored
from unit.network.writing import Film, connection, finish, inspections


@pytest.mark.parametrize(
    ("seen", "expected"),
    [(12.0, 12.0), (6.0, 6.0), (3.0, 9.0), (9.0, 3.0), (1.0, 11.0), (10.5, 1.5), (0.5, 11.5)],
)
def test_mirrored(seen: float, expected: float) -> None:
    assert mirrored(seen) == expected
    assert mirrored(expected) == seen


@pytest.mark.parametrize(
    ("a", "b", "expected"), [(12, 1, 1), (11, 1, 2), (3, 9, 6), (12, 12, 0), (10.5, 2, 3.5)]
)
def test_clock_distance_goes_the_short_way(a: float, b: float, expected: float) -> None:
    assert clock_distance(a, b) == clock_distance(b, a) == expected


@pytest.mark.parametrize(
    ("begin", "end", "expected"),
    [
        (11.0, 1.0, 12.0),
        (10.0, 1.0, 11.5),
        (2.0, 4.0, 3.0),
        (8.0, 4.0, 12.0),
        (5.0, None, 5.0),
        (None, 5.0, 5.0),
        (None, None, None),
        (12.0, 12.0, 12.0),
    ],
)
def test_middle_of_a_range_across_the_crown(
    begin: float | None, end: float | None, expected: float | None
) -> None:
    assert middle(begin, end) == expected


@pytest.mark.parametrize(
    ("clock", "begin", "end", "expected"),
    [
        (12.0, 11.0, 1.0, 0.0),
        (11.0, 11.0, 1.0, 0.0),
        (2.0, 11.0, 1.0, 1.0),
        (6.0, 11.0, 1.0, 5.0),
        (3.0, 3.0, None, 0.0),
        (4.0, 3.0, None, 1.0),
        (6.0, 12.0, 12.0, 0.0),  # all round
        (6.0, 3.0, 3.0, 3.0),  # a point, not all round
        (None, 3.0, None, 0.0),
        (3.0, None, None, 0.0),
    ],
)
def test_clock_gap(
    clock: float | None, begin: float | None, end: float | None, expected: float
) -> None:
    assert clock_gap(clock, begin, end) == expected


def test_only_twelve_to_twelve_is_a_ring() -> None:
    assert is_ring(12.0, 12.0)
    assert not is_ring(3.0, 3.0)
    assert not is_ring(12.0, None)


def test_reach_and_view_of_a_pass_against_the_flow() -> None:
    films = [
        Film([connection(10.0, "2"), finish(40.0)], start="S2", direction="B", length=42.0),
    ]
    (one,) = inspections(*films)
    laid = lay(one, Group([one]), ("S1", "S2"), known=True)
    assert laid.direction is Direction.AGAINST
    assert laid.chainage(10.0) == 32.0
    assert laid.clock(2.0) == 10.0
    assert laid.clock(None) is None
    assert laid.reach == (2.0, 42.0)

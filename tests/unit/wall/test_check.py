from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import RangeError
from teewright.units import SHOWN
from teewright.wall.check import BENDING, BUCKLING, LEAST, MINIMUM, SPAN, CuredWall, wall_check
from teewright.wall.f1216 import x1_1_pressure
from teewright.wall.values import WallCheck

WALL = CuredWall(modulus=1724e6, strength=31e6, long_term=0.5, poisson=0.3)


def check(
    *,
    head: float = 3.0,
    diameter: float = 0.3,
    wall: CuredWall = WALL,
    ovality: float = 0.02,
    span: float | None = None,
) -> WallCheck:
    return wall_check(
        head=head,
        diameter=diameter,
        provided=0.0045,
        wall=wall,
        ovality=ovality,
        safety_factor=2.0,
        enhancement=7.0,
        span=span,
    )


@given(st.floats(2.0, 20.0), st.floats(0.2, 0.6), st.floats(0.0, 0.02))
@settings(max_examples=40, deadline=None)
def test_the_wall_that_buckling_asks_for_just_stands(head: float, D: float, q: float) -> None:
    found = check(head=head, diameter=D, ovality=q)
    t = dict(found.cases)[BUCKLING]
    stood = x1_1_pressure(D / t, 862e6, poisson=0.3, ovality=q, safety_factor=2.0, enhancement=7.0)
    assert stood == pytest.approx(9810.0 * head)
    assert found.required == max(value for _, value in found.cases)


def test_buckling_governs_the_ordinary_case() -> None:
    found = check()
    assert found.governing == BUCKLING
    assert found.utilisation == pytest.approx(found.required / 0.0045)
    assert found.utilisation > 1.0


def test_a_flat_pipe_is_governed_by_bending() -> None:
    found = check(ovality=0.08, diameter=0.3, head=8.0)
    assert found.governing == BENDING


@pytest.mark.parametrize("head", [0.0, -2.0])
def test_without_groundwater_the_least_wall_is_left(head: float) -> None:
    found = check(head=head)
    assert (found.governing, found.required, found.head) == (MINIMUM, LEAST, head)
    assert dict(found.cases)[BUCKLING] == 0.0


def test_a_missing_piece_of_wall_is_one_more_case() -> None:
    assert SPAN not in dict(check().cases)
    small, large = (dict(check(span=d).cases)[SPAN] for d in (0.01, 0.02))
    assert 0.0 < small < large


def test_a_hole_too_wide_for_a_plate_is_left_to_the_ring() -> None:
    found = check(span=0.15)
    assert dict(found.cases)[SPAN] == 0.0
    assert found.governing == BUCKLING


def test_more_creep_needs_more_wall() -> None:
    assert check(wall=replace(WALL, long_term=0.3)).required > check().required


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(RangeError, match="groundwater over the invert"):
        check(head=60.0)
    with pytest.raises(RangeError, match="long-term share"):
        check(wall=replace(WALL, long_term=0.0))
    with pytest.raises(RangeError, match="ovality"):
        check(ovality=0.2)


def test_the_trace_can_be_shown() -> None:
    found = check(span=0.05)
    assert all(row.shown_in in SHOWN for row in found.trace)
    shown = {row.symbol: row.value for row in found.trace}
    assert shown["t_n"] == found.required
    assert shown["E_L"] == pytest.approx(862e6)

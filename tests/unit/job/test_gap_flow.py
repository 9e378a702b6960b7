"""The flow through a gap, and its bound where the formula does not hold."""

import math

import pytest

from teewright.job.assessing import gap_flow


def test_a_laminar_flow_is_told_and_no_bound() -> None:
    found = gap_flow(3.0, 1e-4, 0.05, 0.5)
    assert found.most is None
    assert found.flow is not None
    assert found.reynolds is not None
    assert found.reynolds < 2000.0


def test_beyond_the_laminar_range_only_a_bound_is_told() -> None:
    # 5 mm under 3 m: without any loss water comes in at free fall's 7.67 m/s
    found = gap_flow(3.0, 5e-3, 0.05, 0.5)
    assert found.flow is None
    assert found.most == pytest.approx(5e-3 * 0.5 * math.sqrt(2.0 * 9.81 * 3.0), rel=1e-3)


@pytest.mark.parametrize("gap", [3.5e-4, 5e-4, 8e-4])
def test_the_bound_is_never_over_free_fall(gap: float) -> None:
    found = gap_flow(3.0, gap, 0.05, 0.5)
    bound = found.flow if found.most is None else found.most
    assert bound is not None
    assert bound <= gap * 0.5 * math.sqrt(2.0 * 9.81 * 3.0)

"""Wheels on the road, and the pressure that they bring to a crown."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import RangeError
from teewright.units import FOOT
from teewright.wall.wheels import Wheels, impact_factor, wheel_pressure

LOADS = st.floats(1e3, 2e5)
COVERS = st.floats(0.95, 20.0)
"""Ground below which rolling no longer counts [m]."""


def test_all_that_a_wheel_presses_is_its_load() -> None:
    """The pressure over the whole plane adds up to the load, as no ground carries it."""
    cover, step = 2.0, 0.05
    radii = [step * (n + 0.5) for n in range(8000)]
    under = wheel_pressure(Wheels(100e3), cover)
    rings = (
        2.0 * math.pi * r * step * (wheel_pressure(Wheels(100e3, (r,)), cover) - under)
        for r in radii
        if r <= 100.0
    )
    assert math.fsum(rings) == pytest.approx(100e3, rel=1e-3)


@settings(max_examples=60, deadline=None)
@given(LOADS, COVERS, st.floats(1.01, 3.0), st.lists(st.floats(0.1, 30.0), max_size=4))
def test_more_ground_never_raises_the_pressure_of_the_wheel_over_the_crown(
    load: float, cover: float, times: float, beside: list[float]
) -> None:
    alone, deeper = (wheel_pressure(Wheels(load), c) for c in (cover, cover * times))
    assert deeper == pytest.approx(alone / times**2)
    both = wheel_pressure(Wheels(load, tuple(beside)), cover)
    assert alone <= both <= alone * (1.0 + len(beside)) * (1.0 + 1e-12)


def test_a_wheel_far_away_adds_nothing_and_one_at_the_same_place_as_much_again() -> None:
    alone = wheel_pressure(Wheels(50e3), 1.5)
    assert wheel_pressure(Wheels(50e3, (100.0,)), 1.5) == pytest.approx(alone, rel=1e-8)
    assert wheel_pressure(Wheels(50e3, (0.0,)), 1.5) == pytest.approx(2.0 * alone)


def test_rolling_counts_under_little_ground() -> None:
    covers = (0.5 * FOOT, 1.5 * FOOT, 2.5 * FOOT, 3.5 * FOOT)
    assert [impact_factor(c) for c in covers] == [1.5, 1.35, 1.15, 1.0]
    shallow = wheel_pressure(Wheels(50e3), 0.7)
    assert shallow == pytest.approx(1.15 * 3.0 * 50e3 / (2.0 * math.pi * 0.49))


@pytest.mark.parametrize(
    ("wheels", "cover", "said"),
    [
        (Wheels(50e3), 0.2, "ground under a wheel"),
        (Wheels(-1.0), 1.0, "load of a wheel"),
        (Wheels(50e3, (-1.0,)), 1.0, "distance of wheels"),
        (Wheels(50e3), math.nan, "ground under a wheel"),
    ],
)
def test_what_is_no_wheel_is_refused(wheels: Wheels, cover: float, said: str) -> None:
    with pytest.raises(RangeError, match=said):
        wheel_pressure(wheels, cover)

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from shapely import LineString, Point, box

from teewright.errors import RangeError
from teewright.hydraulics.part_full import (
    manning_flow,
    manning_velocity,
    part_full,
    surface_angle,
)


@pytest.mark.parametrize("depth", [0.02, 0.1, 0.37, 0.5, 0.73, 0.95])
def test_geometry_against_a_drawn_circle(depth: float) -> None:
    circle = Point(0.0, 0.5).buffer(0.5, quad_segs=2000)
    water = circle.intersection(box(-1.0, -1.0, 1.0, depth))
    wetted = circle.exterior.intersection(box(-1.0, -1.0, 1.0, depth)).length
    found = part_full(depth)
    assert found.area == pytest.approx(water.area / circle.area, rel=1e-5)
    assert found.radius == pytest.approx(water.area / wetted / 0.25, rel=1e-5)
    width = water.intersection(LineString([(-1.0, depth - 1e-9), (1.0, depth - 1e-9)])).length
    assert math.sin(surface_angle(depth) / 2.0) == pytest.approx(width, rel=1e-4)


@given(st.floats(0.0, 1.0))
@settings(max_examples=60, deadline=None)
def test_water_and_air_fill_the_pipe(depth: float) -> None:
    assert part_full(depth).area + part_full(1.0 - depth).area == pytest.approx(1.0)


def test_half_full_runs_as_fast_as_full() -> None:
    half, full = part_full(0.5), part_full(1.0)
    assert [half.velocity, half.flow] == pytest.approx([1.0, 0.5])
    assert [full.area, full.radius, full.velocity, full.flow] == pytest.approx([1.0] * 4)


def test_the_largest_flow_is_below_the_crown() -> None:
    best = minimize_scalar(lambda y: -part_full(y).flow, bounds=(0.8, 1.0), method="bounded")
    assert best.x == pytest.approx(0.938, abs=5e-4)
    assert -best.fun == pytest.approx(1.0757, abs=5e-5)


def test_flow_grows_steadily_up_to_there() -> None:
    flows = [part_full(y).flow for y in np.linspace(0.0, 0.93, 200)]
    assert all(a < b for a, b in pairwise(flows))


def test_the_series_meets_the_formula() -> None:
    # where the angle is 0.01 the one hands over to the other
    switch = (1.0 - math.cos(0.005)) / 2.0
    below, above = part_full(switch * 0.9999), part_full(switch * 1.0001)
    assert below.area == pytest.approx(above.area, rel=5e-4)
    assert part_full(1e-12).area >= 0.0
    assert part_full(0.0).flow == 0.0


def test_manning_is_dimensionally_whole() -> None:
    assert manning_velocity(0.8, 0.01, 0.013) == pytest.approx(
        4.0 ** (2.0 / 3.0) * manning_velocity(0.2, 0.01, 0.013)
    )
    assert manning_velocity(0.2, 0.04, 0.013) == pytest.approx(
        2.0 * manning_velocity(0.2, 0.01, 0.013)
    )
    assert manning_flow(0.2, 0.01, 0.013) == pytest.approx(
        manning_velocity(0.2, 0.01, 0.013) * math.pi * 0.01
    )


@pytest.mark.parametrize("depth", [-0.01, 1.01, float("nan")])
def test_water_outside_the_pipe_is_refused(depth: float) -> None:
    with pytest.raises(RangeError, match="depth ratio"):
        part_full(depth)


def test_a_roughness_that_no_pipe_has_is_refused() -> None:
    with pytest.raises(RangeError, match="Manning"):
        manning_velocity(0.2, 0.01, 0.5)
    with pytest.raises(RangeError, match="roughness ratio"):
        part_full(0.5, roughness_ratio=2.0)

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import RangeError
from teewright.hydraulics.colebrook import friction_factor
from teewright.hydraulics.losses import (
    Bores,
    bore_head,
    bypass_depth,
    bypass_flow,
    critical_depth,
    entry_loss,
    exit_loss,
    full_bore_flow,
    loss_coefficient,
)
from teewright.units import GRAVITY

BORES = Bores(count=2, diameter=0.065, length=1.25, axis=0.1)


def test_losses_at_the_ends() -> None:
    assert entry_loss(0.1) == pytest.approx(0.5)
    assert exit_loss() == 1.0
    losses = [entry_loss(0.1, radius) for radius in np.linspace(0.0, 0.02, 21)]
    assert all(b < a for a, b in pairwise(losses))


@given(st.floats(0.02, 0.3), st.floats(0.1, 3.0), st.floats(1e-5, 1e-3))
@settings(max_examples=60, deadline=None)
def test_friction_is_that_of_the_other_solution(d: float, v: float, k: float) -> None:
    """The library's factor against this package's own Newton iteration."""
    if v * d / 1.31e-6 <= 4000.0 or k / d > 0.05:
        return
    bores = Bores(1, d, 2.0, d, roughness=k)
    own = friction_factor(k / d, v * d / 1.31e-6) * 2.0 / d
    assert loss_coefficient(bores, v) - 1.5 == pytest.approx(own, rel=1e-6)


def test_laminar_friction() -> None:
    bores = Bores(1, 0.02, 1.0, 0.05)
    v = 1000.0 * 1.31e-6 / 0.02
    assert loss_coefficient(bores, v) == pytest.approx(1.5 + 0.064 * 50.0)


@given(st.floats(1e-4, 2.0), st.floats(0.02, 0.3), st.floats(0.0, 5.0))
@settings(max_examples=60, deadline=None)
def test_flow_and_head_are_inverse(head: float, d: float, length: float) -> None:
    bores = Bores(3, d, length, d)
    assert bore_head(bores, full_bore_flow(bores, head)) == pytest.approx(head, rel=1e-8)


def test_bores_without_length_lose_only_at_their_ends() -> None:
    bores = Bores(1, 0.05, 0.0, 0.1)
    v = math.sqrt(2.0 * GRAVITY * 0.2 / 1.5)
    assert full_bore_flow(bores, 0.2) == pytest.approx(v * bores.area)


@pytest.mark.parametrize("downstream", [0.0, 0.12, 0.2])
@pytest.mark.parametrize("flow", [2e-4, 1e-3, 4e-3, 1.2e-2])
def test_the_table_of_flows_is_the_inverse_of_the_depth(flow: float, downstream: float) -> None:
    depth = bypass_depth(BORES, flow, downstream)
    # 0.1 %: the table is read straight between its rows
    found = bypass_flow(BORES, np.array([depth, 1.0]), downstream)[0]
    assert found == pytest.approx(flow, rel=1e-3)


def test_a_drowned_outlet_takes_the_difference_of_the_levels() -> None:
    flow = bypass_flow(BORES, np.array([0.5]), 0.3)[0]
    assert flow == pytest.approx(full_bore_flow(BORES, 0.2), rel=1e-4)
    assert bypass_flow(BORES, np.array([0.25]), 0.3)[0] == 0.0


def test_a_free_outlet_ends_between_axis_and_crown() -> None:
    for flow in (3e-3, 6e-3, 1e-2):
        over_axis = bypass_depth(BORES, flow) - bore_head(BORES, flow) - BORES.axis
        assert 0.0 < over_axis <= BORES.diameter / 2.0


def test_the_critical_depth_has_the_least_specific_energy() -> None:
    d, y = 0.2, np.linspace(1e-3, 0.199, 200001)
    angle = 2.0 * np.arccos(1.0 - 2.0 * y / d)
    area = d**2 / 8.0 * (angle - np.sin(angle))
    for flow in (0.001, 0.005, 0.02):
        energy = y + (flow / area) ** 2 / (2.0 * GRAVITY)
        found = float(critical_depth(d, np.array(flow)))
        assert found == pytest.approx(y[energy.argmin()], abs=1e-4)


@pytest.mark.parametrize("length", [0.65, 1.25, 3.0])
def test_critical_flow_behind_an_open_entry_needs_no_higher_water(length: float) -> None:
    bores = Bores(1, 0.065, length, 0.1)
    for flow in np.linspace(1e-4, 4e-3, 40):
        y = float(critical_depth(0.065, np.array(flow)))
        angle = 2.0 * math.acos(1.0 - 2.0 * y / 0.065)
        area, width = 0.065**2 / 8.0 * (angle - math.sin(angle)), 0.065 * math.sin(angle / 2.0)
        if y < 0.95 * 0.065:  # nearer to the crown the surface closes and T goes to 0
            assert bypass_depth(bores, float(flow)) - bores.invert >= y + 1.5 * area / (2.0 * width)


def test_nothing_passes_below_the_axis() -> None:
    depths = np.array([0.0, BORES.invert, BORES.axis - 1e-9])
    assert bypass_flow(BORES, depths).max() == 0.0


@given(st.integers(1, 4), st.floats(0.02, 0.2), st.floats(0.0, 3.0), st.floats(0.0, 0.5))
@settings(max_examples=50, deadline=None)
def test_flow_rises_with_the_water_upstream_and_falls_with_that_downstream(
    count: int, d: float, length: float, downstream: float
) -> None:
    bores = Bores(count, d, length, 0.11)
    depths = np.linspace(0.0, 1.5, 400)
    flow = bypass_flow(bores, depths, downstream)
    assert (np.diff(flow) >= 0.0).all()
    assert (bypass_flow(bores, depths, downstream + 0.05) <= flow).all()
    assert bypass_flow(Bores(0, 0.0, 0.0, 0.0), depths).max() == 0.0


@pytest.mark.parametrize(
    ("bores", "what"),
    [
        (Bores(51, 0.05, 1.0, 0.1), "number of bores"),
        (Bores(1, 0.001, 1.0, 0.1), "diameter of the bore"),
        (Bores(1, 0.05, 30.0, 0.1), "length of the bore"),
        (Bores(1, 0.05, 1.0, 0.02), "axis"),
        (Bores(1, 0.05, 1.0, 0.1, edge_radius=0.02), "edge radius"),
        (Bores(1, 0.05, 1.0, 0.1, roughness=0.01), "relative roughness"),
    ],
)
def test_bores_that_no_packer_has_are_refused(bores: Bores, what: str) -> None:
    with pytest.raises(RangeError, match=what):
        bypass_flow(bores, np.array([0.3]))

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from teewright.errors import RangeError
from teewright.hydraulics.colebrook import (
    colebrook_friction,
    colebrook_velocity,
    friction_factor,
)
from teewright.units import GRAVITY

NU = 1.31e-6


@given(st.floats(0.05, 3.0), st.floats(-3.0, -0.5), st.floats(-5.0, -2.6))
@settings(max_examples=80, deadline=None)
def test_the_explicit_form_against_darcy(D: float, log_slope: float, log_k: float) -> None:
    slope, k = 10.0**log_slope, 10.0**log_k
    refusal = None
    try:
        velocity = colebrook_velocity(D, slope, k, kinematic_viscosity=NU)
    except RangeError as refused:  # rough small pipes, and steep large ones, leave the law
        refusal = refused
    if refusal is not None:
        assert not refusal.low <= refusal.value <= refusal.high
        return
    f = colebrook_friction(k / D, velocity * D / NU)
    assert f / D * velocity**2 / (2.0 * GRAVITY) == pytest.approx(slope, rel=1e-9)


@pytest.mark.parametrize("relative", [0.0, 1e-6, 1e-4, 0.01, 0.05])
@pytest.mark.parametrize("reynolds", [4e3, 1e4, 1e5, 1e6, 1e8])
def test_newton_against_a_bracketed_root(relative: float, reynolds: float) -> None:
    def left(f: float) -> float:
        inner = relative / 3.7 + 2.51 / (reynolds * math.sqrt(f))
        return 1.0 / math.sqrt(f) + 2.0 * math.log10(inner)

    assert colebrook_friction(relative, reynolds) == pytest.approx(brentq(left, 1e-4, 1.0))


@given(st.floats(0.0, 0.05), st.floats(4e3, 1e8))
@settings(max_examples=60, deadline=None)
def test_rival_explicit_formula(relative: float, reynolds: float) -> None:
    # Haaland 1983: within 2 % of Colebrook and White over the range of both
    inner = (relative / 3.7) ** 1.11 + 6.9 / reynolds
    haaland = (1.8 * math.log10(inner)) ** -2
    assert colebrook_friction(relative, reynolds) == pytest.approx(haaland, rel=0.021)


def test_rough_and_smooth_limits() -> None:
    rough = (2.0 * math.log10(3.7 / 0.01)) ** -2
    assert colebrook_friction(0.01, 1e8) == pytest.approx(rough, rel=1e-4)
    f = colebrook_friction(0.0, 1e5)
    prandtl = 2.0 * math.log10(1e5 * math.sqrt(f)) - 0.8
    assert 1.0 / math.sqrt(f) == pytest.approx(prandtl, rel=1e-3)


def test_the_factor_has_no_gap_and_is_on_the_safe_side() -> None:
    assert friction_factor(0.01, 1000.0) == pytest.approx(0.064)
    between = [friction_factor(0.001, re) for re in np.linspace(2300.0, 4000.0, 20)]
    assert between == pytest.approx([colebrook_friction(0.001, 4000.0)] * 20)
    assert min(between) > 64.0 / 2300.0


def test_losses_rise_with_the_flow_even_across_the_jump() -> None:
    losses = [friction_factor(0.01, re) * re**2 for re in np.geomspace(10.0, 1e6, 400)]
    assert all(a < b for a, b in pairwise(losses))


def test_rougher_is_slower() -> None:
    speeds = [colebrook_velocity(0.3, 0.005, k) for k in (1e-5, 1e-4, 1e-3, 1e-2)]
    assert speeds == sorted(speeds, reverse=True)


def test_flow_that_is_not_turbulent_is_refused() -> None:
    with pytest.raises(RangeError, match="Reynolds"):
        colebrook_velocity(0.02, 1e-5, 1e-5)
    with pytest.raises(RangeError, match="relative roughness"):
        colebrook_velocity(0.1, 0.01, 0.01)
    with pytest.raises(RangeError, match="slope"):
        colebrook_velocity(0.1, 0.0, 1e-4)

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError
from teewright.fabric.lines import line, line_through_origin

VALUES = st.lists(st.floats(-100.0, 100.0), min_size=4, max_size=12)


@given(VALUES, st.integers(0, 1000))
@settings(max_examples=50)
def test_the_residuals_lean_neither_way(values: list[float], seed: int) -> None:
    y = np.array(values)
    x = np.random.default_rng(seed).uniform(0.5, 3.0, len(y))
    free, held = line(x, y), line_through_origin(x, y)
    rest = y - free.slope * x - free.intercept
    assert rest.sum() == pytest.approx(0.0, abs=1e-8)
    assert rest @ x == pytest.approx(0.0, abs=1e-8)
    assert (y - held.slope * x) @ x == pytest.approx(0.0, abs=1e-8)
    assert free.residual == pytest.approx(math.sqrt(rest @ rest / (len(y) - 2)))
    assert free.largest == pytest.approx(np.abs(rest).max())


def test_units_cost_no_digits() -> None:
    x = np.array([1.0, 2.0, 4.0])
    y = np.array([2.1, 3.9, 8.3])
    one, other = line(x, y), line(1e-9 * x, 1e9 * y)
    assert other.slope == pytest.approx(1e18 * one.slope, rel=1e-12)
    assert other.intercept_error == pytest.approx(1e9 * one.intercept_error, rel=1e-9)


def test_too_little_is_refused_or_told() -> None:
    with pytest.raises(InputError, match="too few"):
        line(np.array([1.0, 1.0]), np.array([1.0, 2.0]))
    with pytest.raises(InputError, match="too few"):
        line_through_origin(np.zeros(3), np.ones(3))
    assert math.isnan(line_through_origin(np.array([2.0]), np.array([3.0])).residual)

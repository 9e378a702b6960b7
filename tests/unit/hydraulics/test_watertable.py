import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import solve_banded

from teewright.errors import InputError, RangeError
from teewright.hydraulics.watertable import (
    LevelSeries,
    level_at,
    span_levels,
    tide_inland,
)

HOUR = 3600.0
TIDE = LevelSeries((0.0, 6 * HOUR, 12 * HOUR, 18 * HOUR), (1.0, 3.0, 0.5, 2.5), "gauge at the quay")


def test_the_peak_within_a_span_is_found() -> None:
    found = span_levels(TIDE, 4 * HOUR, 13 * HOUR)
    assert (found.greatest, found.greatest_at) == (3.0, 6 * HOUR)
    assert (found.least, found.least_at) == (0.5, 12 * HOUR)
    assert found.longest_gap == 6 * HOUR


def test_between_readings_the_ends_count() -> None:
    found = span_levels(TIDE, 1 * HOUR, 2 * HOUR)
    assert found.greatest == pytest.approx(1.0 + 2.0 * 2.0 / 6.0)
    assert found.least == pytest.approx(1.0 + 2.0 / 6.0)
    assert found.longest_gap == 6 * HOUR
    assert level_at(TIDE, 9 * HOUR) == pytest.approx(1.75)


SERIES = st.lists(
    st.tuples(st.floats(1.0, 1e4), st.floats(-5.0, 5.0)), min_size=2, max_size=12
).map(
    lambda steps: LevelSeries(
        tuple(float(t) for t in np.cumsum([step for step, _ in steps])),
        tuple(level for _, level in steps),
        "made up",
    )
)


@given(SERIES, st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
@settings(max_examples=150, deadline=None)
def test_no_moment_of_the_span_is_outside(
    series: LevelSeries, one: float, other: float, at: float
) -> None:
    first, last = series.times[0], series.times[-1]
    start, end = sorted(min(first + share * (last - first), last) for share in (one, other))
    found = span_levels(series, start, end)
    moment = min(max(start + at * (end - start), start), end)
    assert found.least - 1e-12 <= level_at(series, moment) <= found.greatest + 1e-12
    assert level_at(series, found.greatest_at) == pytest.approx(found.greatest, abs=1e-12)
    assert level_at(series, found.least_at) == pytest.approx(found.least, abs=1e-12)


def test_nothing_is_told_beyond_the_readings() -> None:
    with pytest.raises(RangeError, match="gauge at the quay"):
        span_levels(TIDE, -1.0, HOUR)
    with pytest.raises(RangeError, match="end of the span"):
        span_levels(TIDE, 0.0, 19 * HOUR)
    with pytest.raises(InputError, match="before the start"):
        span_levels(TIDE, 2 * HOUR, HOUR)
    with pytest.raises(RangeError, match="time"):
        level_at(TIDE, math.nan)


@pytest.mark.parametrize(
    ("times", "levels"), [((), ()), ((0.0, 0.0), (1.0, 1.0)), ((0.0, 1.0), (1.0,))]
)
def test_what_is_no_series_is_refused(times: tuple[float, ...], levels: tuple[float, ...]) -> None:
    with pytest.raises(InputError, match="is not a series"):
        level_at(LevelSeries(times, levels, "x"), 0.0)


def test_a_level_that_is_none_is_refused() -> None:
    with pytest.raises(RangeError, match="level"):
        level_at(LevelSeries((0.0,), (math.nan,), "x"), 0.0)


def test_the_tide_inland_by_finite_differences() -> None:
    """i omega h = (T/S) h'' with h = 1 at the bank: an even tide, solved on a grid."""
    diffusivity, period, reach, n = 2.0, 44714.0, 1500.0, 6000
    omega, step = 2.0 * math.pi / period, reach / n
    main = np.full(n, -2.0 - 1j * omega * step**2 / diffusivity)
    matrix = np.zeros((3, n), dtype=complex)
    matrix[0, 1:], matrix[1], matrix[2, :-1] = 1.0, main, 1.0
    right = np.zeros(n, dtype=complex)
    right[0] = -1.0
    h = solve_banded((1, 1), matrix, right)
    for x in (50.0, 200.0, 400.0):
        inner = h[round(x / step) - 1]
        share, lag = tide_inland(x, diffusivity, period)
        assert share == pytest.approx(abs(inner), rel=1e-3)
        assert lag == pytest.approx(-np.angle(inner) / omega % period, rel=1e-3)


def test_at_the_bank_the_tide_is_whole() -> None:
    assert tide_inland(0.0, 1.0, 44714.0) == (1.0, 0.0)
    with pytest.raises(RangeError, match="diffusivity"):
        tide_inland(10.0, 0.0, 44714.0)

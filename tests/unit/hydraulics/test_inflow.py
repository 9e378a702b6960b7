import math

import numpy as np
import pytest
from scipy.integrate import quad

from teewright.errors import InputError
from teewright.hydraulics.inflow import (
    DAY,
    Inflow,
    Since,
    block_rain,
    daily_shower,
    hourly_series,
    inflow_at,
    inflow_volume,
    measured_series,
    shower_by_hour,
    triangular_rain,
)
from teewright.hydraulics.series import Series, series_flow, series_volume
from teewright.units import HOUR

PATTERN = tuple(1.0 + 0.8 * math.sin(math.pi * hour / 12.0) for hour in range(24))
MEASURED = measured_series((1800.0, 30000.0, 60000.0), (0.002, 0.006, 0.004))


def test_the_flow_of_an_hour_stands_for_that_hour() -> None:
    series = hourly_series(0.004, PATTERN)
    at = np.array([0.0, 1800.0, 3599.9, 3600.0, 23.5 * 3600.0, DAY + 1800.0])
    hours = [0, 0, 0, 1, 23, 0]
    assert series_flow(series, at) == pytest.approx([0.004 * PATTERN[h] for h in hours])
    assert float(series_volume(series, np.array(DAY))) == pytest.approx(0.004 * 86400.0)


def test_a_measured_day_runs_straight_between_its_readings_and_over_midnight() -> None:
    at = np.array([15900.0, 30000.0, 45000.0, 60000.0, 60000.0 + 14100.0, DAY])
    edge = 0.004 - 0.002 * 26400.0 / 28200.0
    assert series_flow(MEASURED, at) == pytest.approx([0.004, 0.006, 0.005, 0.004, 0.003, edge])
    assert float(series_flow(MEASURED, np.array(0.0))) == pytest.approx(edge)


@pytest.mark.parametrize("series", [MEASURED, hourly_series(0.004, PATTERN)])
def test_volume_is_the_integral_of_the_flow(series: Series) -> None:
    ends = [0.0, 1000.0, 50000.0, 80000.0, DAY + 5000.0]
    found = np.diff(series_volume(series, np.array(ends)))
    for volume, a, b in zip(found, ends, ends[1:], strict=False):
        grid = (np.arange(100000) + 0.5) * (b - a) / 100000 + a
        # the midpoint rule misses up to half a cell at each step of the pattern
        assert volume == pytest.approx(series_flow(series, grid).mean() * (b - a), rel=1e-5)


def test_showers_hold_their_volume_and_end() -> None:
    triangle = triangular_rain(0.01, 600.0, 1200.0, start=300.0)
    block = block_rain(0.01, 900.0, start=300.0)
    at = np.array([0.0, 300.0, 600.0, 900.0, 1500.0, 2100.0, 9000.0])
    expected = [0.0, 0.0, 0.005, 0.01, 0.005, 0.0, 0.0]
    assert series_flow(triangle.series, at) == pytest.approx(expected)
    assert series_flow(block.series, at)[1:4] == pytest.approx([0.01, 0.01, 0.01])
    assert series_flow(block.series, np.array([0.0, 1200.0])) == pytest.approx([0.0, 0.0])
    whole = np.array([-10.0, 1e5])
    assert np.diff(series_volume(triangle.series, whole))[0] == pytest.approx(9.0)
    assert np.diff(series_volume(block.series, whole))[0] == pytest.approx(9.0)


@pytest.mark.parametrize("since", [Since.HOLD, Since.MIDNIGHT])
def test_the_parts_add(since: Since) -> None:
    rain = triangular_rain(0.01, 600.0, 1200.0, start=4000.0, since=since)
    inflow = Inflow(MEASURED, 0.0005, rain)
    starts = np.array([0.0, 3000.0, 80000.0])
    after = np.array([5400.0])
    for start, volume in zip(starts, inflow_volume(inflow, starts, after), strict=True):

        def flow(t: float, start: float = start) -> float:
            return float(inflow_at(inflow, np.array(start), np.array(t)))

        breaks = [b - (start if since is Since.MIDNIGHT else 0.0) for b in (4000.0, 4600.0, 5800.0)]
        exact, _ = quad(flow, 0.0, 5400.0, points=[b for b in breaks if 0 < b < 5400.0], limit=200)
        assert volume == pytest.approx(exact, rel=1e-6)


@pytest.mark.parametrize(
    ("start", "duration"), [(0.0, 1.0), (22.5, 1.0), (23.0, 1.0), (23.5, 3.0), (5.0, 24.0)]
)
def test_a_shower_of_any_day_falls_whole_on_each(start: float, duration: float) -> None:
    rain = daily_shower(2e-3, duration * HOUR, start=start * HOUR)
    day = series_volume(rain.series, np.array([24.0, 48.0, 72.0]) * HOUR)
    assert np.diff(day) == pytest.approx(2e-3 * duration * HOUR)
    during = (start + np.array([0.01, duration / 2.0, duration - 0.01])) * HOUR
    assert series_flow(rain.series, during) == pytest.approx(2e-3)
    if duration < 24.0:
        outside = (start + duration + np.array([0.01, 24.0 - duration - 0.01])) * HOUR
        assert series_flow(rain.series, outside) == pytest.approx(0.0)
    hours = shower_by_hour(rain)
    shut = {int(h % 24) for h in np.arange(start, start + duration, 0.25)}
    assert {h for h, flow in enumerate(hours) if flow > 0.0} == shut
    assert max(hours) == 2e-3


@pytest.mark.parametrize(
    ("times", "flows"),
    [
        ((0.0, 0.0), (1e-3, 1e-3)),
        ((0.0, 10.0), (1e-3,)),
        ((0.0, 90000.0), (1e-3, 1e-3)),
        ((0.0, 10.0), (1e-3, -1e-3)),
        ((0.0, math.nan), (1e-3, 1e-3)),
        ((), ()),
    ],
)
def test_what_is_no_day_is_refused(times: tuple[float, ...], flows: tuple[float, ...]) -> None:
    with pytest.raises(InputError, match="measured flow"):
        measured_series(times, flows)


def test_patterns_and_showers_that_cannot_be_are_refused() -> None:
    with pytest.raises(InputError, match="flow pattern"):
        hourly_series(1e-3, (1.0,) * 23)
    with pytest.raises(InputError, match="rain"):
        block_rain(1e-3, 0.0)
    with pytest.raises(InputError, match="rain"):
        triangular_rain(-1e-3, 10.0, 10.0)

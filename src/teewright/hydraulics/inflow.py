"""What flows to a blocked main: dry weather by the hour, infiltration and a shower.

Everything is kept as flows at times, so that the volume between two times is exact: the
balance over a hold then closes whatever its steps are.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from teewright.errors import InputError
from teewright.hydraulics.series import Series, check_series, series_flow, series_volume
from teewright.numerics.limits import within
from teewright.units import HOUR

FloatArray = NDArray[np.float64]

HOURS = 24
DAY = HOURS * HOUR
"""Day [s]."""
FLOW = (0.0, 10.0)
"""Flows [m3/s]."""


class Since(StrEnum):
    """From when the times of a shower count."""

    MIDNIGHT = "midnight"
    HOLD = "start of the hold"


@dataclass(frozen=True, slots=True)
class Rain:
    """Inflow of a shower, a scenario.

    Attributes:
        series: Flows at times, see `block_rain` and `triangular_rain`.
        since: From when the times count.
        note: Where the scenario came from.
    """

    series: Series
    since: Since = Since.HOLD
    note: str = ""


@dataclass(frozen=True, slots=True)
class Inflow:
    """All that flows to the place of the packer.

    Attributes:
        dry: Dry-weather flow through the day, from midnight.
        infiltration: Constant [m3/s].
        rain: A shower, or None.
    """

    dry: Series
    infiltration: float = 0.0
    rain: Rain | None = None


def hourly_series(mean_flow: float, pattern: tuple[float, ...] = ()) -> Series:
    """Dry-weather flow from its mean and 24 hourly factors.

    Args:
        mean_flow: Mean of the day [m3/s].
        pattern: Factors from midnight, each for one hour, or empty for a steady flow [-].

    Returns:
        The series, stepwise, of one day that comes again.

    Raises:
        InputError: The pattern does not have 24 factors of 0 or more.
        RangeError: The flow is out of range.
    """
    within(mean_flow, FLOW, quantity="mean flow", unit="m3/s", law="dry weather")
    factors = pattern or (1.0,) * HOURS
    if len(factors) != HOURS or not all(0.0 <= factor < math.inf for factor in factors):
        raise InputError(
            f"has {len(factors)} factors",
            field="flow pattern",
            value=pattern,
            allowed="24 hourly factors of the mean flow, each 0 or more, or none",
        )
    times = tuple(HOUR * hour for hour in range(HOURS))
    return Series(times, tuple(mean_flow * f for f in factors), stepwise=True, period=DAY)


def measured_series(times: tuple[float, ...], flows: tuple[float, ...]) -> Series:
    """Dry-weather flow as measured over one day; straight between two readings.

    Args:
        times: Of the readings, ascending, from midnight and before 24 h [s].
        flows: Readings [m3/s].

    Returns:
        The series of one day that comes again: from the last reading straight to the first.

    Raises:
        InputError: Times and flows cannot be a day.
    """
    series = Series(times, flows, period=DAY)
    check_series(series, field="measured flow")
    return series


def block_rain(
    peak: float, duration: float, *, start: float = 0.0, since: Since = Since.HOLD
) -> Rain:
    """A shower whose inflow is constant while it lasts.

    Args:
        peak: Inflow while it lasts [m3/s].
        duration: [s].
        start: After midnight or after the start of the hold [s].
        since: Which of both.

    Returns:
        The scenario.

    Raises:
        InputError: The duration is not above 0, or the inflow is negative.
    """
    series = Series((start, start + duration), (peak, 0.0), stepwise=True)
    check_series(series, field="block of rain")
    return Rain(series, since, "block")


def triangular_rain(
    peak: float, rise: float, fall: float, *, start: float = 0.0, since: Since = Since.HOLD
) -> Rain:
    """A shower whose inflow rises straight to its peak and falls straight to nothing.

    Args:
        peak: Greatest inflow [m3/s].
        rise: Time from its beginning to the peak [s].
        fall: Time from the peak to its end [s].
        start: After midnight or after the start of the hold [s].
        since: Which of both.

    Returns:
        The scenario.

    Raises:
        InputError: A time is not above 0, or the inflow is negative.
    """
    series = Series((start, start + rise, start + rise + fall), (0.0, peak, 0.0))
    check_series(series, field="triangle of rain")
    return Rain(series, since, "triangle")


def daily_shower(peak: float, duration: float, *, start: float) -> Rain:
    """A block of rain that may fall on any day: a hold that passes midnight meets it too.

    Args:
        peak: Inflow while it lasts [m3/s].
        duration: [s]; from a day on it never ends.
        start: After midnight, before 24 h [s].

    Returns:
        The scenario.

    Raises:
        InputError: The duration is not above 0, the start is no time of the day, or the inflow
            is negative.
    """
    end = start + duration
    if duration >= DAY:
        series = Series((0.0,), (peak,), stepwise=True, period=DAY)
    elif end < DAY:
        series = Series((start, end), (peak, 0.0), stepwise=True, period=DAY)
    else:
        series = Series((end - DAY, start), (0.0, peak), stepwise=True, period=DAY)
    check_series(series, field="block of rain")
    return Rain(series, Since.MIDNIGHT, "block, each day")


def shower_by_hour(rain: Rain | None) -> tuple[float, ...]:
    """Greatest inflow of a shower of the day in each hour.

    Args:
        rain: Stepwise and of one day, as of `daily_shower`, or None.

    Returns:
        24 flows from midnight [m3/s]; empty where there is no shower.
    """
    if rain is None:
        return ()
    begins = HOUR * np.arange(HOURS)
    changes = np.asarray(rain.series.times)
    at = np.concatenate((begins, changes))
    flows = series_flow(rain.series, at)
    hour = np.floor(at / HOUR).astype(int)
    return tuple(float(flows[hour == h].max()) for h in range(HOURS))


def inflow_at(inflow: Inflow, start: FloatArray, after: FloatArray) -> FloatArray:
    """Inflow at times after the starts of holds.

    Args:
        inflow: All that flows to the place.
        start: Starts, from midnight [s].
        after: Times after the start, of a shape that goes with `start` [s].

    Returns:
        Flows [m3/s].
    """
    flow = series_flow(inflow.dry, start + after) + inflow.infiltration
    if inflow.rain is not None:
        clock = after + 0.0 * start if inflow.rain.since is Since.HOLD else start + after
        flow = flow + series_flow(inflow.rain.series, clock)
    return np.asarray(flow, dtype=np.float64)


def inflow_volume(inflow: Inflow, start: FloatArray, after: FloatArray) -> FloatArray:
    """Volume that flows in from the starts of holds to times after them, exactly [m3].

    Args:
        inflow: All that flows to the place.
        start: Starts, from midnight [s].
        after: Times after the start, of a shape that goes with `start` [s].

    Returns:
        Volumes [m3].
    """
    volume = series_volume(inflow.dry, start + after) - series_volume(inflow.dry, start + 0.0)
    volume = volume + inflow.infiltration * after
    if inflow.rain is not None:
        begin = 0.0 * start if inflow.rain.since is Since.HOLD else start + 0.0
        shower = inflow.rain.series
        volume = volume + series_volume(shower, begin + after) - series_volume(shower, begin)
    return np.asarray(volume, dtype=np.float64)

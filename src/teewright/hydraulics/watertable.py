"""Groundwater that moves: levels over time, the greatest and the least head in a span.

A tide or a river moves the groundwater beside it; a collar cures for hours, so that the level
of the moment is not the level that counts.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from teewright.errors import InputError
from teewright.numerics.limits import within

LEVEL = (-500.0, 9000.0)
"""Levels above the datum of a project [m]."""
DISTANCE = (0.0, 1e5)
"""Distances from the bank [m]."""
DIFFUSIVITY = (1e-8, 1e4)
"""Transmissivity over storage coefficient of the ground [m2/s]."""
PERIOD = (60.0, 4e7)
"""Periods of a tide or of another even wave [s]."""
FERRIS = "tide in the ground beside open water (Ferris 1951)"


@dataclass(frozen=True, slots=True)
class LevelSeries:
    """Levels of groundwater, tide or river over time.

    Attributes:
        times: Of the readings, ascending, from any one moment that the user keeps to [s].
        levels: Above the datum of the project, one for each time [m].
        source: Where they came from.
    """

    times: tuple[float, ...]
    levels: tuple[float, ...]
    source: str


@dataclass(frozen=True, slots=True)
class LevelSpan:
    """Levels while something lasts.

    Attributes:
        greatest: Above the datum [m].
        greatest_at: When it is reached first [s].
        least: Above the datum [m].
        least_at: When it is reached first [s].
        longest_gap: Longest time between two readings that bear on the span [s]; a peak
            between them would not be seen.
    """

    greatest: float
    greatest_at: float
    least: float
    least_at: float
    longest_gap: float


def level_at(series: LevelSeries, time: float) -> float:
    """Level at a time, on a straight line between the readings.

    Args:
        series: The readings.
        time: On the clock of the series [s].

    Returns:
        Level above the datum [m].

    Raises:
        InputError: The readings are not a series.
        RangeError: The time is outside the readings, or a level is none.
    """
    check_series(series)
    ends = (series.times[0], series.times[-1])
    within(time, ends, quantity="time", unit="s", law=f"the levels of {series.source}")
    return _between(series, time)


def span_levels(series: LevelSeries, start: float, end: float) -> LevelSpan:
    """Greatest and least level in a span of time, its ends counted.

    Between two readings the level is taken as a straight line, so that both stand at a reading
    or at an end of the span. Nothing is told beyond the readings.

    Args:
        series: The readings.
        start: Of the span [s].
        end: Of the span, not before its start [s].

    Returns:
        Both levels with their times.

    Raises:
        InputError: The readings are not a series, or the span ends before it starts.
        RangeError: The span is not covered by the readings, or a level is none.
    """
    check_series(series)
    if not start <= end:
        raise InputError(
            "is before the start", field="end of the span", value=end, allowed=f"from {start:g} s"
        )
    law = f"the levels of {series.source}"
    ends = (series.times[0], series.times[-1])
    for name, time in (("start of the span", start), ("end of the span", end)):
        within(time, ends, quantity=name, unit="s", law=law)
    inner = [(t, z) for t, z in zip(series.times, series.levels, strict=True) if start < t < end]
    points = [(start, _between(series, start)), *inner, (end, _between(series, end))]
    greatest_at, greatest = max(points, key=lambda point: point[1])
    least_at, least = min(points, key=lambda point: point[1])
    gaps = [b - a for a, b in pairwise(series.times) if b > start and a < end]
    return LevelSpan(greatest, greatest_at, least, least_at, max(gaps, default=0.0))


def tide_inland(distance: float, diffusivity: float, period: float) -> tuple[float, float]:
    """What is left of an even tide inland, and how late it comes.

    Amplitude h/h_0 = exp(-x sqrt(pi S/(t_0 T))), lag t_L = x sqrt(t_0 S/(4 pi T)), for a
    confined aquifer of even thickness that ends at the open water (Ferris, Cyclic fluctuations
    of water level as a basis for determining aquifer transmissibility, 1951). Without figures
    for the ground, take the tide undamped: that is the greatest it can be.

    Args:
        distance: From the bank, x [m].
        diffusivity: Transmissivity over storage coefficient, T/S [m2/s].
        period: Of the tide, t_0 [s].

    Returns:
        (share of the amplitude left [-], lag [s]).

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(distance, DISTANCE, quantity="distance from the bank", unit="m", law=FERRIS)
    within(diffusivity, DIFFUSIVITY, quantity="diffusivity", unit="m2/s", law=FERRIS)
    within(period, PERIOD, quantity="period", unit="s", law=FERRIS)
    share = math.exp(-distance * math.sqrt(math.pi / (period * diffusivity)))
    return share, distance * math.sqrt(period / (4.0 * math.pi * diffusivity))


def check_series(series: LevelSeries) -> None:
    """Refuse readings that are not a series.

    Raises:
        InputError: No readings, times that do not ascend, or not one level for each time.
        RangeError: A level that is none.
    """
    times, levels = series.times, series.levels
    ascending = all(a < b for a, b in pairwise(times)) and all(map(math.isfinite, times))
    if not times or len(times) != len(levels) or not ascending:
        raise InputError(
            "is not a series",
            field=f"levels of {series.source}",
            value=f"{len(times)} times, {len(levels)} levels",
            allowed="times ascending, one level for each, at least one",
        )
    for level in levels:
        within(level, LEVEL, quantity="level", unit="m", law=f"the levels of {series.source}")


def _between(series: LevelSeries, time: float) -> float:
    points = zip(series.times, series.levels, strict=True)
    for (t0, z0), (t1, z1) in pairwise(points):
        if time <= t1:
            at = (time - t0) / (t1 - t0)
            return min(max(z0 * (1.0 - at) + z1 * at, min(z0, z1)), max(z0, z1))
    return series.levels[-1]

"""Groundwater at one connection that follows a tide or a river."""

import math
from dataclasses import dataclass
from itertools import pairwise

from teewright.hydraulics.watertable import FERRIS, LevelSeries, span_levels, tide_inland
from teewright.network.conditions import Site
from teewright.network.levels import Levels
from teewright.trace import Origin, TraceRow

UNDAMPED = "taken undamped, the most that it can be"
"""Source of a share of 1 where nobody told of the ground."""


@dataclass(frozen=True, slots=True)
class Swing:
    """How the groundwater at a connection swings with the open water.

    Attributes:
        greatest: That the open water brings, above the datum [m].
        least: Likewise where the groundwater has no level of its own, above the datum [m].
        fall: From the greatest to the least [m].
        source: Where the levels of the open water came from.
        trace: Numbers in checking order.
    """

    greatest: float
    least: float
    fall: float
    source: str
    trace: tuple[TraceRow, ...]


def swing_of(site: Site, levels: Levels) -> Swing | None:
    """The swing at a connection: that of the open water about its mean, damped on its way.

    The groundwater is taken to swing about the mean level of the open water over the readings,
    weighted by time, and by the share of the swing that the ground lets through (Ferris 1951);
    undamped where the ground or the distance is not told. Greatest and least count over all
    readings, because a design does not know its day. Swings add up (the law is linear), so that
    groundwater with a level of its own falls by as much from the highest that is known.

    Args:
        site: Its levels of open water and the damping.
        levels: At the connection; the distance from the bank counts.

    Returns:
        The swing, or None where no levels of open water are told.

    Raises:
        InputError: The times of the readings do not ascend.
        RangeError: A level, distance or figure of the ground outside the ranges of
            `teewright.hydraulics.watertable`.
    """
    if not site.water_levels:
        return None
    source = site.water_levels_source or "levels of the open water"
    series = _series(site, source)
    span = span_levels(series, 0.0, series.times[-1])
    mean = _mean(series)
    share, ground = _share(site, levels)
    greatest = mean + share * (span.greatest - mean)
    least, fall = mean + share * (span.least - mean), share * (span.greatest - span.least)
    given = Origin.INPUT
    rows = (
        TraceRow("open water, greatest", "z_o,max", span.greatest, "m", "", source, given),
        TraceRow("open water, least", "z_o,min", span.least, "m", "", source, given),
        TraceRow("open water, mean over the readings", "z_o", mean, "m", "∫ z dt / ∫ dt"),
        *ground,
        TraceRow(
            "groundwater by it, greatest", "z_g,max", greatest, "m", "z_o + s_o (z_o,max − z_o)"
        ),
        TraceRow("its fall with the open water", "Δz_g", fall, "m", "s_o (z_o,max − z_o,min)"),
    )
    return Swing(greatest, least, fall, source, rows)


def _series(site: Site, source: str) -> LevelSeries:
    first = site.water_levels[0].time
    times = tuple((reading.time - first).total_seconds() for reading in site.water_levels)
    return LevelSeries(times, tuple(reading.level for reading in site.water_levels), source)


def _mean(series: LevelSeries) -> float:
    """Of straight lines between the readings, over time [m above datum]."""
    if len(series.times) == 1:
        return series.levels[0]
    points = zip(series.times, series.levels, strict=True)
    swept = math.fsum((t1 - t0) * (z0 + z1) / 2.0 for (t0, z0), (t1, z1) in pairwise(points))
    return swept / (series.times[-1] - series.times[0])


def _share(site: Site, levels: Levels) -> tuple[float, tuple[TraceRow, ...]]:
    name, symbol = "share of its swing that the ground lets through", "s_o"
    ground, distance = site.damping, levels.bank
    if ground is None or distance is None:
        return 1.0, (TraceRow(name, symbol, 1.0, "%", "", UNDAMPED, Origin.ASSUMED),)
    share, _ = tide_inland(distance, ground.diffusivity, ground.period)
    told = ground.source or "site"
    return share, (
        TraceRow("distance from the bank", "x_o", distance, "m", "", "site", Origin.INPUT),
        TraceRow("period of the swing", "t_0", ground.period, "h", "", told, Origin.INPUT),
        TraceRow("diffusivity of the ground", "D_g", ground.diffusivity, "m2/s", "", told,
                 Origin.INPUT),
        TraceRow(name, symbol, share, "%", "exp(−x_o √(π / (t_0 D_g)))", FERRIS),
    )  # fmt: skip

"""Flows at times, straight between them or standing until the next, and their exact volume."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.errors import InputError
from teewright.units import HOUR

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Series:
    """Flows at times.

    Attributes:
        times: Ascending [s].
        flows: At these times [m3/s].
        stepwise: Whether a flow stands until the next time; otherwise it runs straight to the
            next one.
        period: After which the series begins again [s], or 0 where it does not: the flow is
            then 0 before the first and from the last time on.
    """

    times: tuple[float, ...]
    flows: tuple[float, ...]
    stepwise: bool = False
    period: float = 0.0


def check_series(series: Series, *, field: str) -> None:
    """Refuse flows at times that cannot be.

    Raises:
        InputError: Times not ascending, a flow negative or missing, or times past the period.
    """
    times = np.asarray(series.times, dtype=np.float64)
    flows = np.asarray(series.flows, dtype=np.float64)
    paired = times.size == flows.size > 0
    ascending = bool(np.isfinite(times).all() and (np.diff(times) > 0.0).all())
    usable = bool(np.isfinite(flows).all() and (flows >= 0.0).all())
    inside = not series.period or (paired and times[0] >= 0.0 and times[-1] < series.period)
    if not (paired and ascending and usable and inside):
        raise InputError(
            "cannot be a flow",
            field=field,
            value=f"{times.size} times, {flows.size} flows",
            allowed="as many flows of 0 or more as times, the times ascending"
            + (f" from 0 to {series.period / HOUR:g} h" if series.period else ""),
        )


def series_flow(series: Series, at: FloatArray) -> FloatArray:
    """Flow of a series at times [m3/s].

    Args:
        series: Flows at times.
        at: Times, any shape [s].

    Returns:
        Flows [m3/s], the shape of `at`.
    """
    times, flows, slopes, _ = _pieces(series)
    local, _ = _wrapped(series, np.asarray(at, dtype=np.float64))
    piece = np.searchsorted(times, local, side="right") - 1
    inside = piece >= 0
    piece = np.maximum(piece, 0)
    flow = flows[piece] + slopes[piece] * (local - times[piece])
    return np.asarray(np.where(inside, flow, 0.0), dtype=np.float64)


def series_volume(series: Series, until: FloatArray) -> FloatArray:
    """Volume of a series from time 0 (negative before it) to given times, exactly [m3].

    Args:
        series: Flows at times.
        until: Times, any shape [s].

    Returns:
        Volumes [m3]; the difference of two is what flowed between them.
    """
    times, flows, slopes, volumes = _pieces(series)
    local, rounds = _wrapped(series, np.asarray(until, dtype=np.float64))
    piece = np.searchsorted(times, local, side="right") - 1
    inside = piece >= 0
    piece = np.maximum(piece, 0)
    past = local - times[piece]
    within_round = volumes[piece] + past * (flows[piece] + 0.5 * slopes[piece] * past)
    volume = np.where(inside, within_round, 0.0) + rounds * volumes[-1]
    return np.asarray(volume, dtype=np.float64)


def _wrapped(series: Series, at: FloatArray) -> tuple[FloatArray, FloatArray]:
    if not series.period:
        return at, np.zeros_like(at)
    rounds = np.floor(at / series.period)
    return at - rounds * series.period, rounds


def _pieces(series: Series) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Starts of the pieces, flow at each, its slope, and the volume up to it (and in all)."""
    times = np.asarray(series.times, dtype=np.float64)
    flows = np.asarray(series.flows, dtype=np.float64)
    if series.period:
        times, flows = _whole_round(times, flows, series.period, stepwise=series.stepwise)
    lengths = np.diff(times)
    slopes = np.zeros_like(times)
    if not series.stepwise:
        slopes[:-1] = np.diff(flows) / lengths
    means = flows[:-1] + 0.5 * slopes[:-1] * lengths
    volumes = np.concatenate(([0.0], np.cumsum(means * lengths)))
    last = flows.copy()
    # from the last time of a series that ends there is no flow
    last[-1] = last[-1] if series.period else 0.0
    return times, last, slopes, volumes


def _whole_round(
    times: FloatArray, flows: FloatArray, period: float, *, stepwise: bool
) -> tuple[FloatArray, FloatArray]:
    """The series from 0 to its period, both included."""
    if stepwise:
        edge = flows[-1]
    else:
        gap = times[0] + period - times[-1]
        edge = flows[-1] + (flows[0] - flows[-1]) * (period - times[-1]) / gap
    if times[0] > 0.0:
        times, flows = np.concatenate(([0.0], times)), np.concatenate(([edge], flows))
    end = flows[0]
    return np.concatenate((times, [period])), np.concatenate((flows, [end]))

"""Readings of one installation against their limits: pressure while held, and the leak test."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from teewright.report import letters, words
from teewright.report.figures.reader import METRIC, Axis, Units
from teewright.report.pen import (
    BLUE,
    GREY,
    HAIR,
    INK,
    MID,
    PAPER,
    THIN,
    Lettering,
    Pen,
    Point,
    Stroke,
)

WIDTH, HEIGHT = 84.0, 62.0
_LEFT, _RIGHT, _TOP, _FOOT = 12.0, 79.0, 4.0, 54.0
_STEPS = (1.0, 2.0, 5.0)
_MINUTES = (5, 10, 15, 30, 60, 120, 180, 360, 720, 1440)
_NARROW, _HATCH = 1.0, 2.2
_BESIDE = 6.0
"""So far from the last figure of the axis its unit may stand beside it [mm]."""


@dataclass(frozen=True, slots=True)
class Held:
    """Pressure in the packer from mixing to the way out.

    Attributes:
        readings: (time, gauge pressure [Pa]) each, as logged.
        mixed: When mixing started.
        last: End of the time axis.
        released: When it was released, or None.
        window: Lowest and highest pressure allowed while it is held [Pa].
        by: Latest full pressure.
        free: Earliest release.
    """

    readings: tuple[tuple[datetime, float], ...]
    mixed: datetime
    last: datetime
    released: datetime | None
    window: tuple[float, float]
    by: datetime
    free: datetime


@dataclass(frozen=True, slots=True)
class Leak:
    """Readings of a leak test.

    Attributes:
        unit: Metric unit in which they are shown, `mbar` or `l`.
        readings: (time [s], value [SI]) each.
        limit: Value that must not be passed within the time [SI].
        falls: Whether the value falls, as pressure does, or rises, as water added does.
        required: Test time [s].
    """

    unit: str
    readings: tuple[tuple[float, float], ...]
    limit: float
    falls: bool
    required: float


@dataclass(frozen=True, slots=True)
class _Axes:
    """Values to paper."""

    across: tuple[float, float]
    up: tuple[float, float]

    def x(self, value: float) -> float:
        low, high = self.across
        share = (value - low) / ((high - low) or 1.0)
        return _LEFT + (_RIGHT - _LEFT) * min(max(share, 0.0), 1.0)

    def y(self, value: float) -> float:
        low, high = self.up
        share = (value - low) / ((high - low) or 1.0)
        return _FOOT - (_FOOT - _TOP) * min(max(share, 0.0), 1.0)


def _round_step(span: float, most: int) -> float:
    """A step of 1, 2 or 5 times a power of ten that gives at most so many ticks."""
    least = span / most
    power = 10.0 ** math.floor(math.log10(least)) if least > 0.0 else 1.0
    return next((power * s for s in _STEPS if power * s >= least - 1e-12), power * 10.0)


def _heights(pen: Pen, axes: _Axes, unit: str) -> None:
    low, high = axes.up
    step = _round_step(high - low, 5)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    pen.line((_LEFT, _TOP), (_LEFT, _FOOT), THIN)
    pen.line((_LEFT, _FOOT), (_RIGHT, _FOOT), THIN)
    pen.text((0.0, 3.0), unit)
    for k in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
        y = axes.y(k * step)
        pen.line((_LEFT - 1.2, y), (_LEFT, y), THIN)
        pen.text((_LEFT - 2.0, y + 1.0), f"{k * step:.{decimals}f}", Lettering(anchor="end"))


def held(found: Held, units: Units = METRIC) -> str:
    """Pressure over the clock: not allowed is hatched, deadlines are blue.

    Args:
        found: What was logged.
        units: Of the axis of pressures.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, HEIGHT)
    bar = units.gauge["bar"]
    low, high = (p / bar.one for p in found.window)
    top = max([high, *(p / bar.one for _, p in found.readings)]) * 1.12
    minutes = (found.last - found.mixed).total_seconds() / 60.0
    axes = _Axes((0.0, max(minutes, 1.0)), (0.0, top))
    at = _minutes_from(found.mixed)
    if found.readings:
        start = axes.x(at(found.readings[0][0]))
        end = axes.x(at(found.released or found.last))
        wide = max(end - start, 0.0)
        pen.hatch((start, axes.y(top)), (wide, axes.y(high) - axes.y(top)), step=_HATCH)
        pen.hatch((start, axes.y(low)), (wide, _FOOT - axes.y(low)), step=_HATCH)
        for level in (low, high):
            pen.line((start, axes.y(level)), (end, axes.y(level)), MID)
    _heights(pen, axes, bar.name)
    _clock(pen, axes, found.mixed, minutes)
    points = [(axes.x(at(t)), axes.y(p / bar.one)) for t, p in found.readings]
    _deadline(pen, axes.x(at(found.by)), f"by {words.at(found.by)}")
    free = f"from {words.at(found.free, up=True)}"
    if at(found.free) <= axes.across[1]:
        _deadline(pen, axes.x(at(found.free)), free)
    _curve(pen, points)
    if found.readings:
        middle = (axes.x(at(found.readings[0][0])) + axes.x(at(found.last))) / 2
        _plate(pen, (middle, axes.y(high) + 3.6), f"highest allowed {high:.{bar.decimals}f}")
        _plate(pen, (middle, axes.y(low) - 1.4), f"lowest allowed {low:.{bar.decimals}f}")
    return pen.svg()


def _minutes_from(start: datetime) -> "_Minutes":
    return _Minutes(start)


@dataclass(frozen=True, slots=True)
class _Minutes:
    start: datetime

    def __call__(self, moment: datetime) -> float:
        return (moment - self.start).total_seconds() / 60.0


def _clock(pen: Pen, axes: _Axes, start: datetime, minutes: float) -> None:
    """Ticks at round times of day."""
    every = next((m for m in _MINUTES if minutes / m <= 6.0), _MINUTES[-1])
    day = start.replace(hour=0, minute=0, second=0, microsecond=0)
    first = math.ceil((start - day).total_seconds() / 60.0 / every - 1e-9)
    moment = day + timedelta(minutes=first * every)
    while (moment - start).total_seconds() / 60.0 <= minutes:
        x = axes.x((moment - start).total_seconds() / 60.0)
        pen.line((x, _FOOT), (x, _FOOT + 1.2), THIN)
        pen.text((x, _FOOT + 4.6), words.at(moment), Lettering(anchor="middle"))
        moment += timedelta(minutes=every)


def _deadline(pen: Pen, x: float, text: str) -> None:
    """A blue line at the foot of the chart with its time beside it."""
    pen.line((x, _FOOT - 7.0), (x, _FOOT), Stroke(0.7, BLUE))
    wide = letters.width(text, 8.5, 700)
    left = x + 1.2 if x + wide + 2.0 <= _RIGHT else x - wide - 1.2
    pen.text((left, _FOOT - 3.2), text, Lettering(8.5, 700, "start", BLUE, plate=True))


def _curve(pen: Pen, points: Sequence[Point]) -> None:
    """Readings joined by straight lines, with a ring at each."""
    pen.path(points, Stroke(0.6, INK))
    if len(points) <= 40:
        for point in points:
            pen.circle(point, 0.8, THIN, PAPER)


def _plate(pen: Pen, at: Point, text: str) -> None:
    pen.text(at, text, Lettering(anchor="middle", plate=True))


def leak(found: Leak, units: Units = METRIC) -> str:
    """A leak test over its time: what is not allowed is hatched up to the test time.

    Args:
        found: Readings, at least one.
        units: Of the axis of readings.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, HEIGHT)
    gauge = units.gauge[found.unit]
    pairs = [(time, value / gauge.one) for time, value in found.readings]
    limit, values = found.limit / gauge.one, [value for _, value in pairs]
    low, high = min([limit, *values]), max([limit, *values])
    room = (high - low) * 0.2 or 1.0
    up = (low - room, high + room) if found.falls else (0.0, high + room)
    end = max([found.required, *(t for t, _ in found.readings)]) * 1.05
    axes = _Axes((0.0, end or 1.0), up)
    level, due = axes.y(limit), axes.x(found.required)
    if found.falls:
        pen.hatch((_LEFT, level), (due - _LEFT, _FOOT - level), step=_HATCH)
    else:
        pen.hatch((_LEFT, _TOP), (due - _LEFT, level - _TOP), step=_HATCH)
    pen.line((_LEFT, level), (due, level), MID)
    pen.line((due, _TOP), (due, _FOOT), THIN.coloured(GREY))
    _heights(pen, axes, gauge.name)
    _seconds(pen, axes, end)
    _curve(pen, [(axes.x(t), axes.y(v)) for t, v in pairs])
    _ends(pen, axes, found, gauge)
    return pen.svg()


def _ends(pen: Pen, axes: _Axes, found: Leak, gauge: Axis) -> None:
    """The limit and the reading that comes at or after the test time, in words."""
    at_most, decimals = found.limit / gauge.one, gauge.decimals
    level = axes.y(at_most) + (3.8 if found.falls else -1.4)
    # at the start, where the curve is farthest from its limit
    limit = f"limit {at_most:.{decimals}f} at {found.required:.0f} s"
    pen.text((_LEFT + 2.0, level), limit, Lettering(plate=True))
    later = [pair for pair in found.readings if pair[0] >= found.required - 1e-6]
    time, value = later[0] if later else found.readings[-1]
    value /= gauge.one
    x, y = axes.x(time), axes.y(value)
    pen.circle((x, y), 1.1, None, INK)
    text = f"{value:.{decimals}f} at {time:.0f} s"
    wide = letters.width(text, 8.5, 700)
    foot = _foot_of_words(y, falls=found.falls)
    left = min(max(x - wide / 2, _LEFT + _NARROW), _RIGHT - wide)
    pen.text((left, foot), text, Lettering(8.5, 700, plate=True))


def _foot_of_words(y: float, *, falls: bool) -> float:
    """Where words beside the last reading stand: on the side from which no curve comes."""
    below, above = y + 4.8, y - 2.0
    if falls:
        return below if below < _FOOT - 0.6 else above
    return above if above - 4.0 > _TOP else below


def _seconds(pen: Pen, axes: _Axes, end: float) -> None:
    step = _round_step(end, 5) if end > 0.0 else 1.0
    x = _LEFT
    for k in range(math.floor(end / step + 1e-9) + 1):
        x = axes.x(k * step)
        pen.line((x, _FOOT), (x, _FOOT + 1.2), THIN)
        pen.text((x, _FOOT + 4.6), f"{k * step:.0f}", Lettering(anchor="middle"))
    beside = x + _BESIDE <= _RIGHT
    pen.text((_RIGHT, _FOOT + (4.6 if beside else 7.8)), "s", Lettering(anchor="end"))
    pen.line((_RIGHT, _FOOT), (_RIGHT, _FOOT + 0.6), HAIR)

"""Level behind the packer while it blocks the main, with the places that it must not reach."""

import math
from dataclasses import dataclass

from teewright.hydraulics.values import FlowForecast
from teewright.job.values import PlannedHold
from teewright.report.figures.reader import METRIC, NARROW, Units, decimals_of, step_of, wide
from teewright.report.pen import GREY, HAIR, INK, THIN, Lettering, Pen, Stroke

WIDTH, HEIGHT = 170.0, 68.0
_LEFT, _RIGHT, _TOP, _FOOT = 14.0, 132.0, 8.0, 54.0
_PLACES = 3
"""Lowest places that get a line."""
_APART = 4.2
"""Least distance of two labels above each other [mm]."""
_BESIDE = 3.0
"""Least distance of two labels beside each other [mm]."""


@dataclass(frozen=True, slots=True)
class _Axes:
    """Time after the start and height over the invert at the packer on paper."""

    left: float
    right: float
    duration: float
    most: float
    step: float
    units: Units

    def x(self, seconds: float) -> float:
        return self.left + (self.right - self.left) * seconds / self.duration

    def y(self, height: float) -> float:
        return _FOOT - (_FOOT - _TOP) * height / self.most


def hold_figure(
    flow: FlowForecast | PlannedHold, units: Units = METRIC, *, narrow: bool = False
) -> str:
    """Height of the water over the invert at the packer, from the inflation to the release.

    Args:
        flow: Level of one connection, forecast or as planned.
        units: Of the axis of heights.
        narrow: For a narrow place: names stand on their lines, not beside them.

    Returns:
        SVG.
    """
    pen = Pen(NARROW if narrow else WIDTH, HEIGHT)
    lines = sorted((level - flow.invert, name) for name, level in flow.places)[:_PLACES]
    heights = [level - flow.invert for level in flow.levels]
    axes = _axes(flow.duration, max(*heights, *(h for h, _ in lines)), units, narrow=narrow)
    _frame(pen, axes)
    pen.path(
        [(axes.x(t), axes.y(h)) for t, h in zip(flow.times, heights, strict=True)],
        Stroke(0.6, INK),
    )
    for height, _ in lines:
        y = axes.y(height)
        pen.line((axes.left, y), (axes.right, y), THIN.dashed("2.2 1.0"))
    ends = [(axes.y(heights[-1]), "water"), *((axes.y(height), name) for height, name in lines)]
    (_on_lines if narrow else _beside)(pen, axes, sorted(ends))
    return pen.svg()


def _axes(duration: float, top: float, units: Units, *, narrow: bool) -> _Axes:
    step = step_of(1.05 * top / units.rise) * units.rise
    left, right = (9.0, NARROW - 2.0) if narrow else (_LEFT, _RIGHT)
    return _Axes(left, right, duration, step * math.ceil(1.05 * top / step - 1e-9), step, units)


def _beside(pen: Pen, axes: _Axes, ends: list[tuple[float, str]]) -> None:
    """Names right of their lines, moved down where two would meet."""
    foot = -math.inf
    for y, text in ends:
        foot = max(y + 1.0, foot + _APART)
        pen.text((axes.right + 2.0, foot), text)


def _on_lines(pen: Pen, axes: _Axes, ends: list[tuple[float, str]]) -> None:
    """Names on their lines, moved to the left where two would meet."""
    x, above = axes.right - 1.0, -math.inf
    for y, text in ends:
        x = x if y - above < _APART else axes.right - 1.0
        pen.text((x, y + 1.0), text, Lettering(anchor="end", plate=True))
        x, above = x - wide(text) - _BESIDE, y


def _frame(pen: Pen, axes: _Axes) -> None:
    pen.text((0.0, 3.4), f"{axes.units.rise_name} over the invert at the packer")
    pen.line((axes.left, _TOP), (axes.left, _FOOT), Stroke(THIN.width, INK))
    pen.line((axes.left, _FOOT), (axes.right, _FOOT), Stroke(THIN.width, INK))
    decimals = decimals_of(axes.step / axes.units.rise)
    for k in range(round(axes.most / axes.step) + 1):
        y = axes.y(k * axes.step)
        if k:
            pen.line((axes.left, y), (axes.right, y), HAIR.coloured(GREY))
        told = f"{k * axes.step / axes.units.rise:.{decimals}f}"
        pen.text((axes.left - 2.0, y + 1.0), told, Lettering(anchor="end"))
    step = 10 if axes.duration <= 5400.0 else 30 if axes.duration <= 4 * 3600.0 else 120
    for minute in range(0, int(axes.duration / 60.0) + 1, step):
        x = axes.x(60.0 * minute)
        pen.line((x, _FOOT), (x, _FOOT + 1.2), THIN)
        pen.text((x, _FOOT + 5.0), str(minute), Lettering(anchor="middle"))
    pen.text((axes.right, _FOOT + 10.0), "minutes after the inflation", Lettering(anchor="end"))

"""Level behind the packer while it blocks the main, with the places that it must not reach."""

import math
from dataclasses import dataclass

from teewright.hydraulics.values import FlowForecast
from teewright.job.values import PlannedHold
from teewright.report.pen import GREY, HAIR, INK, THIN, Lettering, Pen, Stroke

WIDTH, HEIGHT = 170.0, 68.0
_LEFT, _RIGHT, _TOP, _FOOT = 14.0, 132.0, 8.0, 54.0
_PLACES = 3
"""Lowest places that get a line."""
_APART = 4.2
"""Least distance of two labels at the right [mm]."""


@dataclass(frozen=True, slots=True)
class _Axes:
    """Time after the start and height over the invert at the packer on paper."""

    duration: float
    most: float

    def x(self, seconds: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * seconds / self.duration

    def y(self, height: float) -> float:
        return _FOOT - (_FOOT - _TOP) * height / self.most


def hold_figure(flow: FlowForecast | PlannedHold) -> str:
    """Height of the water over the invert at the packer, from the inflation to the release.

    Args:
        flow: Level of one connection, forecast or as planned.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, HEIGHT)
    lines = sorted((level - flow.invert, name) for name, level in flow.places)[:_PLACES]
    heights = [level - flow.invert for level in flow.levels]
    top = max(*heights, *(height for height, _ in lines))
    axes = _Axes(flow.duration, 0.1 * math.ceil(top * 1.05 / 0.1))
    _frame(pen, axes)
    pen.path(
        [(axes.x(t), axes.y(h)) for t, h in zip(flow.times, heights, strict=True)],
        Stroke(0.6, INK),
    )
    ends = [(axes.y(heights[-1]), "water")]
    for height, name in lines:
        pen.line((_LEFT, axes.y(height)), (_RIGHT, axes.y(height)), THIN.dashed("2.2 1.0"))
        ends.append((axes.y(height), name))
    foot = -math.inf
    for y, text in sorted(ends):
        foot = max(y + 1.0, foot + _APART)
        pen.text((_RIGHT + 2.0, foot), text)
    return pen.svg()


def _frame(pen: Pen, axes: _Axes) -> None:
    pen.text((0.0, 3.4), "m over the invert at the packer")
    pen.line((_LEFT, _TOP), (_LEFT, _FOOT), Stroke(THIN.width, INK))
    pen.line((_LEFT, _FOOT), (_RIGHT, _FOOT), Stroke(THIN.width, INK))
    for tenth in range(0, round(axes.most * 10.0) + 1, 1 if axes.most <= 0.8 else 5):
        y = axes.y(tenth / 10.0)
        if tenth:
            pen.line((_LEFT, y), (_RIGHT, y), HAIR.coloured(GREY))
        pen.text((_LEFT - 2.0, y + 1.0), f"{tenth / 10.0:.1f}", Lettering(anchor="end"))
    step = 10 if axes.duration <= 5400.0 else 30 if axes.duration <= 4 * 3600.0 else 120
    for minute in range(0, int(axes.duration / 60.0) + 1, step):
        x = axes.x(60.0 * minute)
        pen.line((x, _FOOT), (x, _FOOT + 1.2), THIN)
        pen.text((x, _FOOT + 5.0), str(minute), Lettering(anchor="middle"))
    pen.text((_RIGHT, _FOOT + 10.0), "minutes after the inflation", Lettering(anchor="end"))

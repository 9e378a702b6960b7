"""Conversion over time at three places of a collar, from the inflation until it is hard."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from teewright.report.pen import BLUE, GREY, HAIR, INK, THIN, Lettering, Pen, Stroke

WIDTH, HEIGHT = 170.0, 74.0
_LEFT, _RIGHT, _TOP, _FOOT = 14.0, 124.0, 8.0, 60.0
_NAMES = ("inner face, bladder", "middle", "outer face, liner")
_DASHES = ("", "2.2 1.0", "0.7 0.9")
"""Lines of the three places."""
_APART = 4.2
"""Least distance of two labels at the right [mm]."""

Curve = Sequence[tuple[float, float, float, float]]
"""(time after mixing [s], conversion at inner face, middle and outer face [-])."""


@dataclass(frozen=True, slots=True)
class _Axes:
    """Minutes after mixing and conversion on paper; the last minute is that of the last point."""

    first: float
    last: float

    def x(self, seconds: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * (seconds / 60.0 - self.first) / (self.last - self.first)

    def y(self, conversion: float) -> float:
        return _FOOT - (_FOOT - _TOP) * conversion


def cure_figure(curve: Curve, *, marks: tuple[float, float], release: float) -> str:
    """Conversion at the inner face, in the middle and at the outer face.

    Args:
        curve: At least two points, times ascending.
        marks: Conversions at gel and at release [-].
        release: That the crew keeps, after mixing [s].

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, HEIGHT)
    step = 10.0 if max(curve[-1][0], release) - curve[0][0] <= 7200.0 else 30.0
    first = step * math.floor(curve[0][0] / 60.0 / step)
    axes = _Axes(first, max(curve[-1][0], 1.04 * release) / 60.0)
    _frame(pen, axes, step)
    for mark, name in zip(marks, ("gel", "may be released"), strict=True):
        y = axes.y(mark)
        pen.line((_LEFT, y), (_RIGHT, y), THIN.dashed("1.6 0.8"))
        style = Lettering(8.0, plate=True)
        pen.text((_LEFT + 1.5, y - 1.0), f"{name}, {100.0 * mark:.0f} %", style)
    _lines(pen, axes, curve)
    x = axes.x(release)
    pen.line((x, _TOP), (x, _FOOT), Stroke(0.4, BLUE))
    anchor = "end" if x > 0.5 * (_LEFT + _RIGHT) else "start"
    style = Lettering(9.0, 700, anchor, BLUE, plate=True)
    gap = -1.2 if anchor == "end" else 1.2
    pen.text((x + gap, _FOOT - 2.0), f"release from {math.ceil(release / 60.0 - 1e-9)} min", style)
    return pen.svg()


def _frame(pen: Pen, axes: _Axes, step: float) -> None:
    pen.text((0.0, 3.4), "conversion, %")
    pen.line((_LEFT, _TOP), (_LEFT, _FOOT), THIN)
    pen.line((_LEFT, _FOOT), (_RIGHT, _FOOT), THIN)
    for fifth in range(6):
        y = axes.y(0.2 * fifth)
        if fifth:
            pen.line((_LEFT, y), (_RIGHT, y), HAIR.coloured(GREY))
        pen.text((_LEFT - 2.0, y + 1.0), f"{20 * fifth}", Lettering(anchor="end"))
    for k in range(math.floor((axes.last - axes.first) / step) + 1):
        minute = axes.first + k * step
        x = axes.x(60.0 * minute)
        pen.line((x, _FOOT), (x, _FOOT + 1.2), THIN)
        pen.text((x, _FOOT + 5.0), f"{minute:.0f}", Lettering(anchor="middle"))
    pen.text((_RIGHT, _FOOT + 10.0), "minutes after mixing", Lettering(anchor="end"))


def _lines(pen: Pen, axes: _Axes, curve: Curve) -> None:
    """The lines of the three places, named at their right ends with a piece of each line.

    A thin collar is nearly as far throughout, so that a name alone would not tell its line.
    """
    ends: list[tuple[float, str, Stroke]] = []
    for place, (name, dash) in enumerate(zip(_NAMES, _DASHES, strict=True), start=1):
        line = [(axes.x(row[0]), axes.y(row[place])) for row in curve]
        stroke = Stroke(0.5, INK).dashed(dash) if dash else Stroke(0.5, INK)
        pen.path(line, stroke)
        ends.append((line[-1][1], name, stroke))
    foot = -math.inf
    for y, name, stroke in sorted(ends, key=lambda end: end[:2]):
        foot = max(y + 1.0, foot + _APART)
        pen.line((_RIGHT + 1.5, foot - 1.0), (_RIGHT + 8.5, foot - 1.0), stroke)
        pen.text((_RIGHT + 10.0, foot), name)

"""Deadlines over the air's temperature: what the crew may do on another day than planned."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from teewright.heat.values import DayWindow
from teewright.report.pen import BLUE, GREY, HAIR, INK, MID, THIN, Lettering, Pen, Stroke
from teewright.units import celsius

WIDTH, HEIGHT = 170.0, 104.0
_LEFT, _RIGHT, _TOP, _FOOT = 14.0, 132.0, 8.0, 88.0
_DASHES = ("", "2.2 1.0", "0.7 0.9")
"""Lines of the packs, the coldest first."""
_APART = 4.2
"""Least distance of two labels at the right [mm]."""


@dataclass(frozen=True, slots=True)
class _Axes:
    """Temperature of the air and minutes on paper."""

    low: float
    high: float
    most: float

    def x(self, air: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * (air - self.low) / (self.high - self.low)

    def y(self, seconds: float) -> float:
        return _FOOT - (_FOOT - _TOP) * seconds / 60.0 / self.most


def day_figure(day: DayWindow) -> str:
    """Latest inflation and earliest release over the air's temperature, one line a pack.

    Args:
        day: At least two temperatures of the air.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, HEIGHT)
    longest = max((t for row in day.release for t in row if math.isfinite(t)), default=3600.0)
    axes = _Axes(day.air[0], day.air[-1], 15.0 * math.ceil(longest / 60.0 * 1.05 / 15.0))
    _frame(pen, axes)
    _group(pen, axes, day, day.release, "let go from")
    _group(pen, axes, day, day.latest, "at pressure by")
    _today(pen, axes, day)
    return pen.svg()


def _frame(pen: Pen, axes: _Axes) -> None:
    pen.text((0.0, 3.4), "minutes after mixing")
    pen.line((_LEFT, _TOP), (_LEFT, _FOOT), THIN)
    pen.line((_LEFT, _FOOT), (_RIGHT, _FOOT), THIN)
    step = 15 if axes.most <= 150.0 else 30
    for minute in range(0, int(axes.most) + 1, step):
        y = axes.y(60.0 * minute)
        if minute:
            pen.line((_LEFT, y), (_RIGHT, y), HAIR.coloured(GREY))
        pen.text((_LEFT - 2.0, y + 1.0), str(minute), Lettering(anchor="end"))
    first, last = math.ceil(celsius(axes.low) - 1e-6), math.floor(celsius(axes.high) + 1e-6)
    every = 5 if last - first > 12 else 2
    for degrees in range(first + (-first) % every, last + 1, every):
        x = axes.x(degrees + 273.15)
        pen.line((x, _FOOT), (x, _FOOT + 1.2), THIN)
        pen.text((x, _FOOT + 5.0), f"{degrees}°", Lettering(anchor="middle"))
    pen.text((_RIGHT, _FOOT + 10.0), "temperature of the air", Lettering(anchor="end"))


def _group(
    pen: Pen, axes: _Axes, day: DayWindow, rows: Sequence[Sequence[float]], name: str
) -> None:
    """The lines of one deadline, named at their right ends."""
    ends: list[tuple[float, str]] = []
    for number, (pack, row) in enumerate(zip(day.packs, rows, strict=True)):
        dash = _DASHES[min(number, len(_DASHES) - 1)]
        line = [
            (axes.x(air), axes.y(t)) for air, t in zip(day.air, row, strict=True)
            if math.isfinite(t)
        ]  # fmt: skip
        if len(line) < 2:
            continue
        pen.path(line, Stroke(0.5, INK).dashed(dash) if dash else Stroke(0.5, INK))
        ends.append((line[-1][1], f"{name}, packs {celsius(pack):.0f} °C"))
    foot = -math.inf
    for y, text in sorted(ends):
        foot = max(y + 1.0, foot + _APART)
        pen.text((_RIGHT + 2.0, foot), text)


def _today(pen: Pen, axes: _Axes, day: DayWindow) -> None:
    x = axes.x(day.today)
    pen.line((x, _TOP), (x, _FOOT), Stroke(0.3, BLUE))
    style = Lettering(9.0, 700, "start", BLUE, plate=True)
    pen.text((x + 1.2, _TOP + 3.2), f"planned for {celsius(day.today):.0f} °C", style)
    y = axes.y(day.planned)
    pen.line((_LEFT, y), (_RIGHT, y), MID.dashed("0.5 0.8").coloured(BLUE))

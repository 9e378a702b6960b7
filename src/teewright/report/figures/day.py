"""Deadlines over the air's temperature: what the crew may do on another day than planned."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from teewright.heat.values import DayWindow
from teewright.report.figures.reader import METRIC, NARROW, Units, wide
from teewright.report.pen import BLUE, GREY, HAIR, INK, MID, THIN, Lettering, Pen, Point, Stroke

WIDTH, HEIGHT = 170.0, 104.0
_LEFT, _RIGHT, _TOP, _FOOT = 14.0, 132.0, 8.0, 88.0
_DASHES = ("", "2.2 1.0", "0.7 0.9")
"""Lines of the packs, the coldest first."""
_APART = 4.2
"""Least distance of two labels above each other [mm]."""
_SAMPLE = 7.0
"""Length of the piece of a line that stands beside its name [mm]."""
_EVERY = (1, 2, 5, 10, 20)


@dataclass(frozen=True, slots=True)
class _Axes:
    """Temperature of the air and minutes on paper."""

    left: float
    right: float
    low: float
    high: float
    most: float
    units: Units

    def x(self, air: float) -> float:
        return self.left + (self.right - self.left) * (air - self.low) / (self.high - self.low)

    def y(self, seconds: float) -> float:
        return _FOOT - (_FOOT - _TOP) * seconds / 60.0 / self.most


@dataclass(frozen=True, slots=True)
class _Line:
    """One deadline of one pack on paper."""

    points: list[Point]
    stroke: Stroke
    pack: str


def day_figure(day: DayWindow, units: Units = METRIC, *, narrow: bool = False) -> str:
    """Latest inflation and earliest release over the air's temperature, one line a pack.

    Args:
        day: At least two temperatures of the air.
        units: Of the temperatures.
        narrow: For a narrow place: lines are named within, and the packs under the figure.

    Returns:
        SVG.
    """
    packs = [f"packs {units.degrees(pack):.0f} {units.degrees_name}" for pack in day.packs]
    pen = Pen(NARROW if narrow else WIDTH, HEIGHT + (_APART * (len(packs) + 1) if narrow else 0.0))
    longest = max((t for row in day.release for t in row if math.isfinite(t)), default=3600.0)
    left, right = (9.0, NARROW - 2.0) if narrow else (_LEFT, _RIGHT)
    room = 1.2 if narrow else 1.05  # names of lines need their place over them
    most = 15.0 * math.ceil(longest / 60.0 * room / 15.0)
    axes = _Axes(left, right, day.air[0], day.air[-1], most, units)
    _frame(pen, axes)
    for rows, name in ((day.release, "release from"), (day.latest, "at pressure by")):
        lines = _lines(axes, day, rows, packs)
        for line in lines:
            pen.path(line.points, line.stroke)
        (_within if narrow else _beside)(pen, axes, lines, name)
    if narrow:
        _legend(pen, packs)
    _today(pen, axes, day)
    return pen.svg()


def _frame(pen: Pen, axes: _Axes) -> None:
    pen.text((0.0, 3.4), "minutes after mixing")
    pen.line((axes.left, _TOP), (axes.left, _FOOT), THIN)
    pen.line((axes.left, _FOOT), (axes.right, _FOOT), THIN)
    step = 15 if axes.most <= 150.0 else 30
    for minute in range(0, int(axes.most) + 1, step):
        y = axes.y(60.0 * minute)
        if minute:
            pen.line((axes.left, y), (axes.right, y), HAIR.coloured(GREY))
        pen.text((axes.left - 2.0, y + 1.0), str(minute), Lettering(anchor="end"))
    low, high = axes.units.degrees(axes.low), axes.units.degrees(axes.high)
    first, last = math.ceil(low - 1e-6), math.floor(high + 1e-6)
    every = next((n for n in _EVERY if (last - first) / n <= 6.0), 50)
    for degrees in range(first + (-first) % every, last + 1, every):
        x = axes.left + (axes.right - axes.left) * (degrees - low) / (high - low)
        pen.line((x, _FOOT), (x, _FOOT + 1.2), THIN)
        pen.text((x, _FOOT + 5.0), f"{degrees}°", Lettering(anchor="middle"))
    named = f"temperature of the air, {axes.units.degrees_name}"
    pen.text((axes.right, _FOOT + 10.0), named, Lettering(anchor="end"))


def _stroke(number: int) -> Stroke:
    dash = _DASHES[min(number, len(_DASHES) - 1)]
    return Stroke(0.5, INK).dashed(dash) if dash else Stroke(0.5, INK)


def _lines(
    axes: _Axes, day: DayWindow, rows: Sequence[Sequence[float]], packs: Sequence[str]
) -> list[_Line]:
    """Lines of one deadline; one that is known at fewer than two temperatures is left out."""
    found = []
    for number, (pack, row) in enumerate(zip(packs, rows, strict=True)):
        points = [
            (axes.x(air), axes.y(t)) for air, t in zip(day.air, row, strict=True)
            if math.isfinite(t)
        ]  # fmt: skip
        if len(points) > 1:
            found.append(_Line(points, _stroke(number), pack))
    return found


def _beside(pen: Pen, axes: _Axes, lines: Sequence[_Line], name: str) -> None:
    """Names at the right ends, moved down where two would meet."""
    foot = -math.inf
    for y, text in sorted((line.points[-1][1], f"{name}, {line.pack}") for line in lines):
        foot = max(y + 1.0, foot + _APART)
        pen.text((axes.right + 2.0, foot), text)


def _within(pen: Pen, axes: _Axes, lines: Sequence[_Line], name: str) -> None:
    """The name of a deadline once, over the highest of its lines."""
    if lines:
        top = min(y for line in lines for _, y in line.points)
        style = Lettering(anchor="end", weight=700, plate=True)
        pen.text((axes.right - 1.0, top - 2.0), name, style)


def _legend(pen: Pen, packs: Sequence[str]) -> None:
    """Which line is which pack's."""
    for number, pack in enumerate(packs):
        y = _FOOT + 16.0 + _APART * number
        pen.line((0.0, y - 1.0), (_SAMPLE, y - 1.0), _stroke(number))
        pen.text((_SAMPLE + 2.0, y), pack)


def _today(pen: Pen, axes: _Axes, day: DayWindow) -> None:
    """The day that the job is planned for, and when the packer is then taken at pressure."""
    x, y = axes.x(day.today), axes.y(day.planned)
    pen.line((x, _TOP), (x, _FOOT), Stroke(0.3, BLUE))
    pen.line((axes.left, y), (axes.right, y), MID.dashed("0.5 0.8").coloured(BLUE))
    told = f"planned for {axes.units.degrees(day.today):.0f} {axes.units.degrees_name}"
    pen.text((_fitting(pen, x, told), _TOP + 3.2), told, _BLUE)
    told = f"inflated as planned, {day.planned / 60.0:.0f} min"
    pen.text((axes.left + 1.5, y + 4.2), told, replace(_BLUE, size=8.0))


def _fitting(pen: Pen, x: float, words: str) -> float:
    """Where words right of a line begin, so that they end within the figure."""
    return min(x + 1.2, pen.width - 9.0 / 8.0 * wide(words, 700))


_BLUE = Lettering(9.0, 700, "start", BLUE, plate=True)

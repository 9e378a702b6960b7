"""What moves the utilisation of the wall: one bar for each input, the longest on top."""

import math
from dataclasses import dataclass

from teewright.report import letters
from teewright.report.pen import BLUE, GREY, HAIR, INK, MID, THIN, Lettering, Pen, Stroke
from teewright.units import shown
from teewright.wall.answers import Bar, Tornado

WIDTH = 170.0
_LEFT, _RIGHT, _TOP, _PITCH, _TALL = 62.0, 152.0, 9.0, 11.0, 4.0
_STUB = 0.4
"""Width of the mark of an input that moves nothing [mm]."""


@dataclass(frozen=True, slots=True)
class _Axis:
    """Utilisations on paper."""

    low: float
    high: float
    step: float

    def x(self, used: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * (used - self.low) / (self.high - self.low)


def height(tornado: Tornado) -> float:
    """Height of the figure [mm]."""
    return _TOP + _PITCH * len(tornado.bars) + 13.0


def tornado_figure(tornado: Tornado) -> str:
    """Bars of the utilisation between both ends of each input.

    Args:
        tornado: At least one bar.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, height(tornado))
    axis, foot = _axis(tornado), _TOP + _PITCH * len(tornado.bars)
    _frame(pen, axis, foot)
    for number, bar in enumerate(tornado.bars):
        _bar(pen, axis, bar, _TOP + _PITCH * (number + 0.5))
    x = axis.x(tornado.utilisation)
    pen.line((x, _TOP - 1.5), (x, foot), Stroke(0.3, BLUE))
    style = Lettering(9.0, 700, "middle", BLUE)
    pen.text((x, _TOP - 3.0), f"as checked, {100.0 * tornado.utilisation:.0f} %", style)
    return pen.svg()


def _axis(tornado: Tornado) -> _Axis:
    ends = [end for bar in tornado.bars for end in (bar.at_low, bar.at_high)]
    low, high = min([*ends, tornado.utilisation]), max([*ends, tornado.utilisation])
    # the limit is in sight where it is near
    high = max(high, 1.0) if high > 0.7 else high
    step = _step(high - low)
    first, last = math.floor(low / step - 0.2), math.ceil(high / step + 0.2)
    return _Axis(step * first, step * last, step)


def _step(spread: float) -> float:
    return next((s for s in (0.05, 0.1, 0.2, 0.5, 1.0, 2.0) if spread / s <= 6.0), 5.0)


def _frame(pen: Pen, axis: _Axis, foot: float) -> None:
    for k in range(round((axis.high - axis.low) / axis.step) + 1):
        used = axis.low + k * axis.step
        x = axis.x(used)
        pen.line((x, _TOP), (x, foot), HAIR.coloured(GREY))
        pen.line((x, foot), (x, foot + 1.2), THIN)
        pen.text((x, foot + 5.0), f"{100.0 * used:.0f}", Lettering(anchor="middle"))
    pen.line((_LEFT, foot), (_RIGHT, foot), THIN)
    if axis.low <= 1.0 <= axis.high:
        pen.line((axis.x(1.0), _TOP), (axis.x(1.0), foot), MID.dashed("1.6 0.8"))
    note = "thickness needed over thickness installed, %; dashed: not enough beyond"
    pen.text((_RIGHT, foot + 10.0), note, Lettering(anchor="end"))


def _value(value: float, unit: str) -> str:
    text = shown(value, unit)
    return text.removesuffix(".00") if unit == "MPa" else text


def _bar(pen: Pen, axis: _Axis, bar: Bar, middle: float) -> None:
    pen.text((0.0, middle - 0.4), bar.name, Lettering(weight=700))
    unit = "" if bar.shown_in == "-" else f" {bar.shown_in}"
    low, high = (_value(end, bar.shown_in) for end in (bar.low, bar.high))
    pen.text((0.0, middle + 3.6), f"{low} to {high}{unit}")
    ends = sorted(((axis.x(bar.at_low), low), (axis.x(bar.at_high), high)))
    (left, first), (right, last) = ends
    wide = max(right - left, _STUB)
    pen.rect((left, middle - _TALL / 2.0), (wide, _TALL), THIN, INK)
    if bar.swing == 0.0:
        pen.text((left + wide + 1.5, middle + 1.1), "moves nothing", Lettering(plate=True))
        return
    room = letters.width(first, 8.0, 400)
    if left - room - 1.5 > _LEFT:
        pen.text((left - 1.5, middle + 1.1), first, Lettering(anchor="end", plate=True))
    pen.text((left + wide + 1.5, middle + 1.1), last, Lettering(plate=True))

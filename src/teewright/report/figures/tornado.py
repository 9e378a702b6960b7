"""What moves the use of the wall: one bar for each input, the longest on top."""

import math
from dataclasses import dataclass

from teewright.report.pen import BLUE, GREY, HAIR, INK, MID, THIN, Lettering, Pen, Stroke
from teewright.units import shown
from teewright.wall.answers import Bar, Tornado

WIDTH = 170.0
_LEFT, _RIGHT, _TOP, _PITCH, _TALL = 76.0, 142.0, 9.0, 10.0, 4.0
_STUB = 0.4
"""Width of the mark of an input that moves nothing [mm]."""
_AWAY = 1.5
"""Of a word from its line or bar [mm]."""


@dataclass(frozen=True, slots=True)
class _Axis:
    """Uses of the wall on paper."""

    low: float
    high: float
    step: float

    def x(self, used: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * (used - self.low) / (self.high - self.low)


def height(tornado: Tornado) -> float:
    """Height of the figure [mm]."""
    return _TOP + _PITCH * len(tornado.bars) + 7.0


def tornado_figure(tornado: Tornado) -> str:
    """Bars of the use of the wall between both ends of each input, against the limit.

    Args:
        tornado: At least one bar.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, height(tornado))
    axis, foot = _axis(tornado), _TOP + _PITCH * len(tornado.bars)
    _frame(pen, axis, foot)
    _lines(pen, axis, tornado.utilisation, foot)
    for number, bar in enumerate(tornado.bars):
        _bar(pen, axis, bar, _TOP + _PITCH * (number + 0.5))
    return pen.svg()


def _axis(tornado: Tornado) -> _Axis:
    ends = [end for bar in tornado.bars for end in (bar.at_low, bar.at_high)]
    # the limit is always in sight: how far off it is, is the question
    ends += [tornado.utilisation, 1.0]
    low, high = min(ends), max(ends)
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
    pen.text((0.0, foot + 5.0), "Wall used, %")


def _lines(pen: Pen, axis: _Axis, used: float, foot: float) -> None:
    """What is used as checked, and the limit, their words on the sides away from each other."""
    limit, checked = axis.x(1.0), axis.x(used)
    pen.line((limit, _TOP - 1.5), (limit, foot), MID.dashed("1.6 0.8"))
    pen.line((checked, _TOP - 1.5), (checked, foot), Stroke(0.3, BLUE))
    below = used <= 1.0
    side, other = ("end", "start") if below else ("start", "end")
    away = -_AWAY if below else _AWAY
    words = f"as checked, {100.0 * used:.0f} %"
    pen.text((checked + away, _TOP - 3.0), words, Lettering(9.0, 700, side, BLUE))
    pen.text((limit - away, _TOP - 3.0), "limit, 100 %", Lettering(9.0, 700, other))


def _figure(value: float, unit: str) -> str:
    text = shown(value, unit)
    return text.removesuffix(".00") if unit == "MPa" else text


def _value(value: float, unit: str) -> str:
    text = _figure(value, unit)
    return text if unit == "-" else f"{text} {unit}"


def _bar(pen: Pen, axis: _Axis, bar: Bar, middle: float) -> None:
    pen.text((0.0, middle - 0.6), bar.name, Lettering(weight=700))
    pen.text((0.0, middle + 3.2), f"as checked {_value(bar.nominal, bar.shown_in)}")
    ends = sorted(
        (axis.x(used), f"{_value(end, bar.shown_in)}: {100.0 * used:.0f} %")
        for used, end in ((bar.at_low, bar.low), (bar.at_high, bar.high))
    )
    (left, first), (right, last) = ends
    wide = max(right - left, _STUB)
    pen.rect((left, middle - _TALL / 2.0), (wide, _TALL), THIN, INK)
    level = middle + 1.1
    if bar.swing == 0.0:
        low, high = _figure(bar.low, bar.shown_in), _value(bar.high, bar.shown_in)
        words = f"{low} to {high}: moves nothing"
        pen.text((left + wide + _AWAY, level), words, Lettering(plate=True))
        return
    pen.text((left - _AWAY, level), first, Lettering(anchor="end", plate=True))
    pen.text((left + wide + _AWAY, level), last, Lettering(plate=True))

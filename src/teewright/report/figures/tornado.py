"""What moves the use of the wall: one bar for each input, the longest on top."""

import math
import re
from dataclasses import dataclass

from teewright.report import letters
from teewright.report.figures.reader import METRIC, NARROW, Units
from teewright.report.pen import BLUE, GREY, HAIR, INK, MID, PAPER, THIN, Lettering, Pen, Stroke
from teewright.wall.answers import Bar, Tornado

WIDTH = 170.0
_TOP, _TALL = 9.0, 4.0
_STUB = 0.4
"""Width of the mark of an input that moves nothing [mm]."""
_SPACE = re.compile("[ \u00a0]")
_AWAY = 1.5
"""Of a word from its line or bar [mm]."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the bars stand: beside their words or, in a narrow figure, under them."""

    width: float
    left: float
    right: float
    pitch: float
    words: float

    def middle(self, number: int) -> float:
        return _TOP + self.pitch * number + (self.words + self.pitch) / 2.0


_BESIDE = _Place(WIDTH, 76.0, 142.0, 10.0, 0.0)
_UNDER = _Place(NARROW, 2.0, NARROW - 2.0, 19.0, 11.0)


@dataclass(frozen=True, slots=True)
class _Axis:
    """Uses of the wall on paper."""

    low: float
    high: float
    step: float
    place: _Place

    def x(self, used: float) -> float:
        left, right = self.place.left, self.place.right
        return left + (right - left) * (used - self.low) / (self.high - self.low)


def tornado_figure(tornado: Tornado, units: Units = METRIC, *, narrow: bool = False) -> str:
    """Bars of the use of the wall between both ends of each input, against the limit.

    Args:
        tornado: At least one bar.
        units: In which values are told.
        narrow: For a narrow place: each bar stands under its words.

    Returns:
        SVG.
    """
    place = _UNDER if narrow else _BESIDE
    foot = _TOP + place.pitch * len(tornado.bars)
    axis = _axis(tornado, place)
    pen = Pen(place.width, foot + (11.0 if narrow else 7.0))
    _frame(pen, axis, foot)
    _lines(pen, axis, tornado.utilisation, foot)
    for number, bar in enumerate(tornado.bars):
        (_under if narrow else _beside)(pen, axis, bar, place.middle(number), units)
    return pen.svg()


def _axis(tornado: Tornado, place: _Place) -> _Axis:
    ends = [end for bar in tornado.bars for end in (bar.at_low, bar.at_high)]
    # the limit is always in sight: how far off it is, is the question
    ends += [tornado.utilisation, 1.0]
    low, high = min(ends), max(ends)
    step = _step(high - low)
    first, last = math.floor(low / step - 0.2), math.ceil(high / step + 0.2)
    return _Axis(step * first, step * last, step, place)


def _step(spread: float) -> float:
    return next((s for s in (0.05, 0.1, 0.2, 0.5, 1.0, 2.0) if spread / s <= 6.0), 5.0)


def _frame(pen: Pen, axis: _Axis, foot: float) -> None:
    for k in range(round((axis.high - axis.low) / axis.step) + 1):
        used = axis.low + k * axis.step
        x = axis.x(used)
        pen.line((x, _TOP), (x, foot), HAIR.coloured(GREY))
        pen.line((x, foot), (x, foot + 1.2), THIN)
        pen.text((x, foot + 5.0), f"{100.0 * used:.0f}", Lettering(anchor="middle"))
    pen.line((axis.place.left, foot), (axis.place.right, foot), THIN)
    under = axis.place is _UNDER
    pen.text((0.0, foot + (9.6 if under else 5.0)), "Wall used, %")


def _lines(pen: Pen, axis: _Axis, used: float, foot: float) -> None:
    """What is used as checked, and the limit, their words on the sides away from each other."""
    limit, checked = axis.x(1.0), axis.x(used)
    pen.line((limit, _TOP - 1.5), (limit, foot), MID.dashed("1.6 0.8"))
    pen.line((checked, _TOP - 1.5), (checked, foot), Stroke(0.3, BLUE))
    below = used <= 1.0
    _aside(pen, checked, f"as checked, {100.0 * used:.0f} %", BLUE, left=below)
    _aside(pen, limit, "limit, 100 %", INK, left=not below)


def _aside(pen: Pen, x: float, said: str, colour: str, *, left: bool) -> None:
    """Words above a line, left or right of it; within the figure at any rate."""
    long = letters.width(said, 9.0, 700)
    foot = max(x - _AWAY, long) if left else min(x + _AWAY, pen.width - long)
    style = Lettering(9.0, 700, "end" if left else "start", colour)
    pen.text((foot, _TOP - 3.0), said, style)


def _range(bar: Bar, units: Units) -> str:
    """Both ends of an input; the unit is told once."""
    low, high = units.write(bar.low, bar.shown_in), units.write(bar.high, bar.shown_in)
    return f"{_SPACE.split(low)[0]} to {high}"


def _ends(axis: _Axis, bar: Bar, units: Units) -> list[tuple[float, str]]:
    """Both ends of a bar on paper, the one on the left first, with what is used there."""
    return sorted(
        (axis.x(used), f"{units.write(end, bar.shown_in)}: {100.0 * used:.0f} %")
        for used, end in ((bar.at_low, bar.low), (bar.at_high, bar.high))
    )


def _solid(pen: Pen, left: float, right: float, middle: float) -> None:
    pen.rect((left, middle - _TALL / 2.0), (max(right - left, _STUB), _TALL), THIN, INK)


def _beside(pen: Pen, axis: _Axis, bar: Bar, middle: float, units: Units) -> None:
    pen.text((0.0, middle - 0.6), bar.name, Lettering(weight=700))
    pen.text((0.0, middle + 3.2), f"as checked {units.write(bar.nominal, bar.shown_in)}")
    (left, first), (right, last) = _ends(axis, bar, units)
    _solid(pen, left, right, middle)
    level, after = middle + 1.1, max(right, left + _STUB) + _AWAY
    if bar.swing == 0.0:
        words = f"{_range(bar, units)}: moves nothing"
        pen.text((after, level), words, Lettering(plate=True))
        return
    pen.text((left - _AWAY, level), first, Lettering(anchor="end", plate=True))
    pen.text((after, level), last, Lettering(plate=True))


def _under(pen: Pen, axis: _Axis, bar: Bar, middle: float, units: Units) -> None:
    (left, first), (right, last) = _ends(axis, bar, units)
    _solid(pen, left, right, middle)
    checked = f"as checked {units.write(bar.nominal, bar.shown_in)}"
    moves = f"{_range(bar, units)}: moves nothing" if bar.swing == 0.0 else f"{first}; {last}"
    words = axis.place.words
    # the lines of the axis stand back from the words over a bar
    pen.rect((0.0, middle - words - _TALL / 2.0), (pen.width, words), None, PAPER)
    pen.text((0.0, middle - 9.2), bar.name, Lettering(weight=700))
    pen.text((0.0, middle - 5.0), f"{checked}; {moves}")

"""Time bars of a shift: each packer a row, each batch its deadline."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from teewright.programme.values import Shift, Visit
from teewright.report import letters, words
from teewright.report.index import short
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

WIDTH = 178.0
_LEFT, _RIGHT = 27.0, 176.0
_PITCH = 21.0
_TALL = 10.0


@dataclass(frozen=True, slots=True)
class _Axis:
    start: datetime
    hours: float

    def x(self, moment: datetime) -> float:
        share = (moment - self.start).total_seconds() / 3600.0 / self.hours
        return _LEFT + (_RIGHT - _LEFT) * share


def packers(shift: Shift) -> list[str]:
    """Packers of a shift in order of first use."""
    return list(dict.fromkeys(v.packer for v in shift.visits))


def height(shift: Shift) -> float:
    """Height of the figure [mm]."""
    return 18.0 + _PITCH * max(len(packers(shift)), 1)


def time_bars(shift: Shift) -> str:
    """Batch live, hold and clearing of each collar, with `by` and `from` deadlines.

    Args:
        shift: The shift.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, height(shift))
    axis = _axis(shift)
    _hours(pen, axis)
    names = packers(shift)
    several = len({v.run_id for v in shift.visits}) > 1
    for k, name in enumerate(names):
        y = 12.0 + _PITCH * k
        _name(pen, name, y)
        own = [v for v in shift.visits if v.packer == name]
        for visit in own:
            _bar(pen, axis, visit, y, several=several)
        _deadlines(pen, axis, own, y)
    _key(pen, pen.height - 2.0)
    return pen.svg()


def _axis(shift: Shift) -> _Axis:
    start = shift.start.replace(minute=0, second=0, microsecond=0)
    last = max([shift.end, *(v.tested for v in shift.visits)])
    return _Axis(start, max(math.ceil((last - start).total_seconds() / 3600.0), 1))


def _hours(pen: Pen, axis: _Axis) -> None:
    foot = pen.height - 8.0
    every = 1 if axis.hours <= 16 else 3
    for hour in range(0, int(axis.hours) + 1, every):
        x = _LEFT + (_RIGHT - _LEFT) * hour / axis.hours
        edge = hour in {0, int(axis.hours)}
        pen.line((x, 6.0), (x, foot), HAIR if edge else HAIR.coloured(GREY))
        text = f"{(axis.start.hour + hour) % 24:02d}"
        pen.text((x, 4.0), text, Lettering(10.0, 600, "middle"))


def _name(pen: Pen, name: str, y: float) -> None:
    lines = letters.wrap(name, _LEFT - 3.0, 10.0, 700)[:3]
    first = y + 6.6 - 2.1 * (len(lines) - 1)
    for k, line in enumerate(lines):
        pen.text((0.0, first + 4.2 * k), line, Lettering(10.0, 700))


def _bar(pen: Pen, axis: _Axis, visit: Visit, y: float, *, several: bool) -> None:
    mix, pressed, free, done = (
        axis.x(t) for t in (visit.mix, visit.at_pressure, visit.release, visit.tested)
    )
    pen.rect((pressed, y), (free - pressed, _TALL), MID, PAPER)
    pen.rect((free, y), (done - free, _TALL), MID, INK)
    pen.rect((mix, y), (pressed - mix, _TALL), MID, PAPER)
    pen.hatch((mix, y), (pressed - mix, _TALL), step=1.0, stroke=THIN)
    left = axis.x(visit.latest_pressure) + 1.2
    _call(pen, visit, (left, y), axis.x(visit.earliest_release) - left - 1.0, several=several)


def _call(pen: Pen, visit: Visit, at: Point, room: float, *, several: bool) -> None:
    """Name the collar in its bar; where a shift has several runs its run stands over it."""
    x, y = at
    label = short(visit.connection_id)
    size = 12.0 if letters.width(label, 12.0, 700) <= room else 9.0
    if not several:
        pen.text((x, y + 6.6), label, Lettering(size, 700))
        return
    for run, small in ((visit.run_id, 8.5), (visit.run_id, 8.0), (_near(visit), 8.0)):
        if letters.width(run, small) <= room:
            break
    pen.text((x, y + 3.9), letters.shorten(run, room, small), Lettering(small))
    pen.text((x, y + 8.8), letters.shorten(label, room, size, 700), Lettering(size, 700))


def _near(visit: Visit) -> str:
    """The first node of a long name of a run, with a sign that it goes on."""
    return visit.run_id.split("-", 1)[0] + "-…"


def _deadlines(pen: Pen, axis: _Axis, visits: Sequence[Visit], y: float) -> None:
    """Draw the deadlines: `by` under the bar, `from` over it, in words where they find room."""
    under: list[tuple[float, float]] = []
    over: list[tuple[float, float]] = []
    for visit in visits:
        by, free = axis.x(visit.latest_pressure), axis.x(visit.earliest_release)
        pen.line((by, y - 0.6), (by, y + 11.0), Stroke(0.7, BLUE))
        foot = y + _TALL + 0.6
        pen.shape(((by, foot), (by + 1.4, foot + 2.2), (by - 1.4, foot + 2.2)), None, BLUE)
        pen.line((free, y - 1.2), (free, y + 10.6), Stroke(0.7, BLUE))
        pen.shape(((free, y - 0.6), (free + 1.4, y - 2.8), (free - 1.4, y - 2.8)), None, BLUE)
    for visit in visits:
        by, free = axis.x(visit.latest_pressure), axis.x(visit.earliest_release)
        _time(pen, (by, y + 14.2), ("by ", words.at(visit.latest_pressure)), under)
        moment = words.at(visit.earliest_release, up=True)
        _time(pen, (free, y - 0.8), ("from ", moment), over)


def _time(pen: Pen, at: Point, said: tuple[str, str], taken: list[tuple[float, float]]) -> None:
    """Write a time beside its arrow, right or left of it, without its word where that is long."""
    for text in ("".join(said), said[1]):
        wide = letters.width(text, 9.5, 700)
        for left in (at[0] + 2.0, at[0] - wide - 2.0):
            inside = left >= _LEFT - 6.0 and left + wide <= WIDTH
            if inside and all(left + wide + 0.8 < a or left > b + 0.8 for a, b in taken):
                style = Lettering(9.5, 700, "start", BLUE, plate=True)
                pen.text((left, at[1]), text, style)
                taken.append((left, left + wide))
                return


def _key(pen: Pen, y: float) -> None:
    pen.hatch((_LEFT, y - 3.4), (9.0, 4.0), step=1.0, stroke=THIN)
    pen.rect((_LEFT, y - 3.4), (9.0, 4.0))
    pen.text((_LEFT + 11.0, y), "batch live: mix to pressure", Lettering(9.0))
    pen.rect((84.0, y - 3.4), (9.0, 4.0))
    pen.text((95.0, y), "hold", Lettering(9.0))
    pen.rect((107.0, y - 3.4), (9.0, 4.0), None, INK)
    pen.text((118.0, y), "out, leak test", Lettering(9.0))
    pen.line((147.0, y - 3.8), (147.0, y + 1.0), Stroke(0.7, BLUE))
    pen.text((149.5, y), "deadline", Lettering(9.0))

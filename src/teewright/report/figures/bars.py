"""Time bars of a shift: each packer a row, each batch its deadline."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from teewright.programme.values import Shift, Visit
from teewright.report import letters, words
from teewright.report.index import short
from teewright.report.pen import BLUE, GREY, HAIR, INK, MID, PAPER, Lettering, Pen, Point, Stroke

WIDTH = 178.0
_LEFT, _RIGHT = 27.0, 176.0
_PITCH = 20.0
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
    labels = [short(v.connection_id) for v in shift.visits]
    for k, name in enumerate(names):
        y = 12.0 + _PITCH * k
        _name(pen, name, y)
        own = [v for v in shift.visits if v.packer == name]
        for visit in own:
            _bar(pen, axis, visit, y, alone=labels.count(short(visit.connection_id)) == 1)
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


def _bar(pen: Pen, axis: _Axis, visit: Visit, y: float, *, alone: bool) -> None:
    mix, pressed, free, done = (
        axis.x(t) for t in (visit.mix, visit.at_pressure, visit.release, visit.tested)
    )
    pen.rect((mix, y), (pressed - mix, _TALL), MID, PAPER)
    pen.hatch((mix, y), (pressed - mix, _TALL), step=1.1)
    pen.rect((pressed, y), (free - pressed, _TALL), MID, PAPER)
    pen.rect((free, y), (done - free, _TALL), MID, INK)
    left = axis.x(visit.latest_pressure) + 1.8
    room = axis.x(visit.earliest_release) - left - 1.4
    for text, size in _names(visit, alone=alone):
        if letters.width(text, size, 700) <= room:
            pen.text((left, y + 6.6), text, Lettering(size, 700))
            return


def _names(visit: Visit, *, alone: bool) -> list[tuple[str, float]]:
    """What a bar may be called, the fullest first; a label used twice keeps a node of its run."""
    label = short(visit.connection_id)
    if alone:
        return [(f"{label} hold", 12.0), (label, 12.0), (label, 9.0)]
    near = f"{visit.run_id.split('-', 1)[0]}/{label}"
    full = visit.connection_id
    return [(full, 12.0), (full, 10.0), (near, 12.0), (near, 10.0), (near, 8.5), (label, 10.0)]


def _deadlines(pen: Pen, axis: _Axis, visits: Sequence[Visit], y: float) -> None:
    """Draw the deadlines: `by` under the bar, `from` over it, in words where they find room."""
    under: list[tuple[float, float]] = []
    over = [(x - 1.8, x + 1.8) for x in (axis.x(v.latest_pressure) for v in visits)]
    for visit in visits:
        by, free = axis.x(visit.latest_pressure), axis.x(visit.earliest_release)
        pen.line((by, y - 2.4), (by, y + 11.8), Stroke(0.7, BLUE))
        pen.shape(((by - 1.5, y - 3.4), (by + 1.5, y - 3.4), (by, y - 1.0)), None, BLUE)
        pen.line((free, y - 1.0), (free, y + 11.8), Stroke(0.7, BLUE))
    for visit in visits:
        by, free = axis.x(visit.latest_pressure), axis.x(visit.earliest_release)
        _time(pen, (by, y + 15.2), ("by ", words.at(visit.latest_pressure)), under)
        moment = words.at(visit.earliest_release, up=True)
        _time(pen, (free, y - 1.4), ("from ", moment), over)


def _time(pen: Pen, at: Point, said: tuple[str, str], taken: list[tuple[float, float]]) -> None:
    """Write a time beside its line, right or left of it, without its word where that is long."""
    for text in ("".join(said), said[1]):
        wide = letters.width(text, 9.5, 700)
        for left in (at[0] - 1.0, at[0] - wide + 1.0):
            inside = left >= _LEFT - 6.0 and left + wide <= WIDTH
            if inside and all(left + wide + 0.8 < a or left > b + 0.8 for a, b in taken):
                style = Lettering(9.5, 700, "start", BLUE, plate=True)
                pen.text((left, at[1]), text, style)
                taken.append((left, left + wide))
                return


def _key(pen: Pen, y: float) -> None:
    pen.hatch((_LEFT, y - 3.4), (9.0, 4.0), step=1.1)
    pen.rect((_LEFT, y - 3.4), (9.0, 4.0))
    pen.text((_LEFT + 11.0, y), "batch live: mix to pressure", Lettering(9.0))
    pen.rect((84.0, y - 3.4), (9.0, 4.0))
    pen.text((95.0, y), "hold", Lettering(9.0))
    pen.rect((107.0, y - 3.4), (9.0, 4.0), None, INK)
    pen.text((118.0, y), "out, leak test", Lettering(9.0))
    pen.line((147.0, y - 3.8), (147.0, y + 1.0), Stroke(0.7, BLUE))
    pen.text((149.5, y), "deadline", Lettering(9.0))

"""The scale of a map of values: its colour classes, what lies beyond its limits, its bar."""

import math
from dataclasses import dataclass

import numpy as np

from teewright.errors import InputError
from teewright.junction.skin import FloatArray, IntArray
from teewright.report import letters, words
from teewright.report.figures.colours import CIVIDIS, MARGINS, between
from teewright.report.pen import INK, PAPER, THIN, Lettering, Pen, Point, Stroke

CLASSES = 24
"""Classes of colour on a whole map: bands that can be read off."""

_TALL = 3.0
_LONGEST = 110.0
_LINE = 3.6
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Scale:
    """What a map shows, in the unit in which it is shown.

    Attributes:
        title: Name of the quantity, e.g. `Stretch, formed / cut`.
        unit: Unit of it, `""` for a ratio.
        low: Lower end of the scale.
        high: Upper end of the scale.
        limit: Of a margin the value at which it is used up: colours part there, and what is less
            is beyond the limit. None for a magnitude, whose ends are its limits.
        decimals: Of all figures.
        note: Sentence after the title; None for the usual one.
        hatched: Of a margin the value below which it is hatched; None for the limit itself.
    """

    title: str
    unit: str
    low: float
    high: float
    limit: float | None = None
    decimals: int = 2
    note: str | None = None
    hatched: float | None = None

    def __post_init__(self) -> None:
        ends = (self.low, self.high) if self.limit is None else (self.low, self.limit, self.high)
        finite = all(math.isfinite(v) for v in ends)
        if not finite or self.low >= self.high or list(ends) != sorted(ends):
            raise InputError(
                "is no scale", field=self.title, value=ends, allowed="rising, finite numbers"
            )

    @property
    def span(self) -> tuple[float, float]:
        """Values at the ends of the map of colours, evenly to both sides of a limit."""
        if self.limit is None:
            return self.low, self.high
        reach = max(self.high - self.limit, self.limit - self.low)
        return self.limit - reach, self.limit + reach

    def classes(self, values: FloatArray) -> IntArray:
        """Class of each value, 0 to `CLASSES` - 1; -1 where it is no finite number."""
        low, high = self.span
        shares = (np.where(np.isfinite(values), values, low) - low) / (high - low)
        found = np.floor(shares * CLASSES + _SLACK).astype(np.int64)
        return np.where(np.isfinite(values), np.clip(found, 0, CLASSES - 1), -1)

    def colour(self, number: int) -> str:
        """Colour of a class; paper where there is no value."""
        if number < 0:
            return PAPER
        anchors = CIVIDIS if self.limit is None else MARGINS
        return between(anchors, (number + 0.5) / CLASSES)

    def beyond(self, values: FloatArray) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """Which values lie beyond a limit, or beyond where the hatching starts."""
        slack = _SLACK * (self.high - self.low)
        if self.limit is not None:
            start = self.limit if self.hatched is None else self.hatched
            return np.asarray(values < start - slack)
        return np.asarray((values < self.low - slack) | (values > self.high + slack))

    def written(self, value: float, *, unit: bool = True) -> str:
        """A value with its decimals, and its unit where it has one."""
        return words.fixed(value, self.decimals, self.unit if unit else "")


def bar_height(scale: Scale, width: float, values: FloatArray) -> float:
    """From the top of the words over a bar to the foot of its figures [mm]."""
    return _LINE * len(_lines(scale, width, values)) + 12.4


def draw_bar(pen: Pen, at: Point, width: float, scale: Scale, values: FloatArray) -> None:
    """Draw the bar of a scale with its title, figures, and the range of what is shown.

    Args:
        pen: Pen.
        at: Top left corner of the block [mm].
        width: Of the block [mm].
        scale: Scale.
        values: Of the map.
    """
    x, y = at
    first, *rest = _lines(scale, width, values)
    title = _title(scale)
    pen.text((x, y + 3.0), title, _TITLE)
    pen.text((x + _title_width(scale), y + 3.0), first)
    for k, line in enumerate(rest):
        pen.text((x, y + 3.0 + _LINE * (k + 1)), line)
    top = y + 3.0 + _LINE * (1 + len(rest))
    long = min(width, _LONGEST)
    _bands(pen, (x, top), long, scale)
    known = values[np.isfinite(values)]
    if known.size:
        for value in sorted({float(known.min()), float(known.max())}):
            _pointer(pen, (x + long * _place(scale, value), top - 0.3))
    _figures(pen, (x, top + _TALL), long, scale)


_TITLE = Lettering(weight=600)


def _title(scale: Scale) -> str:
    return f"{scale.title}, {scale.unit}" if scale.unit else scale.title


def _title_width(scale: Scale) -> float:
    return letters.width(_title(scale), 8.0, 600) + 1.8


def _lines(scale: Scale, width: float, values: FloatArray) -> list[str]:
    """The note: what finds room after the title, then the rest in whole lines."""
    usual = "Ends of the scale are the limits."
    if scale.limit is not None:
        usual = f"The limit is {scale.written(scale.limit)}."
    note = usual if scale.note is None else scale.note
    if scale.beyond(values[np.isfinite(values)]).any():
        beyond = "beyond" if scale.hatched is None else f"below {scale.written(scale.hatched)}"
        note += f" Hatched: {beyond}."
    beside = width - _title_width(scale)
    if letters.width(note, 8.0) <= beside:
        return [note]
    return ["", *letters.wrap(note, width, 8.0)]


def _place(scale: Scale, value: float) -> float:
    return min(max((value - scale.low) / (scale.high - scale.low), 0.0), 1.0)


def _bands(pen: Pen, at: Point, width: float, scale: Scale) -> None:
    """One band a class; where a margin reaches less far to one side the bar is cut there."""
    (x, y), (low, high) = at, scale.span
    step = (high - low) / CLASSES
    for k in range(CLASSES):
        a, b = (_place(scale, low + step * n) * width for n in (k, k + 1))
        if b > a:
            colour = scale.colour(k)
            pen.rect((x + a, y), (b - a, _TALL), Stroke(0.1, colour), colour)
    pen.rect(at, (width, _TALL), THIN)


def _pointer(pen: Pen, tip: Point) -> None:
    x, y = tip
    pen.shape(((x, y), (x - 0.8, y - 1.7), (x + 0.8, y - 1.7)), None, INK)


def _figures(pen: Pen, at: Point, width: float, scale: Scale) -> None:
    """The ends and the limit always, round numbers where they find room."""
    x, y = at
    taken: list[tuple[float, float]] = []
    for value in (scale.low, scale.high, *_round_numbers(scale)):
        text = scale.written(value, unit=False)
        wide = letters.width(text, 8.0)
        place = x + width * _place(scale, value)
        left = min(max(place - wide / 2, x), x + width - wide)
        if any(left < b + 1.5 and left + wide > a - 1.5 for a, b in taken):
            continue
        taken.append((left, left + wide))
        pen.line((place, y), (place, y + 1.2), THIN)
        pen.text((left, y + 4.6), text)


def _round_numbers(scale: Scale) -> list[float]:
    first = [] if scale.limit is None else [scale.limit]
    least = (scale.high - scale.low) / 5.0
    power = 10.0 ** math.floor(math.log10(least))
    step = next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= least * (1.0 - _SLACK))
    step = max(step, 10.0**-scale.decimals)
    rows = range(math.ceil(scale.low / step), math.floor(scale.high / step) + 1)
    return [*first, *(k * step for k in rows)]

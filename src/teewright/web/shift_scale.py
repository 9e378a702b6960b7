"""The one scale of all time bars: seconds from the start of a shift, drawn as shares of a width.

Shares are percent of whatever the drawing is wide, so that no letter is ever scaled.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from teewright.kit.values import ShiftRules
from teewright.programme.values import Installation, Shift
from teewright.programme.windows import joined

HOUR = 3600
DAY = 86400
Span = tuple[float, float]
"""(start, end) in seconds from the start of a shift."""


@dataclass(frozen=True, slots=True)
class Scale:
    """From when to when is drawn.

    Attributes:
        low: Left end [s].
        high: Right end [s].
        start: Start of a shift, seconds after midnight.
    """

    low: float
    high: float
    start: float

    def share(self, seconds: float) -> float:
        """Place of a moment, percent of the width."""
        return round(100.0 * (seconds - self.low) / (self.high - self.low), 4)

    def part(self, span: Span) -> tuple[float, float]:
        """(place, width) of a span, percent of the width."""
        left, right = (self.share(min(max(s, self.low), self.high)) for s in span)
        return left, round(right - left, 4)

    @property
    def hours(self) -> tuple[tuple[float, str], ...]:
        """(place, hour) of each whole hour of the day."""
        first = math.ceil((self.start + self.low) / HOUR)
        last = math.floor((self.start + self.high) / HOUR)
        return tuple(
            (self.share(h * HOUR - self.start), f"{h % 24:02d}") for h in range(first, last + 1)
        )


def scale_of(shifts: Iterable[Shift], rules: ShiftRules) -> Scale:
    """The scale on which all shifts find room, whole hours of the day at both ends."""
    low, high = 0.0, rules.length
    for one in shifts:
        moments = [m for _, a, b in one.manholes for m in (a, b)]
        moments += [m for v in one.visits for m in (v.mix, v.tested)]
        seconds = [since(one, m) for m in moments]
        low, high = min([low, *seconds]), max([high, *seconds])
    begin = math.floor((rules.start + low) / HOUR) * HOUR - rules.start
    end = math.ceil((rules.start + high) / HOUR) * HOUR - rules.start
    return Scale(begin, end, rules.start)


def since(one: Shift, moment: datetime) -> float:
    """A moment in seconds from the start of a shift."""
    return (moment - one.start).total_seconds()


def no_flow_stop(asked: Installation, scale: Scale) -> tuple[Span, ...]:
    """When the main may not be blocked for an installation, however its hold begins."""
    if asked.holds is None:
        return _closed([(h * HOUR, (h + 1) * HOUR) for h in asked.allowed_hours], scale)
    return _closed([(w.first, w.last + w.longest) for w in asked.holds], scale)


def no_street(asked: Installation, scale: Scale) -> tuple[Span, ...]:
    """When the street may not be occupied for an installation."""
    return _closed(asked.access, scale) if asked.access else ()


def _closed(daily: Iterable[Span], scale: Scale) -> tuple[Span, ...]:
    """What windows that come back every day leave closed of the scale."""
    open_spans = joined(
        (a + k * DAY - scale.start, b + k * DAY - scale.start)
        for a, b in daily
        for k in range(-2, 4)
    )
    found: list[Span] = []
    reached = scale.low
    for a, b in open_spans:
        if a > reached and reached < scale.high:
            found.append((reached, min(a, scale.high)))
        reached = max(reached, b)
    if reached < scale.high:
        found.append((reached, scale.high))
    return tuple(found)

"""Daily windows laid over one shift.

A window is (start, end) in seconds after local midnight and comes back every day; its end may
pass 24 h. A stretch is whole seconds from the start of the shift.
"""

import math
from collections.abc import Iterable
from typing import TypeVar

from teewright.kit.values import ShiftRules

DAY = 86400.0
"""One day [s]."""

Number = TypeVar("Number", int, float)
Stretch = tuple[int, int]


def stretches(windows: tuple[tuple[float, float], ...], rules: ShiftRules) -> tuple[Stretch, ...]:
    """The parts of a shift that daily windows leave open.

    Args:
        windows: (start, end) in seconds after midnight each.
        rules: Start and length of the shift.

    Returns:
        Disjoint stretches in order, rounded inwards to whole seconds; windows that touch
        are one.
    """
    length = math.floor(rules.length)
    laid = (
        (start + day * DAY - rules.start, end + day * DAY - rules.start)
        for start, end in windows
        if end > start
        for day in range(-3, 4)
    )
    clipped = ((max(0, math.ceil(a)), min(length, math.floor(b))) for a, b in joined(laid))
    return tuple((a, b) for a, b in clipped if b > a)


def joined(spans: Iterable[tuple[Number, Number]]) -> list[tuple[Number, Number]]:
    """Spans in order; those that touch or overlap as one."""
    found: list[tuple[Number, Number]] = []
    for start, end in sorted(spans):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return found


def common(one: tuple[Stretch, ...], other: tuple[Stretch, ...]) -> tuple[Stretch, ...]:
    """Stretches that lie in both."""
    pairs = ((max(a[0], b[0]), min(a[1], b[1])) for a in one for b in other)
    return tuple(sorted((lo, hi) for lo, hi in pairs if hi > lo))

"""The same connection seen twice: passes laid on each other, one to one, after a common shift.

Two passes measure the same connection at chainages that differ by the play of the cable, and
by a common shift where they began to count at different points. So a shift is looked for
first, and then the pairs that leave the fewest alone with the least distance between them; one
to one, so that neighbours do not collapse into one.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

CLOCK_TOLERANCE = 1.5
"""Two sightings match within this of each other's clock [h]."""
_UNKNOWN_CLOCK = 0.5
"""Cost of a clock that is not known, in tolerances."""
_NO = 1e6
_ROUNDING = 1e-6
_STEP = 0.02
"""Shifts closer than this are tried once [m]."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A connection reduced to what is matched.

    Attributes:
        chainage: [m].
        clock: In flow view [h], or None.
    """

    chainage: float
    clock: float | None


@dataclass(frozen=True, slots=True)
class Match:
    """How one pass lies on another.

    Attributes:
        shift: To be added to the chainages of the second [m].
        pairs: Index in the first and in the second, of each pair.
        misfit: Sum of the distances that remain within the pairs [m].
    """

    shift: float
    pairs: tuple[tuple[int, int], ...]
    misfit: float


def match(
    first: Sequence[Mark], second: Sequence[Mark], *, tolerance: float, largest_shift: float
) -> Match:
    """Match two passes over one run.

    A shift other than 0 is taken only where it joins at least two pairs and more than none does.

    Args:
        first: Connections already known.
        second: Connections of a further pass.
        tolerance: Largest distance within a pair [m].
        largest_shift: Largest common shift that is looked for [m].
    """
    best = assign(first, second, tolerance=tolerance, shift=0.0)
    complete = min(len(first), len(second))
    if len(best.pairs) == complete:
        return best
    for shift in _shifts(first, second, largest_shift):
        tried = assign(first, second, tolerance=tolerance, shift=shift)
        if len(tried.pairs) >= 2 and _better(tried, best):
            best = tried
    return best


def assign(
    first: Sequence[Mark], second: Sequence[Mark], *, tolerance: float, shift: float
) -> Match:
    """The most pairs, and among those the nearest, at one given shift.

    Args:
        first: Connections already known.
        second: Connections of a further pass.
        tolerance: Largest distance within a pair [m].
        shift: Added to the chainages of `second` [m].
    """
    if not first or not second:
        return Match(shift, (), 0.0)
    distance, cost = _costs(first, second, tolerance, shift)
    pairs = _assigned(cost)
    return Match(shift, tuple(pairs), sum(float(distance[i, j]) for i, j in pairs))


def _assigned(cost: NDArray[np.float64]) -> list[tuple[int, int]]:
    """Pairs of least cost; where none competes with another there is nothing to choose."""
    can = cost < _NO
    if can.sum(axis=0).max() <= 1 and can.sum(axis=1).max() <= 1:
        return [(int(i), int(j)) for i, j in np.argwhere(can)]
    from scipy.optimize import linear_sum_assignment  # noqa: PLC0415  slow to load, seldom needed

    rows, columns = linear_sum_assignment(cost)
    return [(int(i), int(j)) for i, j in zip(rows, columns, strict=True) if can[i, j]]


def _better(tried: Match, best: Match) -> bool:
    if len(tried.pairs) != len(best.pairs):
        return len(tried.pairs) > len(best.pairs)
    return best.shift != 0.0 and (tried.misfit, abs(tried.shift)) < (best.misfit, abs(best.shift))


def _costs(
    first: Sequence[Mark], second: Sequence[Mark], tolerance: float, shift: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Distances [m] and costs [-] of every pair, one row for each of `first`."""
    a, b = _column(first), _column(second) + np.array([[shift], [0.0]])
    distance = np.abs(a[0][:, None] - b[0])
    around = np.abs(a[1][:, None] - b[1]) % 12.0
    turned = np.minimum(around, 12.0 - around) / CLOCK_TOLERANCE
    cost = distance / tolerance + np.where(np.isnan(turned), _UNKNOWN_CLOCK, turned)
    apart = (distance > tolerance + _ROUNDING) | (turned > 1.0 + _ROUNDING)
    return distance, np.where(apart, _NO, cost)


def _column(marks: Sequence[Mark]) -> NDArray[np.float64]:
    """Chainages and clocks as two rows; a clock that is not known is not a number."""
    clocks = [np.nan if mark.clock is None else mark.clock for mark in marks]
    return np.array([[mark.chainage for mark in marks], clocks])


def _shifts(first: Sequence[Mark], second: Sequence[Mark], largest: float) -> list[float]:
    steps = {
        round((a.chainage - b.chainage) / _STEP)
        for a in first
        for b in second
        if abs(a.chainage - b.chainage) <= largest + _ROUNDING
    }
    return sorted((step * _STEP for step in steps if step), key=abs)

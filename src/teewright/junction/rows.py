"""Rows of a mesh: even ones beside the seam, then growing ones."""

import math

import numpy as np

from teewright.junction.skin import FloatArray


def row_count(length: float, even: int, size: float, growth: float, coarsest: float) -> int:
    """Rows that reach over a length: even ones, then growing ones.

    Args:
        length: Longest way [m].
        even: Rows of even spacing.
        size: Their spacing [m].
        growth: Greatest ratio of neighbouring rows [-].
        coarsest: Greatest spacing [m].

    Returns:
        The number, above `even`.
    """
    rest = length - even * size
    if rest <= 0.0:
        return even + 1
    rate = math.log(growth)
    # rows until the spacing reaches the coarsest one, then rows of that spacing
    grown = math.log(max(coarsest / size, 1.0 + 1e-9)) / rate
    reached = size * math.expm1(grown * rate) / rate
    if rest <= reached:
        return even + max(1, math.ceil(math.log1p(rest * rate / size) / rate))
    return even + math.ceil(grown + (rest - reached) / coarsest)


def graded(length: FloatArray, count: int, even: int, size: float, parts: int) -> FloatArray:
    """Distances of rows: even ones, then growing geometrically to a given length.

    A continuous function of the row's number, so that parts of a row nest exactly.

    Args:
        length: Whole way of each column, shape (n,) [m].
        count: Rows before division.
        even: Of these, rows of even spacing.
        size: Their spacing [m].
        parts: Parts of each row.

    Returns:
        Shape (n, count * parts + 1) [m].
    """
    row = np.arange(count * parts + 1) / parts
    # a column too short for even rows gets them closer, evenly
    step = np.minimum(size, length / count)[:, None]
    grown = count - even
    rate = _growth_rate((length / step[:, 0] - even) / grown)[:, None] / grown
    over = np.maximum(row - even, 0.0)[None, :]
    safe = np.where(rate > 0.0, rate, 1.0)
    growing = np.where(rate > 0.0, np.expm1(safe * over) / safe, over)
    rows = step * (np.minimum(row, even)[None, :] + growing)
    rows[:, -1] = length
    return np.asarray(rows)


def _growth_rate(mean: FloatArray) -> FloatArray:
    """The a with (exp(a) - 1)/a = mean, 0 where the mean is not above 1, shape (n,)."""
    wanted = np.maximum(mean, 1.0 + 1e-9)
    # the left side is convex: from above the root Newton comes down without a miss
    rate = 2.0 * np.log(wanted) + 1e-9
    for _ in range(60):
        value = np.expm1(rate) / rate
        step = (value - wanted) * rate / (np.exp(rate) - value)
        rate = np.maximum(rate - step, 1e-12)
        if float(np.abs(step).max(initial=0.0)) < 1e-13:
            break
    return np.asarray(np.where(mean > 1.0 + 1e-9, rate, 0.0))

"""Compiled rate and conversion of a resin; `kinetics` prepares the numbers that it reads.

Steps are those of the explicit pair of Dormand and Prince (1980), J. Comput. Appl. Math. 6,
19-26: a single rate is cheap, so that what little stiffness it has only costs steps.
"""

import math
from typing import Any

import numpy as np
from numba import njit

_compiled = njit(cache=True, error_model="numpy")

GAS = 8.31446261815324
# the pair's own constants: nodes, weights of each stage, fifth less fourth order
NODES = np.array([0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0])
WEIGHTS = np.array(
    [
        [0.0] * 7,
        [1 / 5, 0, 0, 0, 0, 0, 0],
        [3 / 40, 9 / 40, 0, 0, 0, 0, 0],
        [44 / 45, -56 / 15, 32 / 9, 0, 0, 0, 0],
        [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729, 0, 0, 0],
        [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656, 0, 0],
        [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84, 0],
    ]
)
ERROR = np.array([71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40])
SHORTEST = 1e-6
"""No step is cut below this [s]."""
GROW, SHRINK, SAFE = 4.0, 0.2, 0.8
"""Most and least change of the step from one to the next, and the share of it that is dared."""

# places in the numbers of a resin
A1, E1, A2, E2, M, N = range(6)


@_compiled
def speed(numbers: Any, conversion: float, temperature: float) -> float:
    """Rate of conversion [1/s]."""
    done = min(max(conversion, 0.0), 1.0)
    inverse = 1.0 / (GAS * temperature)
    k1 = numbers[A1] * math.exp(-numbers[E1] * inverse)
    k2 = numbers[A2] * math.exp(-numbers[E2] * inverse)
    return float((k1 + k2 * done ** numbers[M]) * (1.0 - done) ** numbers[N])


@_compiled
def between(at: float, times: Any, values: Any) -> float:
    """Straight line between two neighbours, the ends held."""
    last = len(times) - 1
    if at <= times[0]:
        return float(values[0])
    if at >= times[last]:
        return float(values[last])
    low, high = 0, last
    while high - low > 1:
        middle = (low + high) // 2
        if times[middle] <= at:
            low = middle
        else:
            high = middle
    share = (at - times[low]) / (times[high] - times[low])
    return float(values[low] + share * (values[high] - values[low]))


@_compiled
def next_step(step: float, error: float, power: float) -> float:
    """The step to try after one whose error was `error` times the tolerance."""
    factor = SAFE * max(error, 1e-10) ** -power
    return float(step * min(GROW, max(SHRINK, factor)))


@_compiled
def _stride(numbers: Any, state: Any, step: float, heat: Any) -> Any:
    """One step of Dormand and Prince's pair from (conversion, rate): conversion, rate, error."""
    done, rate = state
    start, rise = heat
    slope = np.empty(7)
    slope[0] = rate
    for stage in range(1, 7):
        reach = 0.0
        for before in range(stage):
            reach += WEIGHTS[stage, before] * slope[before]
        warm = start + rise * NODES[stage]
        slope[stage] = speed(numbers, done + step * reach, warm)
    new = min(done + step * np.dot(WEIGHTS[6], slope), 1.0)
    return new, slope[6], abs(step * np.dot(ERROR, slope))


@_compiled
def along(numbers: Any, path: Any, stops: Any, start: float, tolerance: float) -> Any:
    """Conversion at each of the ascending `stops`, from `start` at the first of them.

    `path` is (times, temperatures). Nothing is stepped over: the knots of the path are stops.
    The tolerance is a share of the conversion.
    """
    times, temperatures = path
    found = np.empty(len(stops))
    found[0] = start
    now, done = stops[0], start
    step = 1.0
    for place in range(1, len(stops)):
        stop = stops[place]
        rate = speed(numbers, done, between(now, times, temperatures))
        while now < stop:
            span = min(step, stop - now)
            warm = between(now, times, temperatures)
            heat = (warm, between(now + span, times, temperatures) - warm)
            new, after, error = _stride(numbers, (done, rate), span, heat)
            # relative: a resin that starts slowly multiplies its early errors
            error /= tolerance * max(new, 1e-12)
            if error <= 1.0 or span < SHORTEST:
                now = stop if span == stop - now else now + span
                done, rate = new, after
                grown = next_step(span, error, 0.2)
                # a step cut short by a stop says nothing against the one that was meant
                step = max(grown, step) if span < step else grown
            else:
                step = next_step(span, error, 0.2)
        found[place] = done
    return found

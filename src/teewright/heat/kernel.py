"""Compiled march of heat and cure along a chain of cells; `chain` prepares what it reads.

C_i dT_i/dt = g_i (T_(i-1) - T_i) + g_(i+1) (T_(i+1) - T_i) + Q_i da_i/dt, with the fluids at both
ends, and da_i/dt = rate(a_i, T_i). Steps are those of the second-order Rosenbrock pair of
Shampine and Reichelt (1997), SIAM J. Sci. Comput. 18, 1-22, sec. 3. It keeps its order with any
matrix in place of the Jacobian: the conduction is kept in it, and of the reaction only what
decays, because these are what makes a step unstable.
"""

import math
from typing import Any, NamedTuple

import numpy as np
from numba import njit

from teewright.resin.kernel import between, next_step, speed

_compiled = njit(cache=True, error_model="numpy")

GAMMA = 1.0 / (2.0 + math.sqrt(2.0))
E32 = 6.0 + math.sqrt(2.0)
KELVIN = 50.0
"""Error of temperature that weighs as much as one of the whole conversion [K]."""
START = 0.1
"""Step tried first [s]."""
SHORTEST = 1e-7
"""No step is cut below this [s]."""


# places in the store: state, its slopes, both stages, slopes after, state after, scratch
STATE, FIRST, ONE, TWO, LAST, NEW, PROBE = range(7)


class Chain(NamedTuple):
    """Cells from the inside outwards, and what surrounds them.

    Attributes:
        capacity: Of each cell [J/K].
        link: Conductance from the inner fluid, between neighbours, to the outer one [W/K].
        heat: Released by each cell on full conversion [J]; 0 where it holds no resin.
        numbers: A1, E1, A2, E2, m, n of the resin.
        inner: Times of the inner fluid [s].
        inner_heat: Its temperatures [K].
        outer: Times of the outer one [s].
        outer_heat: Its temperatures [K].
    """

    capacity: Any
    link: Any
    heat: Any
    numbers: Any
    inner: Any
    inner_heat: Any
    outer: Any
    outer_heat: Any


@_compiled
def _slopes(chain: Chain, state: Any, now: float, out: Any) -> None:
    """Rates of temperature out[0] and conversion out[1]."""
    warm, done = state
    count = len(warm)
    inflow = chain.link[0] * (between(now, chain.inner, chain.inner_heat) - warm[0])
    for i in range(count):
        if i + 1 < count:
            onward = chain.link[i + 1] * (warm[i] - warm[i + 1])
        else:
            onward = chain.link[count] * (warm[i] - between(now, chain.outer, chain.outer_heat))
        out[1, i] = 0.0
        if chain.heat[i] > 0.0:
            out[1, i] = speed(chain.numbers, done[i], warm[i])
        out[0, i] = (inflow - onward + chain.heat[i] * out[1, i]) / chain.capacity[i]
        inflow = onward


@_compiled
def _factor(chain: Chain, reach: float, work: Any) -> None:
    """Eliminate the tridiagonal 1 + reach * conduction: work[0] pivots, work[1] upper."""
    count = len(chain.capacity)
    for i in range(count):
        lower = -reach * chain.link[i] / chain.capacity[i] if i else 0.0
        pivot = 1.0 + reach * (chain.link[i] + chain.link[i + 1]) / chain.capacity[i]
        if i:
            pivot -= lower * work[1, i - 1]
        work[0, i] = pivot
        work[1, i] = -reach * chain.link[i + 1] / chain.capacity[i] / pivot


@_compiled
def _solve(chain: Chain, reach: float, work: Any, out: Any) -> None:
    """Solve in place for both rows of `out`; work[2] holds 1 over 1 + reach * decay.

    What the decay takes from the conversion it takes from the heat too, so that the march keeps
    the sum of heat and what is still to be released.
    """
    count = len(chain.capacity)
    for i in range(count):
        out[0, i] -= chain.heat[i] / chain.capacity[i] * (1.0 - work[2, i]) * out[1, i]
        out[1, i] *= work[2, i]
        if i:
            lower = -reach * chain.link[i] / chain.capacity[i]
            out[0, i] -= lower * out[0, i - 1]
        out[0, i] /= work[0, i]
    for i in range(count - 2, -1, -1):
        out[0, i] -= work[1, i] * out[0, i + 1]


@_compiled
def _stages(chain: Chain, now: float, step: float, store: Any, work: Any) -> None:
    """Both stages of the pair: the new state in store[STATE, NEW], its slopes in store[LAST]."""
    state, first, one, two = store[STATE], store[FIRST], store[ONE], store[TWO]
    new, probe = store[NEW], store[PROBE]
    count = len(chain.capacity)
    for i in range(count):
        decay = chain.numbers[5] * first[1, i] / max(1.0 - state[1, i], 1e-9)
        work[2, i] = 1.0 / (1.0 + GAMMA * step * decay)
        for row in range(2):
            one[row, i] = first[row, i]
    _solve(chain, GAMMA * step, work, one)
    for i in range(count):
        for row in range(2):
            new[row, i] = state[row, i] + 0.5 * step * one[row, i]
    _slopes(chain, new, now + 0.5 * step, probe)
    for i in range(count):
        for row in range(2):
            two[row, i] = probe[row, i] - one[row, i]
    _solve(chain, GAMMA * step, work, two)
    for i in range(count):
        for row in range(2):
            two[row, i] += one[row, i]
            new[row, i] = state[row, i] + step * two[row, i]
        if new[1, i] > 1.0:
            # what would have been released beyond the whole heat is taken back
            new[0, i] -= chain.heat[i] / chain.capacity[i] * (new[1, i] - 1.0)
            new[1, i] = 1.0
    _slopes(chain, new, now + step, store[LAST])


@_compiled
def _error(chain: Chain, step: float, store: Any, work: Any) -> float:
    """What the third stage says of the two, in shares of the whole conversion."""
    first, one, two, last, probe = store[FIRST], store[ONE], store[TWO], store[LAST], store[PROBE]
    count = len(chain.capacity)
    for i in range(count):
        for row in range(2):
            back = E32 * (two[row, i] - probe[row, i]) + 2.0 * (one[row, i] - first[row, i])
            probe[row, i] = last[row, i] - back
    _solve(chain, GAMMA * step, work, probe)
    error = 0.0
    for i in range(count):
        for row in range(2):
            off = abs(one[row, i] - 2.0 * two[row, i] + probe[row, i]) * step / 6.0
            error = max(error, off / KELVIN if row == 0 else off)
    return error


@_compiled
def _cubic(share: float, step: float, store: Any, place: Any) -> float:
    """Value within the step of one row and cell."""
    row, i = place
    rest = 1.0 - share
    return float(
        store[STATE, row, i] * (1.0 + 2.0 * share) * rest * rest
        + store[NEW, row, i] * share * share * (3.0 - 2.0 * share)
        + step * share * rest * (store[FIRST, row, i] * rest - store[LAST, row, i] * share)
    )


@_compiled
def _cross(step: float, store: Any, cell: int, mark: float) -> float:
    """Share of the step at which a cell's conversion passes a mark."""
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        if _cubic(middle, step, store, (1, cell)) < mark:
            low = middle
        else:
            high = middle
    return high


@_compiled
def _passed(now: float, step: float, store: Any, marks: Any, found: Any) -> int:
    """Note when each cell passed each mark; returns the cells still short of the last one."""
    short = 0
    last = len(marks) - 1
    for i in range(found.shape[1]):
        for j in range(last + 1):
            if store[STATE, 1, i] < marks[j] <= store[NEW, 1, i]:
                found[j, i] = now + step * _cross(step, store, i, marks[j])
        if store[FIRST, 1, i] > 0.0 and store[NEW, 1, i] < marks[last]:
            short += 1
    return short


@_compiled
def _through(chain: Chain, now: float, step: float, store: Any) -> Any:
    """Heat that came in at both ends during a step [J].

    The corrected trapezium rule, from the flows and their slopes at both ends of the step.
    """
    total = np.zeros(2)
    for end in range(2):
        times, heats = (chain.outer, chain.outer_heat) if end else (chain.inner, chain.inner_heat)
        i = len(chain.capacity) - 1 if end else 0
        link = chain.link[len(chain.capacity) if end else 0]
        before, after = between(now, times, heats), between(now + step, times, heats)
        both = before + after - store[STATE, 0, i] - store[NEW, 0, i]
        bend = store[LAST, 0, i] - store[FIRST, 0, i]
        total[end] = link * step * (0.5 * both + step * bend / 12.0)
    return total


@_compiled
def _begin(chain: Chain, start: Any, marks: Any) -> Any:
    """Marks passed before the start, and the hottest resin at the start."""
    count = len(chain.capacity)
    found, peak = np.full((len(marks), count), np.inf), np.zeros(3)
    for i in range(count):
        for j in range(len(marks)):
            if start[1, i] >= marks[j]:
                found[j, i] = 0.0
        if chain.heat[i] > 0.0 and start[0, i] > peak[0]:
            peak[0], peak[1] = start[0, i], i
    return found, peak


@_compiled
def _tell(outputs: Any, told: int, when: Any, store: Any, story: Any) -> int:
    """Write the outputs that fall into a step (from, to, length); returns the next one."""
    now, after, span = when
    while told < len(outputs) and outputs[told] <= after:
        for row in range(2):
            for i in range(story.shape[2]):
                share = (outputs[told] - now) / span
                story[told, row, i] = _cubic(share, span, store, (row, i))
        for i in range(story.shape[2]):
            # the cubic may overshoot the end of the reaction by a hair
            story[told, 1, i] = min(story[told, 1, i], 1.0)
        told += 1
    return told


@_compiled
def _hottest(chain: Chain, after: float, store: Any, peak: Any) -> None:
    """Keep the hottest temperature of the resin, its cell and time."""
    for i in range(len(chain.capacity)):
        if chain.heat[i] > 0.0 and store[NEW, 0, i] > peak[0]:
            peak[0], peak[1], peak[2] = store[NEW, 0, i], i, after


@_compiled
def march(chain: Chain, start: Any, outputs: Any, knots: Any, marks: Any, control: Any) -> Any:
    """Temperatures and conversions at the ascending `outputs`, the first of them 0.

    `start` holds temperature and conversion of each cell, `knots` the times not to be stepped
    over, the last of them the end, `control` the tolerance of a step, the most steps, and
    whether to stop once all resin has passed the last of the marks.

    Returns:
        Histories (outputs, 2, cells), times of the marks (marks, cells), heat in at both ends,
        hottest temperature, its cell and time, steps done (below 0 where given up), last
        time, last state.
    """
    tolerance, most, early = control
    count = len(chain.capacity)
    store, work = np.zeros((7, 2, count)), np.zeros((3, count))
    story = np.full((len(outputs), 2, count), np.nan)
    store[STATE] = start
    story[0] = start
    found, peak = _begin(chain, start, marks)
    _slopes(chain, store[STATE], 0.0, store[FIRST])
    flow = np.zeros(2)
    now, step, told, steps, short = 0.0, START, 1, 0, 1
    for knot in knots:
        while now < knot and not (early and short == 0):
            if steps >= most:
                return story, found, flow, peak, -steps, now, store[STATE]
            span = min(step, knot - now)
            _factor(chain, GAMMA * span, work)
            _stages(chain, now, span, store, work)
            error = _error(chain, span, store, work) / tolerance
            steps += 1
            if error > 1.0 and span > SHORTEST:
                step = next_step(span, error, 1.0 / 3.0)
                continue
            after = knot if span == knot - now else now + span
            short = _passed(now, span, store, marks, found)
            flow += _through(chain, now, span, store)
            told = _tell(outputs, told, (now, after, span), store, story)
            _hottest(chain, after, store, peak)
            store[STATE] = store[NEW]
            store[FIRST] = store[LAST]
            grown = next_step(span, error, 1.0 / 3.0)
            step = max(grown, step) if span < step else grown
            now = after
    return story, found, flow, peak, steps, now, store[STATE]

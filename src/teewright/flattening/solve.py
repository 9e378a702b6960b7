"""The two problems of flattening: least spread of stretch, and least energy in a window."""

import math
from dataclasses import dataclass

import numpy as np

from teewright.errors import ConvergenceError, GeometryError
from teewright.flattening.system import (
    Objective,
    System,
    gaps,
    newton_step,
    objective,
    one_thread,
    strains,
    system_of,
)
from teewright.flattening.turn import Free, free_pieces, moved, turned_like
from teewright.flattening.values import Flattening, FloatArray, Pieces, Stiffness

MOST_STEPS = 150
"""Newton steps after which a solver gives up."""
SMALLEST = 1e-10
"""Limit of logarithmic stretch below which a surface counts as developable."""
WIDEST = 0.5
"""First width of the soft largest strain, over the largest of the start."""
FALL = 0.5
"""Ratio of one width to the one before."""
LOOSE, LAST = 0.3, 0.03
"""Fall still expected, over the width, at which a width is left, and the last one."""
FINE = 1e-3
"""The same over the last weight of the barrier."""
WIDE = 0.03
"""Largest strain above which the last width is no longer a share of it."""
EQUAL, ALMOST_EQUAL = 1e-6, 1e-3
"""Largest difference of the edges of a pair over their length, about: at the last, and before."""
BARRIERS = (1e-2, 1e-3, 1e-4, 1e-5)
"""Weights of the barrier, over the squared width of the window in logarithms."""


@dataclass(slots=True, eq=False)
class _State:
    """Where the iteration stands."""

    flat: FloatArray
    tensions: FloatArray
    free: Free
    steps: int = 0
    left: float = math.inf
    share: float = 1.0
    damping: float = 0.0
    press: float = 1.0


def least_spread(pieces: Pieces, start: FloatArray, *, tolerance: float = 0.02) -> Flattening:
    """Lay pieces flat with the least t*, the largest over the smallest principal stretch.

    The mean square of logarithmic strain is made least first, then the largest, softly: over a
    width that falls step by step, so that the path leads from the one to the other. Where the
    largest absolute strain is least it stands on both sides, t* = exp(2 m).

    Args:
        pieces: The surface, cut.
        start: Flat corners with no triangle turned over, shape (k, 2) [m].
        tolerance: Last width over the largest logarithmic strain, or over `WIDE` if less [-].

    Returns:
        The best map found, a local optimum.

    Raises:
        GeometryError: A triangle of the start is turned over.
        ConvergenceError: It gave up.
    """
    system = system_of(pieces)
    with one_thread():
        state = _relaxed(system, start, steps=MOST_STEPS)
        width = WIDEST * _spread(system, state.flat)
        while width > SMALLEST:
            last = width <= tolerance * min(_spread(system, state.flat), WIDE)
            enough = (LAST if last else LOOSE) * width
            _settle(system, _plain(system, width), state, enough, last=last)
            if last:
                break
            width *= FALL
        state.flat = turned_like(state.free, state.flat, start)
    return _result(system, state)


def least_energy(
    pieces: Pieces,
    start: FloatArray,
    *,
    stiffness: Stiffness,
    targets: FloatArray,
    window: tuple[float, float],
) -> Flattening:
    """Lay pieces flat with the least orthotropic energy about targets, inside a window.

    Args:
        pieces: The surface, cut.
        start: Flat corners of which some uniform scaling lies inside the window, shape (k, 2)
            [m].
        stiffness: Of the cloth.
        targets: Wanted stretch (along, across the grain), shape (2,) or (m, 2) [-].
        window: Least and largest principal stretch [-].

    Returns:
        The map.

    Raises:
        GeometryError: The start does not fit the window (the sentence has its t*), or window
            or targets are no stretches.
        ConvergenceError: It gave up.
    """
    _check_wishes(targets, window)
    system = system_of(pieces)
    low, high = math.log(window[0]), math.log(window[1])
    flat = _centred(system, start)
    _check_window(_spread(system, flat), window)
    state = _State(
        flat * math.exp(-0.5 * (low + high)), np.zeros(len(system.pairs)), free_pieces(system)
    )
    quad, aims = _quadratic(stiffness), _aims(targets, len(system.triangles))
    with one_thread():
        for share in BARRIERS:
            weight = share * (high - low) ** 2
            aim = Objective(0.0, quad, aims, np.array([weight, high, -low]))
            last = share == BARRIERS[-1]
            _settle(system, aim, state, (FINE if last else LOOSE) * weight, last=last)
    return _result(system, state)


def _relaxed(system: System, start: FloatArray, *, steps: int) -> _State:
    state = _State(_centred(system, start), np.zeros(len(system.pairs)), free_pieces(system))
    aim = _plain(system, 0.0)
    while state.steps < steps and state.left > 1e-8:
        _advance(system, aim, state)
    return state


def _plain(system: System, width: float) -> Objective:
    count = len(system.triangles)
    return Objective(width, np.eye(3), np.zeros((count, 3)), np.array([0.0, 1.0, 1.0]))


def _check_wishes(targets: FloatArray, window: tuple[float, float]) -> None:
    if not 0.0 < window[0] < window[1] < math.inf:
        raise GeometryError(
            f"a window of stretch from {window[0]:.4g} to {window[1]:.4g} is none: it must begin "
            "above 0 and end above its beginning"
        )
    if not np.all((targets > 0.0) & np.isfinite(targets)):
        raise GeometryError("a target of stretch is not above 0")


def _check_window(spread: float, window: tuple[float, float]) -> None:
    ratio = math.exp(2.0 * spread)
    if ratio >= window[1] / window[0]:
        raise GeometryError(
            f"the pieces cannot be kept within a stretch of {window[0]:.3f} to {window[1]:.3f}: "
            f"largest over smallest stretch is {ratio:.4f} at best, the window allows "
            f"{window[1] / window[0]:.4f}"
        )


def _quadratic(stiffness: Stiffness) -> FloatArray:
    """Energy in (h, q) over the mean of the two stiffnesses."""
    one, two = stiffness.across, stiffness.along
    twice, shear = 2.0 * stiffness.coupling, 4.0 * stiffness.shear
    matrix = np.array(
        [
            [one + two + twice, one - two, 0.0],
            [one - two, one + two - twice, 0.0],
            [0.0, 0.0, shear],
        ]
    )
    return matrix * (2.0 / (one + two))


def _aims(targets: FloatArray, count: int) -> FloatArray:
    """Targets (along, across) as (h, q1, q2)."""
    along, across = np.moveaxis(np.log(np.broadcast_to(targets, (count, 2))), -1, 0)
    return np.column_stack([-0.5 * (along + across), 0.5 * (along - across), np.zeros(count)])


def _must(found: FloatArray | None) -> FloatArray:
    if found is None:
        raise GeometryError("a triangle of the flat pieces is turned over or has no area")
    return found


def _centred(system: System, flat: FloatArray) -> FloatArray:
    """Scaled so that the extremes of logarithmic stretch lie evenly about 0."""
    found = _must(strains(system, flat))
    part = np.hypot(found[:, 1], found[:, 2])
    middle = 0.5 * float(np.max(part - found[:, 0]) + np.min(-part - found[:, 0]))
    scaled: FloatArray = flat * math.exp(middle)
    return scaled


def _spread(system: System, flat: FloatArray) -> float:
    """Largest absolute logarithmic principal stretch."""
    found = _must(strains(system, flat))
    return float(np.max(np.abs(found[:, 0]) + np.hypot(found[:, 1], found[:, 2])))


def _settle(system: System, aim: Objective, state: _State, enough: float, *, last: bool) -> None:
    """Newton steps until the fall still expected is small and the pairs are equal."""
    equal, before, apart = EQUAL if last else ALMOST_EQUAL, math.inf, math.inf
    state.press = 1.0
    for _ in range(MOST_STEPS):
        _advance(system, aim, state)
        apart = float(np.max(np.abs(gaps(system, state.flat)), initial=0.0))
        if state.left < enough and apart < equal:
            return
        # rounding keeps the expected fall from getting smaller: nothing is left to gain
        if state.share == 0.0 and before < 100.0 * enough and apart < equal:
            return
        # nothing left to gain but equal edges: let those decide more and more
        state.press = min(10.0 * state.press, 1e6) if state.left < enough else 1.0
        before = state.left
    # a piece that may turn at next to no price takes long to find how it lies best
    if state.left < 100.0 * enough and apart < equal:
        return
    raise ConvergenceError("laying the pieces flat", iterations=state.steps, residual=state.left)


def _advance(system: System, aim: Objective, state: _State) -> None:
    """One Newton step, shortened until objective and gaps together fall."""
    step = newton_step(system, aim, state.flat, state.tensions, state.damping)
    price = 1.5 * state.press * float(np.max(np.abs(step.tensions), initial=0.0))

    def cost(flat: FloatArray) -> float:
        return objective(system, aim, flat) + price * float(np.abs(gaps(system, flat)).sum())

    before = cost(state.flat)
    fall = step.slope - price * float(np.abs(gaps(system, state.flat)).sum())
    share = 1.0
    while share > 1e-6:
        there = moved(state.free, state.flat, step.flat, share)
        if cost(there) <= before + 1e-4 * share * fall + 1e-14 * abs(before):
            break
        share *= 0.5
    else:
        share, there = 0.0, state.flat
    state.flat, state.left, state.share = there, abs(fall), share
    state.tensions = state.tensions + share * (step.tensions - state.tensions)
    state.steps += 1
    _damp(state, share)


def _damp(state: _State, share: float) -> None:
    """More damping after a short step, less after a long one."""
    if share < 0.1:
        state.damping = max(10.0 * state.damping, 1e-6)
    elif share > 0.4:
        state.damping = 0.5 * state.damping if state.damping > 1e-8 else 0.0


def _result(system: System, state: _State) -> Flattening:
    found = _must(strains(system, state.flat))
    part = np.hypot(found[:, 1], found[:, 2])
    stretch = np.exp(np.column_stack([part - found[:, 0], -part - found[:, 0]]))
    return Flattening(
        flat=state.flat,
        stretch=stretch,
        along=_threads(found),
        ratio=float(stretch[:, 0].max() / stretch[:, 1].min()),
        mismatch=_mismatch(system, state.flat),
        iterations=state.steps,
        residual=state.left,
    )


def _threads(found: FloatArray) -> FloatArray:
    """Stretch of threads along and across the grain, from C = exp(2 E)."""
    part = np.hypot(found[:, 1], found[:, 2])
    turn = np.divide(found[:, 1], part, out=np.zeros_like(part), where=part > 0.0)
    mean, half = np.cosh(2.0 * part), np.sinh(2.0 * part) * turn
    both = np.column_stack([mean + half, mean - half])
    threads: FloatArray = np.sqrt(both) * np.exp(-found[:, :1])
    return threads


def _mismatch(system: System, flat: FloatArray) -> float:
    ends = flat[system.pairs]
    one, two = ends[:, 1] - ends[:, 0], ends[:, 3] - ends[:, 2]
    apart = np.linalg.norm(one, axis=1) - np.linalg.norm(two, axis=1)
    return float(np.max(np.abs(apart), initial=0.0))

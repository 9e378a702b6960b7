"""The unknowns of a flattening, in an order that keeps the matrix narrow, and its Newton step."""

import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import numpy as np
from scipy.linalg.lapack import dpbtrf, dpbtrs
from scipy.sparse import coo_array
from scipy.sparse.csgraph import reverse_cuthill_mckee
from threadpoolctl import ThreadpoolController  # type: ignore[import-untyped]

from teewright.errors import ConvergenceError, GeometryError
from teewright.flattening import kernel
from teewright.flattening.values import FloatArray, IntArray, Pieces

STIFF = 1e5
"""Weight of a pair's squared gap over that of a triangle's strain."""
STEADY = 1e-9
"""Share of the mean diagonal that is added to hold pieces that float freely."""
HELD = (1e-7, 1e-5, 1e-3)
"""The same where rounding makes the matrix not positive: less and less of a step."""


@dataclass(frozen=True, slots=True, eq=False)
class System:
    """What stays the same from step to step.

    Attributes:
        triangles: Shape (m, 3).
        grads: Gradients of the corners' shape functions in the formed triangle, shape
            (m, 3, 2) [1/m].
        weight: Share of each triangle in the formed area, shape (m,) [-].
        area: Formed area of each triangle, shape (m,) [m2].
        pairs: Sewn edges, shape (p, 4).
        scale: What squared lengths of pairs are compared by, shape (p,) [m2].
        slots: Number of each unknown, or -1 where it is held, shape (k, 2).
        unknowns: How many there are.
        width: Diagonals of the lower band.
    """

    triangles: IntArray
    grads: FloatArray
    weight: FloatArray
    area: FloatArray
    pairs: IntArray
    scale: FloatArray
    slots: IntArray
    unknowns: int
    width: int


@contextmanager
def one_thread() -> Iterator[None]:
    """Dense algebra on one thread: small blocks wait for each other more than they work."""
    with ThreadpoolController().limit(limits=1, user_api="blas"):
        yield


def system_of(pieces: Pieces) -> System:
    """Number the unknowns and take the formed shapes.

    Args:
        pieces: The surface, cut.

    Returns:
        The system.
    """
    grads, area = shapes(pieces.sides)
    slots = _number(pieces)
    return System(
        triangles=np.ascontiguousarray(pieces.triangles, dtype=np.int64),
        grads=grads,
        weight=area / area.sum(),
        area=area,
        pairs=np.ascontiguousarray(pieces.pairs, dtype=np.int64),
        scale=np.full(len(pieces.pairs), 2.0 * float(np.mean(pieces.sides)) ** 2),
        slots=slots,
        unknowns=int(slots.max()) + 1,
        width=_width(slots, pieces),
    )


def shapes(sides: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Gradients of the shape functions in each triangle's own plane, and areas.

    Args:
        sides: As in `Pieces`, shape (m, 3) [m].

    Returns:
        Gradients with corner 1 on the first axis, shape (m, 3, 2) [1/m], and areas, (m,) [m2].
    """
    first, second, third = sides.T
    along = (first**2 + third**2 - second**2) / (2.0 * first)
    height = np.sqrt(np.maximum(third**2 - along**2, 0.0))
    if not np.all(height > 0.0):
        raise GeometryError("a triangle of the formed surface has no area")
    grads = np.empty((len(sides), 3, 2))
    grads[:, 1, 0], grads[:, 2, 0] = 1.0 / first, 0.0
    grads[:, 1, 1], grads[:, 2, 1] = -along / (first * height), 1.0 / height
    grads[:, 0] = -grads[:, 1] - grads[:, 2]
    return grads, 0.5 * first * height


def _number(pieces: Pieces) -> IntArray:
    """Unknowns in the order of a breadth-first walk, which keeps neighbours close."""
    count = int(pieces.triangles.max()) + 1
    links = _links(pieces)
    ones = np.ones(2 * len(links), np.int8)
    rows, columns = np.r_[links[:, 0], links[:, 1]], np.r_[links[:, 1], links[:, 0]]
    graph = coo_array((ones, (rows, columns)), shape=(count, count)).tocsr()
    order = reverse_cuthill_mckee(graph, symmetric_mode=True)
    free = np.ones((count, 2), dtype=bool)
    free[pieces.held, pieces.axes] = False
    slots = np.full((count, 2), -1, dtype=np.int64)
    in_order = free[order]
    numbered = np.where(in_order, np.cumsum(in_order.ravel()).reshape(-1, 2) - 1, -1)
    slots[order] = numbered
    return slots


def _links(pieces: Pieces) -> IntArray:
    """Pairs of flat vertices that share a term of the objective."""
    t, p = pieces.triangles, pieces.pairs
    within = [t[:, [0, 1]], t[:, [1, 2]], t[:, [2, 0]]]
    across = [p[:, [i, j]] for i in range(4) for j in range(i)]
    return np.concatenate([*within, *across])


def _width(slots: IntArray, pieces: Pieces) -> int:
    """Diagonals that hold every term."""
    links = _links(pieces)
    both = np.concatenate([slots[links[:, 0]], slots[links[:, 1]]], axis=1)
    both = np.concatenate([both, np.pad(slots, ((0, 0), (0, 2)), mode="edge")])
    high = both.max(axis=1)
    low = np.where(both < 0, np.iinfo(np.int64).max, both).min(axis=1)
    return int(np.max(np.where(high >= 0, high - low, 0))) + 1


@dataclass(frozen=True, slots=True, eq=False)
class Objective:
    """What is minimised, in (h, q) of `flattening.kernel`.

    Attributes:
        width: Where above 0 the largest logarithmic strain, made soft over this width; else
            energy and barrier.
        quad: Quadratic energy, shape (3, 3).
        aims: Where it is least, shape (m, 3).
        law: Weight of the barrier, upper and lower limit of logarithmic stretch, shape (3,).
    """

    width: float
    quad: FloatArray
    aims: FloatArray
    law: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """A Newton step.

    Attributes:
        flat: Change of the corners, shape (k, 2) [m].
        tensions: New multipliers of the pairs, shape (p,).
        slope: Change of the objective along the step [-].
        curved: Whether the Hessian was the full one.
    """

    flat: FloatArray
    tensions: FloatArray
    slope: float
    curved: bool


def gaps(system: System, flat: FloatArray) -> FloatArray:
    """Relative difference in length of the edges of each pair, shape (p,) [-]."""
    out = np.empty(len(system.pairs))
    kernel.gaps(flat, system.pairs, system.scale, out)
    return out


def strains(system: System, flat: FloatArray) -> FloatArray | None:
    """(h, q1, q2) of each triangle, shape (m, 3); None where one is turned over."""
    out = np.empty((len(system.triangles), 3))
    good = kernel.strains(flat, system.triangles, system.grads, out)
    return out if good else None


def objective(system: System, aim: Objective, flat: FloatArray) -> float:
    """What is minimised; infinite where it is not allowed.

    Args:
        system: The unknowns.
        aim: What is minimised.
        flat: Corners, shape (k, 2) [m].

    Returns:
        Soft largest strain, or energy and barrier.
    """
    found = strains(system, flat)
    if found is None:
        return np.inf
    if aim.width > 0.0:
        return float(kernel.soft_largest(found, system.weight, aim.width))
    return float(kernel.value(found, system.weight, aim.quad, aim.aims, aim.law))


def newton_step(
    system: System, aim: Objective, flat: FloatArray, tensions: FloatArray, damping: float
) -> Step:
    """One Newton step: with the full Hessian where it is positive, else without curvature.

    Args:
        system: The unknowns.
        aim: What is minimised.
        flat: Corners, shape (k, 2) [m].
        tensions: Multipliers of the pairs, shape (p,).
        damping: Share of the mean diagonal that is added [-].

    Returns:
        The step.

    Raises:
        ConvergenceError: The matrix is not positive, however damped.
    """
    for curved, more in ((True, 0.0), (False, 0.0), *((False, held) for held in HELD)):
        step = _solve(system, aim, flat, tensions, damping + more, curved=curved)
        if step is not None:
            return step
    raise ConvergenceError("laying the pieces flat", iterations=0, residual=math.nan)


def _solve(
    system: System,
    aim: Objective,
    flat: FloatArray,
    tensions: FloatArray,
    damping: float,
    *,
    curved: bool,
) -> Step | None:
    soft = aim.width > 0.0
    law = np.array([aim.width, objective(system, aim, flat), 0.0]) if soft else aim.law
    band = np.zeros((system.unknowns, system.width))
    down, cross = np.zeros(system.unknowns), np.zeros(system.unknowns)
    second = kernel.assemble(
        flat,
        (system.triangles, system.grads, system.weight),
        aim.aims,
        (aim.quad, law, soft),
        system.slots,
        curved,
        (band, down, cross),
    )
    mean = float(np.mean(np.abs(band[:, 0])))
    push = STIFF * mean * float(np.mean(system.scale)) if len(system.scale) else 0.0
    right = np.stack([down, cross])
    sewn = (system.pairs, system.scale, tensions)
    kernel.sew(flat, sewn, push, system.slots, curved, (band, right[0]))
    band[:, 0] += (STEADY + damping) * mean
    factor, failed = dpbtrf(band.T, lower=1, overwrite_ab=1)
    if failed:
        return None
    solved = dpbtrs(factor, right.T, lower=1)[0].T
    move = -solved[0]
    if soft:
        bend = second - float(cross @ solved[1])
        if bend <= 1e-12 * second:
            return None
        move = move - float(cross @ solved[0]) / bend * solved[1]
    full = np.where(system.slots < 0, 0.0, np.append(move, 0.0)[system.slots])
    wider = np.empty(len(system.pairs))
    kernel.widen(flat, full, system.pairs, system.scale, wider)
    pull = tensions + push * (gaps(system, flat) + wider)
    return Step(full, pull, float(down @ move), curved)

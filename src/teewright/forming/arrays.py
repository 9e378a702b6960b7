"""The arrays that the compiled loops work on, made from what the caller gave."""

import math
from typing import NamedTuple

import numpy as np

from teewright.errors import GeometryError, InputError
from teewright.forming.values import (
    BoolArray,
    Cloth,
    Contact,
    FloatArray,
    IntArray,
    Load,
    Restraint,
)

HINT, CLEAR, TOUCH, SLID, LANDED, STRAY = range(6)
"""Columns of `Nodes.state`: the field's hint, the way a vertex may go before it can touch [m],
whether it touches, the way slid [m], the pressure at first touch [Pa], the way since its
normal was asked for [m]."""


class Body(NamedTuple):
    """The cloth, in scaled axes.

    Attributes:
        triangles: Corners, shape (m, 3).
        shapes: Gradients of the shares of the 2nd and 3rd corner, area, and the bladder's tension
            per pressure in scaled axes, shape (m, 6).
        laws: A, B, C [N/m] and the squares of the scales across and along, shape (k, 5).
        kind: Row of `laws` of each triangle, shape (m,).
        bars: Ends, shape (b, 2).
        bar_rest: Lengths as sewn, shape (b,) [m].
        bar_stiffness: Force per strain, shape (b,) [N].
        push: Whether bars take compression.
    """

    triangles: IntArray
    shapes: FloatArray
    laws: FloatArray
    kind: IntArray
    bars: IntArray
    bar_rest: FloatArray
    bar_stiffness: FloatArray
    push: bool


class Nodes(NamedTuple):
    """The vertices, changed in place.

    Attributes:
        x: Places, shape (n, 3) [m].
        v: Motion in the last step, shape (n, 3) [m].
        f: Forces, shape (n, 3) [N].
        before: Forces a step ago, shape (n, 3) [N].
        mass: Shape (n,) [N/m].
        state: Shape (n, 6).
        normal: Of the surface where it was last asked for, shape (n, 3).
        free: 1 where a vertex may move along x, y, z, shape (n, 3).
        thrust: Force per pressure, shape (n, 3) [m2].
        spring: Force per way from `anchor` along `grip`, shape (n,) [N/m].
        grip: Unit vectors, shape (n, 3).
        anchor: Shape (n, 3) [m].
        drift: Motion in each step, on top of `v`, while a vertex does not touch, (n, 3) [m].
    """

    x: FloatArray
    v: FloatArray
    f: FloatArray
    before: FloatArray
    mass: FloatArray
    state: FloatArray
    normal: FloatArray
    free: FloatArray
    thrust: FloatArray
    spring: FloatArray
    grip: FloatArray
    anchor: FloatArray
    drift: FloatArray


class Wall(NamedTuple):
    """The surface.

    Attributes:
        numbers: Of a field.
        table: Of a field.
        friction: Coulomb's coefficient [-].
    """

    numbers: FloatArray
    table: FloatArray
    friction: float


def body_of(cloth: Cloth, bladder: FloatArray | None = None) -> Body:
    """Scale the axes as cut so that both stiffnesses are equal, and find the gradients.

    Args:
        cloth: As given.
        bladder: Tension along the grain per pressure, shape (m,), or (0,) or None [m].

    Returns:
        The arrays of the loops.

    Raises:
        GeometryError: A triangle as cut has no area or is turned over.
        InputError: A stiffness is not positive definite.
    """
    stiffness = np.ascontiguousarray(cloth.stiffness, dtype=np.float64)
    if len(stiffness) and (stiffness == stiffness[0]).all():
        kinds, kind = stiffness[:1], np.zeros(len(stiffness), dtype=np.int64)
    else:
        kinds, kind = np.unique(stiffness, axis=0, return_inverse=True)
    laws = np.array([_law(*row) for row in kinds.tolist()]).reshape(-1, 5)
    scale = np.sqrt(laws[kind][:, 3:])
    pull = np.zeros(len(scale))
    if bladder is not None and len(bladder):
        pull = np.asarray(bladder) / laws[kind][:, 4]
    return Body(
        np.ascontiguousarray(cloth.triangles, dtype=np.int64),
        np.column_stack([_shapes(np.asarray(cloth.rest) / scale[:, None, :]), pull]),
        laws,
        np.ascontiguousarray(kind.reshape(-1), dtype=np.int64),
        np.ascontiguousarray(cloth.bars, dtype=np.int64).reshape(-1, 2),
        np.ascontiguousarray(cloth.bar_rest, dtype=np.float64),
        np.ascontiguousarray(cloth.bar_stiffness, dtype=np.float64),
        cloth.bars_push,
    )


def _law(d11: float, d22: float, d12: float, d33: float) -> tuple[float, ...]:
    """A, B, C and the factors 1/a^2, a^2 by which strains across and along are scaled."""
    if not (d11 > 0.0 and d22 > 0.0 and d33 > 0.0 and d11 * d22 > d12 * d12):
        raise InputError(
            "is not a stiffness that resists every strain",
            field="stiffness",
            value=(d11, d22, d12, d33),
            allowed="D11, D22, D33 > 0 and D11 D22 > D12^2",
        )
    root = math.sqrt(d11 * d22)
    a2 = (d22 / d11) ** 0.25
    return root + d12, root - d12, 2.0 * d33, 1.0 / a2, a2


def _shapes(rest: FloatArray) -> FloatArray:
    """Gradients of the shares of the second and third corner, and area, from flat corners."""
    u, v = rest[:, 1] - rest[:, 0], rest[:, 2] - rest[:, 0]
    double = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    bad = np.flatnonzero(~(double > 0.0))
    if len(bad):
        raise GeometryError(
            f"triangle {bad[0]} of the cloth as cut has no area or is turned over "
            f"({len(bad)} of {len(rest)} triangles)"
        )
    columns = (v[:, 1], -v[:, 0], -u[:, 1], u[:, 0])
    return np.column_stack([*(column / double for column in columns), 0.5 * double])


def nodes_of(start: FloatArray, load: Load, restraint: Restraint, *, wall: bool) -> Nodes:
    """Vertices at rest at their start.

    Args:
        start: Places, shape (n, 3) [m].
        load: Pressure and thrust.
        restraint: What holds them.
        wall: Whether there is a surface.

    Returns:
        The arrays of the loops.
    """
    count = len(start)
    state = np.zeros((count, 6))
    state[:, HINT], state[:, LANDED] = math.nan, math.inf
    state[:, CLEAR] = 0.0 if wall else math.inf
    given = (start, restraint.free, load.thrust, restraint.spring, restraint.grip)
    x, free, thrust, spring, grip = (np.array(array, dtype=np.float64) for array in given)
    return Nodes(
        x=x,
        v=np.zeros((count, 3)),
        f=np.zeros((count, 3)),
        before=np.zeros((count, 3)),
        mass=np.zeros(count),
        state=state,
        normal=np.zeros((count, 3)),
        free=free,
        thrust=thrust,
        spring=spring,
        grip=grip,
        anchor=x.copy(),
        drift=np.zeros((count, 3)),
    )


def wall_of(contact: Contact | None) -> Wall:
    """The surface, or one that is never asked.

    Args:
        contact: As given.

    Returns:
        The arrays of the loops.
    """
    if contact is None:
        return Wall(np.zeros(1), np.zeros((1, 1)), 0.0)
    field = contact.field
    return Wall(field.numbers, field.table, contact.friction)


def touching(nodes: Nodes) -> BoolArray:
    """Vertices that touch, shape (n,)."""
    return np.asarray(nodes.state[:, TOUCH] > 0.0)

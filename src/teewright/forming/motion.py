"""One step of every vertex: inertia, damping, the surface and Coulomb's friction.

The surface acts by impulses: a vertex that a step of 1 would carry to a depth below the surface
is pushed back by it, which is mass times depth, and friction may take away as much as its
coefficient times that of the motion along the surface. At rest that is Coulomb's law exactly:
a vertex stays where it is until the force along the surface exceeds mu times the force into it.

The loops unpack their arrays once and call only functions of numbers and single arrays: a
tuple of arrays that is opened inside a loop costs more than the arithmetic.
"""

import math

import numpy as np

from teewright.forming.arrays import CLEAR, HINT, LANDED, SLID, STRAY, TOUCH, Nodes, Wall
from teewright.forming.compiled import compiled
from teewright.forming.values import FloatArray
from teewright.junction.field import distance

AXES = 3
_STRAY = 2e-5
"""A vertex that slides less than this is held to its tangent plane [m]: on a radius of 5 mm
the plane is 0.04 micrometres off there."""


@compiled
def settle(
    x: FloatArray,
    i: int,
    state: FloatArray,
    normal: FloatArray,
    numbers: FloatArray,
    table: FloatArray,
) -> float:
    """Ask the field for the gap and the normal at a vertex, and keep them.

    Args:
        x: Vertices, shape (n, 3) [m].
        i: The vertex.
        state: Its hint and stray way are renewed, shape (n, 6).
        normal: Its row is renewed, shape (n, 3).
        numbers: Of the field.
        table: Of the field.

    Returns:
        The gap [m].
    """
    gap, nx, ny, nz, hint = distance(numbers, table, x[i, 0], x[i, 1], x[i, 2], state[i, HINT])
    state[i, HINT] = hint
    state[i, STRAY] = 0.0
    normal[i, 0], normal[i, 1], normal[i, 2] = nx, ny, nz
    return float(gap)


@compiled
def land(
    x: FloatArray,
    i: int,
    way: FloatArray,
    state: FloatArray,
    normal: FloatArray,
    numbers: FloatArray,
    table: FloatArray,
) -> float:
    """Stop a vertex that has gone through the surface in this step.

    Args:
        x: Vertices, shape (n, 3) [m]; the vertex is put back to where it came from, but
            onto the surface.
        i: The vertex.
        way: Its motion in this step; what is left is the part along the surface, (3,) [m].
        state: Its gap is kept, shape (n, 6).
        normal: Its row is renewed, shape (n, 3).
        numbers: Of the field.
        table: Of the field.

    Returns:
        How deep it went [m]; not above 0 where it did not.
    """
    gap = settle(x, i, state, normal, numbers, table)
    state[i, CLEAR] = gap
    if gap >= 0.0:
        return -gap
    into = way[0] * normal[i, 0] + way[1] * normal[i, 1] + way[2] * normal[i, 2]
    for k in range(AXES):
        way[k] -= into * normal[i, k]
        x[i, k] -= gap * normal[i, k] + way[k]
    state[i, TOUCH] = 1.0
    return -gap


@compiled
def slip(
    x: FloatArray,
    i: int,
    way: FloatArray,
    state: FloatArray,
    normal: FloatArray,
    numbers: FloatArray,
    table: FloatArray,
) -> None:
    """Move a vertex along the surface.

    Args:
        x: Vertices, shape (n, 3) [m].
        i: The vertex.
        way: Its motion, shape (3,) [m].
        state: Ways slid and strayed are added up, shape (n, 6).
        normal: Shape (n, 3).
        numbers: Of the field.
        table: Of the field.
    """
    size = math.sqrt(way[0] * way[0] + way[1] * way[1] + way[2] * way[2])
    for k in range(AXES):
        x[i, k] += way[k]
    state[i, SLID] += size
    state[i, STRAY] += size
    if state[i, STRAY] > _STRAY:
        gap = settle(x, i, state, normal, numbers, table)
        for k in range(AXES):
            x[i, k] -= gap * normal[i, k]


@compiled
def carry_along(way: FloatArray, drift: FloatArray, normal: FloatArray, i: int) -> None:
    """Add the part of a vertex's drift that runs along the surface.

    Args:
        way: Motion of the vertex, added to in place, shape (3,) [m].
        drift: Shape (n, 3) [m].
        normal: Shape (n, 3).
        i: The vertex.
    """
    into = drift[i, 0] * normal[i, 0] + drift[i, 1] * normal[i, 1] + drift[i, 2] * normal[i, 2]
    for k in range(AXES):
        way[k] += drift[i, k] - into * normal[i, k]


@compiled
def move(  # noqa: C901  (one pass over memory: calls with many arrays cost more than the sums)
    nodes: Nodes, wall: Wall, pressure: float, keep: float, push: float
) -> float:
    """Move all vertices by one step.

    Args:
        nodes: Vertices, with all forces in `f`.
        wall: Surface.
        pressure: At this step [Pa].
        keep: Share of the last motion that is left after damping [-].
        push: Motion per force over mass [-].

    Returns:
        The largest force out of balance that neither surface nor friction takes up [N].
    """
    x, v, f, state, normal, mass = nodes.x, nodes.v, nodes.f, nodes.state, nodes.normal, nodes.mass
    drift = nodes.drift
    numbers, table, mu = wall.numbers, wall.table, wall.friction
    way, worst = np.zeros(3), 0.0
    for i in range(x.shape[0]):
        share, force, into, depth = push / mass[i], 0.0, 0.0, 0.0
        for k in range(AXES):
            way[k] = keep * v[i, k] + share * f[i, k]
            force += f[i, k] * f[i, k]
            into -= f[i, k] * normal[i, k]
            depth -= way[k] * normal[i, k]
        touches = state[i, TOUCH] > 0.0
        if touches and into > 0.0:
            force = max(math.sqrt(max(force - into * into, 0.0)) - mu * into, 0.0) ** 2
        worst = max(worst, force)
        if touches and depth >= 0.0:
            for k in range(AXES):
                way[k] += depth * normal[i, k]
        else:
            state[i, CLEAR] = 0.0 if touches else state[i, CLEAR]
            state[i, TOUCH], touches = 0.0, False
            for k in range(AXES):
                v[i, k] = way[k]
                way[k] += drift[i, k]
                x[i, k] += way[k]
            state[i, CLEAR] -= math.sqrt(way[0] * way[0] + way[1] * way[1] + way[2] * way[2])
            if state[i, CLEAR] > 0.0:
                continue
            depth = land(x, i, way, state, normal, numbers, table)
            if depth <= 0.0:
                continue
            state[i, LANDED] = min(pressure, state[i, LANDED])
        size = math.sqrt(way[0] * way[0] + way[1] * way[1] + way[2] * way[2])
        left = max(1.0 - mu * depth / size, 0.0) if size > 0.0 else 0.0
        for k in range(AXES):
            way[k] *= left
            v[i, k] = way[k]
        if left > 0.0:
            if touches:
                carry_along(way, drift, normal, i)
            slip(x, i, way, state, normal, numbers, table)
    return math.sqrt(worst)


@compiled
def close_forces(nodes: Nodes, pull: float) -> tuple[float, float]:
    """Add thrust and springs, take off what restraints carry, and weigh the last motion.

    Args:
        nodes: Vertices, with the forces of the cloth in `f`; `before` becomes `f`.
        pull: Pressure to which the thrust has grown [Pa].

    Returns:
        Work of the change of force on the last motion, and mass times its square [N m].
    """
    x, v, f, before, mass = nodes.x, nodes.v, nodes.f, nodes.before, nodes.mass
    free, thrust, anchor = nodes.free, nodes.thrust, nodes.anchor
    spring, grip, drift, state = nodes.spring, nodes.grip, nodes.drift, nodes.state
    work, weight = 0.0, 0.0
    for i in range(x.shape[0]):
        spring_pull = 0.0
        if spring[i] > 0.0:
            for k in range(AXES):
                spring_pull += spring[i] * grip[i, k] * (anchor[i, k] - x[i, k])
        loose = 1.0 - state[i, TOUCH]
        for k in range(AXES):
            total = free[i, k] * (f[i, k] + pull * thrust[i, k] + spring_pull * grip[i, k])
            f[i, k] = total
            way = v[i, k] + loose * drift[i, k]
            work -= way * (total - before[i, k])
            weight += mass[i] * way * way
            before[i, k] = total
    return work, weight

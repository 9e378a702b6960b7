"""Surface of the water upstream of a blocked main: the pool, and the slope that its flow needs.

From the packer upwards dz/dx = S_f, the friction slope of Manning at the depth there,
S_f = (Q n / (A R^(2/3)))^2, the full pipe's where it is under pressure and also in the last
tenth of the depth, where a part-full circle would carry more; never below the normal depth.
Velocity heads and losses in manholes are left out: at the flows of a hold they are millimetres.
The flow is the greatest inflow of the hold, although less reaches the packer while the pool
fills: the safe side.
"""

import math

import numpy as np
from numpy.typing import NDArray

from teewright.errors import InputError, UnknownNameError
from teewright.hydraulics.holds import Setting, Watch
from teewright.hydraulics.part_full import manning_flow, part_full
from teewright.hydraulics.storage import PACKER, PoolPipe, Upstream, normal_depth

FloatArray = NDArray[np.float64]

STEP = 2.0
"""Longest step along a pipe [m]."""
_GRID = 60
_DEPTHS = np.linspace(0.01, 1.0, 100)
_RATIOS = np.array([min(part_full(float(depth)).flow, 1.0) for depth in _DEPTHS])


def surface_at(
    upstream: Upstream, places: tuple[Watch, ...], level: FloatArray, flow: FloatArray
) -> tuple[FloatArray, ...]:
    """Level of the water at places upstream.

    Args:
        upstream: Pipes and manholes.
        places: Where, each on one of the pipes.
        level: At the packer, any shape [m].
        flow: Inflow at the packer, of the same shape [m3/s].

    Returns:
        Levels [m], one array a place.
    """
    found: dict[int, FloatArray] = {}
    for pipe, start in _upwards(upstream):
        here = [k for k, place in enumerate(places) if place.pipe == pipe.upstream]
        distance, z = 0.0, level if start is None else found[-1 - start]
        for k in sorted(here, key=lambda k: places[k].distance):
            z = _along(pipe, z, flow, distance, places[k].distance)
            distance, found[k] = places[k].distance, z
        # the node at the upper end, for the pipes that come in there
        found[-1 - upstream.pipes.index(pipe)] = _along(pipe, z, flow, distance, pipe.length)
    return tuple(found[k] for k in range(len(places)))


def watched(setting: Setting) -> tuple[Watch, ...]:
    """The places of a setting that the water must stay below, with the rim of each manhole.

    Args:
        setting: The packer in its main.

    Returns:
        Its watches, then one for each manhole.

    Raises:
        UnknownNameError: A watch stands on a pipe that is not there.
        InputError: It stands beyond the end of its pipe.
    """
    lengths = {pipe.upstream: pipe.length for pipe in setting.upstream.pipes}
    for watch in setting.watches:
        _check_place(watch, lengths)
    rims = (
        Watch(node.node, node.rim, node.node, lengths[node.node]) for node in setting.upstream.nodes
    )
    return (*setting.watches, *rims)


def reaching_levels(
    setting: Setting, low: FloatArray, flow: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Levels at the packer at which the water reaches each watched place.

    Args:
        setting: The packer in its main.
        low: Least level at the packer, one a hold [m].
        flow: Greatest inflow of each hold [m3/s].

    Returns:
        Levels at the packer at which each place, less the freeboard to be kept, is reached,
        holds x places: infinite where it never is [m]; a grid of levels at the packer, holds x
        levels [m]; and the surface at the places, holds x levels x places [m].
    """
    places = watched(setting)
    high = setting.upstream.lowest_rim
    grid = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, _GRID)
    flows = np.broadcast_to(flow[:, None], grid.shape)
    surface = np.stack(surface_at(setting.upstream, places, grid, flows), axis=-1)
    surface = np.maximum.accumulate(surface, axis=1)
    limits = np.array([place.level for place in places]) - setting.freeboard
    over = surface >= limits
    first = over.argmax(axis=1)
    rows, columns = np.indices(first.shape)
    before = np.maximum(first - 1, 0)
    z0, z1 = grid[rows, before], grid[rows, first]
    s0, s1 = surface[rows, before, columns], surface[rows, first, columns]
    share = np.where(s1 > s0, (limits - s0) / np.maximum(s1 - s0, 1e-12), 1.0)
    level = z0 + (z1 - z0) * np.clip(share, 0.0, 1.0)
    return np.where(over.any(axis=1), level, math.inf), grid, surface


def _check_place(watch: Watch, lengths: dict[str, float]) -> None:
    if watch.pipe not in lengths:
        raise UnknownNameError(
            "is not the upper end of a pipe upstream of the packer",
            field=f"pipe of {watch.name}",
            value=watch.pipe,
            allowed=", ".join(lengths),
        )
    if not 0.0 <= watch.distance <= lengths[watch.pipe]:
        raise InputError(
            "is beyond the end of its pipe",
            field=f"distance of {watch.name}",
            value=watch.distance,
            allowed=f"0 to {lengths[watch.pipe]:.2f} m",
        )


def _upwards(upstream: Upstream) -> list[tuple[PoolPipe, int | None]]:
    """Pipes from the packer up, each with the place in the list of the one below it."""
    at = {pipe.upstream: k for k, pipe in enumerate(upstream.pipes)}
    order = [upstream.pipes[0]]
    for pipe in order:
        order += [p for p in upstream.pipes if p.downstream == pipe.upstream]
    return [(p, None if p.downstream == PACKER else at[p.downstream]) for p in order]


def _along(
    pipe: PoolPipe, level: FloatArray, flow: FloatArray, start: float, end: float
) -> FloatArray:
    """Surface at a distance up a pipe from that at another."""
    normal = normal_depth(pipe, flow)
    unit = flow * pipe.share / manning_flow(pipe.diameter, 1.0, pipe.manning)
    steps = max(1, math.ceil((end - start) / STEP))
    dx = (end - start) / steps
    z = np.maximum(level, pipe.invert_downstream + pipe.slope * start + normal)
    for k in range(steps):
        invert = pipe.invert_downstream + pipe.slope * (start + k * dx)
        carried = np.interp((z - invert) / pipe.diameter, _DEPTHS, _RATIOS)
        z = z + dx * (unit / carried) ** 2
        z = np.maximum(z, invert + pipe.slope * dx + normal)
    return np.asarray(z, dtype=np.float64)

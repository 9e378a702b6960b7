"""Room for water upstream of a blocked main: pipes at their slope and manholes, a level pool.

The pool behind the packer is taken as horizontal. In a pipe of slope S whose lower end has the
depth y_0 and its upper end y_L = y_0 - S L the water fills

V = (1/S) [F(y_0) - F(y_L)],  F(y) = integral of A from 0 to y,

A the area of a circle's segment: with r the radius and u = 1 - y/r

F(y) = r^3 [sqrt(1 - u^2) - (1 - u^2)^(3/2)/3 - u acos u],

exact (integrated in closed form here; F(2r) = pi r^3), and above the crown
F = pi r^3 + pi r^2 (y - 2r). Water that flowed in the pipe before, at its normal depth, takes
up room: only the part of the section above that depth counts.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.errors import GeometryError
from teewright.hydraulics.part_full import manning_flow, part_full
from teewright.numerics.limits import within

FloatArray = NDArray[np.float64]

PACKER = "packer"
"""Name of the place where the main is blocked, the lower end of the first piece of pipe."""
MANNING = 0.013
"""Manning's n of a sewer [s/m^(1/3)]; value from memory, usual textbooks."""
DIAMETER = (0.05, 3.0)
"""Inner diameters of pipe [m]."""
LENGTH = (0.05, 5000.0)
"""Lengths of pipe [m]."""
LAW = "level pool in part-full pipes"
FULLEST = 0.938
"""Depth over diameter of the greatest flow of Manning's law in a circle [-]."""
_LEVEL = 1e-7
"""Fall over diameter below which a pipe is taken as level [-]."""
_DEPTHS = tuple(FULLEST * k / 300.0 for k in range(301))
_RATIOS = np.array([part_full(depth).flow for depth in _DEPTHS])


@dataclass(frozen=True, slots=True)
class PoolPipe:
    """A pipe, or the piece of one upstream of the packer, that the pool may reach.

    Attributes:
        upstream: Node at its upper end.
        downstream: Node at its lower end, or `PACKER`.
        diameter: Inner [m].
        length: [m].
        invert_upstream: Level of the invert at its upper end [m].
        invert_downstream: Level of the invert at its lower end [m].
        share: Of the inflow at the packer that comes through it [-].
        manning: Manning's n [s/m^(1/3)].
    """

    upstream: str
    downstream: str
    diameter: float
    length: float
    invert_upstream: float
    invert_downstream: float
    share: float = 1.0
    manning: float = MANNING

    @property
    def slope(self) -> float:
        """Fall over length, positive with the flow [-]."""
        return (self.invert_upstream - self.invert_downstream) / self.length


@dataclass(frozen=True, slots=True)
class PoolNode:
    """A manhole that the pool may reach.

    Attributes:
        node: Its name.
        floor: Level from which its plan area holds water: the top of the benching [m].
        rim: Level of the cover, where it spills [m].
        area: Plan area [m2].
    """

    node: str
    floor: float
    rim: float
    area: float


@dataclass(frozen=True, slots=True)
class Upstream:
    """What lies upstream of the packer.

    Attributes:
        pipes: The first one ends at the packer.
        nodes: Manholes.
    """

    pipes: tuple[PoolPipe, ...]
    nodes: tuple[PoolNode, ...]

    @property
    def invert(self) -> float:
        """Level of the invert at the packer [m]."""
        return self.pipes[0].invert_downstream

    @property
    def lowest_rim(self) -> float:
        """Level at which the first manhole spills [m]."""
        return min(node.rim for node in self.nodes)


def upstream_of(pipes: Iterable[PoolPipe], nodes: Iterable[PoolNode]) -> Upstream:
    """Pipes and manholes upstream of a packer, checked to be a chain or a tree.

    Args:
        pipes: Exactly one of them ends at `PACKER`; the order is free.
        nodes: The upper end of each pipe, once.

    Returns:
        What lies upstream, the pipe at the packer first.

    Raises:
        GeometryError: The pipes are no tree that drains to the packer, or fall the wrong way.
        RangeError: A size outside the ranges of this module.
    """
    first = sorted(pipes, key=lambda pipe: pipe.downstream != PACKER)
    found = Upstream(tuple(first), tuple(nodes))
    for pipe in found.pipes:
        within(pipe.diameter, DIAMETER, quantity="diameter", unit="m", law=LAW)
        within(pipe.length, LENGTH, quantity="length", unit="m", law=LAW)
        within(pipe.share, (0.0, 1.0), quantity="share of the inflow", unit="-", law=LAW)
        if pipe.slope < 0.0:
            raise GeometryError(
                f"pipe {pipe.upstream} to {pipe.downstream} falls against the flow by "
                f"{-pipe.slope * pipe.length:.3f} m: a level pool does not describe it"
            )
    for node in found.nodes:
        within(node.area, (0.0, 1000.0), quantity="plan area", unit="m2", law=LAW)
        if node.rim <= node.floor:
            raise GeometryError(f"the rim of manhole {node.node} is not above its floor")
    _check_tree(found)
    return found


def segment_integral(depth: FloatArray, diameter: float) -> FloatArray:
    """Area of a circle's segment integrated over the depth, F(y) [m3].

    Args:
        depth: y, negative where dry and above the diameter where under pressure [m].
        diameter: Of the circle [m].

    Returns:
        F, the shape of `depth` [m3].
    """
    r = diameter / 2.0
    u = 1.0 - np.clip(depth, 0.0, diameter) / r
    chord = np.sqrt(np.maximum(1.0 - u**2, 0.0))
    inside = r**3 * (chord - chord**3 / 3.0 - u * np.arccos(u))
    above = math.pi * r**2 * np.maximum(depth - diameter, 0.0)
    return np.asarray(np.maximum(inside, 0.0) + above, dtype=np.float64)


def segment_area(depth: FloatArray, diameter: float) -> FloatArray:
    """Area of a circle's segment, that of the circle above its crown [m2].

    Args:
        depth: y [m].
        diameter: Of the circle [m].

    Returns:
        A, the shape of `depth` [m2].
    """
    r = diameter / 2.0
    u = 1.0 - np.clip(depth, 0.0, diameter) / r
    area = r**2 * (np.arccos(u) - u * np.sqrt(np.maximum(1.0 - u**2, 0.0)))
    return np.asarray(area, dtype=np.float64)


def pipe_volume(pipe: PoolPipe, level: FloatArray, before: FloatArray) -> FloatArray:
    """Water that a level pool adds to a pipe.

    Args:
        pipe: The pipe.
        level: Of the pool [m].
        before: Depth of the water that flowed in it before, of a shape that goes with
            `level` [m].

    Returns:
        Volume over that of the depth before [m3].
    """
    d, fall = pipe.diameter, pipe.slope * pipe.length
    base = np.minimum(before, d)
    low = np.maximum(level - pipe.invert_downstream, base)
    if fall <= _LEVEL * d:
        middle = np.maximum(level - pipe.invert_downstream - fall / 2.0, base)
        added = segment_area(middle, d) - segment_area(base, d)
        return np.asarray(pipe.length * added, dtype=np.float64)
    high = np.maximum(level - pipe.invert_upstream, base)
    pool = segment_integral(low, d) - segment_integral(high, d)
    added = pool - segment_area(base, d) * (low - high)
    return np.asarray(np.maximum(added, 0.0) / pipe.slope, dtype=np.float64)


def node_volume(node: PoolNode, level: FloatArray) -> FloatArray:
    """Water in a manhole up to its rim [m3].

    Args:
        node: The manhole.
        level: Of the pool [m].

    Returns:
        Volume [m3].
    """
    held = node.area * (np.clip(level, node.floor, node.rim) - node.floor)
    return np.asarray(held, dtype=np.float64)


def pool_volume(
    upstream: Upstream, level: FloatArray, before: tuple[FloatArray, ...] | None = None
) -> FloatArray:
    """Water that a level pool holds over what flowed before; it never falls with the level.

    Args:
        upstream: Pipes and manholes.
        level: Of the pool, any shape [m].
        before: Depth of the water before in each pipe, of shapes that go with `level`, or None
            for empty pipes [m].

    Returns:
        Volume [m3], the shape of `level`.
    """
    depths = before or (np.zeros(()),) * len(upstream.pipes)
    volume = np.zeros_like(level, dtype=np.float64)
    for pipe, depth in zip(upstream.pipes, depths, strict=True):
        volume = volume + pipe_volume(pipe, level, depth)
    for node in upstream.nodes:
        volume = volume + node_volume(node, level)
    return np.asarray(volume, dtype=np.float64)


def normal_depth(pipe: PoolPipe, flow: FloatArray) -> FloatArray:
    """Depth of uniform flow in a pipe (Manning), on the branch below the greatest flow.

    Args:
        pipe: The pipe.
        flow: At the packer, of which the pipe carries its share [m3/s].

    Returns:
        Depth [m], the shape of `flow`; the diameter where the pipe cannot carry it.
    """
    d = pipe.diameter
    full = manning_flow(d, pipe.slope, pipe.manning)
    carried = np.asarray(flow, dtype=np.float64) * pipe.share
    if full == 0.0:
        return np.where(carried > 0.0, d, 0.0)
    depth = d * np.interp(carried / full, _RATIOS, _DEPTHS)
    return np.where(carried / full > _RATIOS[-1], d, depth)


def _check_tree(upstream: Upstream) -> None:
    names = [node.node for node in upstream.nodes]
    tops = [pipe.upstream for pipe in upstream.pipes]
    ends = [pipe.downstream for pipe in upstream.pipes]
    if ends.count(PACKER) != 1:
        raise GeometryError(f"{ends.count(PACKER)} pipes end at the packer, not one")
    if len(set(names)) < len(names) or len(set(tops)) < len(tops) or PACKER in names:
        raise GeometryError("a manhole is named twice, or drains through two pipes")
    if set(names) != set(tops):
        lone = sorted(set(names) ^ set(tops))
        raise GeometryError(f"no manhole and pipe belong together at {', '.join(lone)}")
    below = dict(zip(tops, ends, strict=True))
    for top in tops:
        place, steps = top, 0
        while place != PACKER:
            place, steps = below.get(place, ""), steps + 1
            if not place or steps > len(tops):
                raise GeometryError(f"manhole {top} does not drain to the packer")
    _check_falls(upstream)


def _check_falls(upstream: Upstream) -> None:
    """A pipe that starts below the one that brings it water would hide a sill."""
    outgoing = {pipe.upstream: pipe for pipe in upstream.pipes}
    for pipe in upstream.pipes:
        below = outgoing.get(pipe.downstream)
        if below is not None and pipe.invert_downstream < below.invert_upstream - 1e-6:
            raise GeometryError(
                f"at manhole {pipe.downstream} the pipe from {pipe.upstream} comes in "
                f"{below.invert_upstream - pipe.invert_downstream:.3f} m below the outgoing pipe"
            )

"""A whole order laid out on a roll of fabric: grain kept, a gap between the pieces.

x runs across the roll, y along it; the grain of a fabric runs along its roll, so a piece may be
turned end for end but no other way, and never turned over. Pieces are laid in the openings of
other pieces by nobody: the packer takes a piece for the inside of its outer cut line.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import LinearRing, Polygon, STRtree

from teewright.collar.values import Panel, Point2
from teewright.errors import GeometryError, InputError

FloatArray = NDArray[np.float64]
Order = Sequence[tuple[Panel, int]]
"""Pieces, and how many of each."""

_SIMPLIFY = 1e-4
"""Most by which a simplified outline lies outside the true one [m]."""
_SLACK = 2e-5
"""Extra gap asked of the packer, which works in single precision [m]."""
_EXACT = 1e-7
_ROOM = 2e-3
"""A piece nearer to the width of the roll than this is left to the shelves: the packer gives up
on pieces that fill its strip [m]."""


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one piece lies on the roll.

    Attributes:
        panel: The piece.
        x: Across the roll, of the piece's own origin [m].
        y: Along the roll [m].
        rotation: About its origin before it is moved, 0 or pi [rad].
    """

    panel: Panel
    x: float
    y: float
    rotation: float

    def outline(self) -> FloatArray:
        """Outer cut line where it lies, shape (n, 2) [m]."""
        return self._laid(self.panel.cut)

    def opening(self) -> FloatArray:
        """Cut line of its opening where it lies, shape (n, 2), n = 0 without one [m]."""
        return self._laid(self.panel.hole)

    def _laid(self, ring: tuple[Point2, ...]) -> FloatArray:
        sign = -1.0 if self.rotation else 1.0
        turned = sign * np.asarray(ring, dtype=np.float64).reshape(-1, 2)
        return np.asarray(turned + np.array([self.x, self.y]))


@dataclass(frozen=True, slots=True)
class Nest:
    """An order laid out.

    Attributes:
        placements: Every piece, sorted along the roll.
        roll_width: Usable width of the roll [m].
        gap: Least distance between two pieces [m].
        length: Of roll used [m].
        utilisation: Area of the pieces, openings not counted, over that of the roll used [-].
        method: `strip packing`, or `shelves` where these are shorter.
    """

    placements: tuple[Placement, ...]
    roll_width: float
    gap: float
    length: float
    utilisation: float
    method: str


def nest(order: Order, *, roll_width: float, gap: float, seconds: int, seed: int) -> Nest:
    """Lay an order out on the shortest length of roll that is found in the time given.

    Args:
        order: Pieces, and how many of each, >= 1.
        roll_width: Usable width of the roll [m].
        gap: Least distance between two pieces, >= 0 [m].
        seconds: Time for the search, >= 1 [s]; a quicker machine finds more in it.
        seed: Of the search, >= 0.

    Returns:
        The shorter of strip packing and plain shelves, held against `check_nest`.

    Raises:
        InputError: A piece is wider than the roll, or an argument is not allowed.
        GeometryError: The layout breaks a rule that it must keep.
    """
    _check_order(order, roll_width, gap, seconds, seed)
    best = shelves(order, roll_width=roll_width, gap=gap)
    if max(_size(panel)[0] for panel, _ in order) <= roll_width - _ROOM:
        packed = _packed(order, roll_width, gap, (seconds, seed))
        best = min(best, packed, key=lambda found: found.length)
    check_nest(best, order)
    return best


def shelves(order: Order, *, roll_width: float, gap: float) -> Nest:
    """Lay an order out by bounding boxes in rows across the roll, tallest first.

    Args:
        order: Pieces, and how many of each.
        roll_width: Usable width of the roll [m].
        gap: Between pieces and between rows [m].

    Returns:
        The layout; first-fit decreasing height.
    """
    pieces = [panel for panel, count in order for _ in range(count)]
    pieces.sort(key=lambda panel: -_size(panel)[1])
    rows: list[tuple[float, float]] = []
    placed = []
    foot = 0.0
    for panel in pieces:
        wide, tall = _size(panel)
        k = next((i for i, (x, _) in enumerate(rows) if x + wide <= roll_width + _EXACT), None)
        if k is None:
            k = len(rows)
            rows.append((0.0, foot))
            foot += tall + gap
        x, y = rows[k]
        rows[k] = (x + wide + gap, y)
        left, low = np.min(np.asarray(panel.cut), axis=0)
        placed.append(Placement(panel, x - float(left), y - float(low), 0.0))
    return _nest(placed, roll_width, gap, "shelves")


def check_nest(nest: Nest, order: Order) -> None:
    """Hold a layout against its rules, on the true outlines.

    Args:
        nest: The layout.
        order: What was to be laid out.

    Raises:
        GeometryError: A piece is missing, turned off the grain, off the roll, or nearer to
            another than the gap; the sentence names it.
    """
    _check_pieces(nest, order)
    shapes = [Polygon(place.outline()) for place in nest.placements]
    for place, shape in zip(nest.placements, shapes, strict=True):
        left, low, right, high = shape.bounds
        inside = left >= -_EXACT and right <= nest.roll_width + _EXACT
        if not (inside and low >= -_EXACT and high <= nest.length + _EXACT):
            raise GeometryError(
                f"the nest lays a {place.panel.name} piece at {1e3 * left:.2f} to "
                f"{1e3 * right:.2f} mm across, {1e3 * low:.2f} to {1e3 * high:.2f} mm along: "
                f"off the roll of {1e3 * nest.roll_width:.0f} by {1e3 * nest.length:.0f} mm"
            )
    _check_gaps(nest, shapes)


def _check_pieces(nest: Nest, order: Order) -> None:
    wanted: dict[Panel, int] = {}
    for panel, count in order:
        wanted[panel] = wanted.get(panel, 0) + count
    for place in nest.placements:
        wanted[place.panel] = wanted.get(place.panel, 0) - 1
        if place.rotation not in {0.0, math.pi}:
            raise GeometryError(
                f"the nest turns a {place.panel.name} piece by "
                f"{math.degrees(place.rotation):.1f} degrees, off the grain"
            )
    wrong = next((panel.name for panel, left in wanted.items() if left), None)
    if wrong is not None:
        raise GeometryError(f"the nest does not hold each {wrong} piece as often as it was ordered")


def _check_gaps(nest: Nest, shapes: list[Polygon]) -> None:
    tree = STRtree(shapes)
    near = tree.query(shapes, predicate="dwithin", distance=max(nest.gap - _EXACT, 0.0))
    for one, other in near.T:
        if one < other:
            apart = float(shapes[one].distance(shapes[other]))
            meet = bool(shapes[one].intersection(shapes[other]).area > _EXACT**2)
            if apart < nest.gap - _EXACT or meet:
                names = [nest.placements[k].panel.name for k in (one, other)]
                raise GeometryError(
                    f"the nest lays {names[0]} and {names[1]} {1e3 * apart:.2f} mm apart, less "
                    f"than the gap of {1e3 * nest.gap:.1f} mm"
                )


def _check_order(order: Order, roll_width: float, gap: float, seconds: int, seed: int) -> None:
    rules = (
        ("pieces", len(order), len(order) > 0, "one or more"),
        ("count", min((n for _, n in order), default=1), all(n >= 1 for _, n in order), ">= 1"),
        ("roll_width", roll_width, math.isfinite(roll_width) and roll_width > 0, "> 0 m"),
        ("gap", gap, math.isfinite(gap) and 0.0 <= gap <= 0.1, "0 to 0.1 m"),
        ("seconds", seconds, seconds >= 1, ">= 1 s"),
        ("seed", seed, seed >= 0, ">= 0"),
    )
    for field, value, kept, allowed in rules:
        if not kept:
            raise InputError("cannot be nested", field=field, value=value, allowed=allowed)
    for panel, _ in order:
        wide, _ = _size(panel)
        if wide > roll_width + _EXACT:
            raise InputError(
                f"is {1e3 * wide:.0f} mm wide across the grain, wider than the roll",
                field="piece",
                value=panel.name,
                allowed=f"up to {1e3 * roll_width:.0f} mm; a layout with more pieces would fit",
            )


def _size(panel: Panel) -> tuple[float, float]:
    """Across and along the grain [m]."""
    xy = np.asarray(panel.cut)
    wide, tall = np.ptp(xy, axis=0)
    return float(wide), float(tall)


def _packed(order: Order, roll_width: float, gap: float, search: tuple[int, int]) -> Nest:
    """Strip packing, pieces grown by half the gap, the strip by half the gap at either edge.

    The packer's strip is as high as the roll is wide: x and y are exchanged on the way there
    and back, which turns nothing over.
    """
    import spyrrow  # noqa: PLC0415 - compiled, only where it is used

    half = gap / 2.0 + _SLACK
    items = [
        spyrrow.Item(str(k), _grown(panel, half), count, [0.0, 180.0])
        for k, (panel, count) in enumerate(order)
    ]
    # a simplified outline holds the piece and `half` at the least, so that is what the edges get
    strip = spyrrow.StripPackingInstance("order", roll_width + 2.0 * half, items)
    config = spyrrow.StripPackingConfig(
        total_computation_time=search[0], seed=search[1], num_workers=1
    )
    placed = []
    for item in strip.solve(config).placed_items:
        turned = math.pi if abs(abs(item.rotation) - 180.0) < 1.0 else 0.0
        along, across = item.translation
        across -= half
        placed.append(Placement(order[int(item.id)][0], across, along, turned))
    return _nest(placed, roll_width, gap, "strip packing")


def _grown(panel: Panel, half: float) -> list[tuple[float, float]]:
    """An outline of few corners that holds the piece and half the gap, as (along, across)."""
    wide = Polygon(panel.cut).buffer(half + _SIMPLIFY, quad_segs=16)
    ring = LinearRing(wide.exterior.coords).simplify(_SIMPLIFY)
    return [(float(y), float(x)) for x, y in ring.coords][:-1]


def _nest(placed: list[Placement], roll_width: float, gap: float, method: str) -> Nest:
    """Move a layout to the foot of the roll, and measure it."""
    foot = min(float(place.outline()[:, 1].min()) for place in placed)
    moved = [Placement(p.panel, p.x, p.y - foot, p.rotation) for p in placed]
    moved.sort(key=lambda p: (float(p.outline()[:, 1].min()), p.x))
    length = max(float(p.outline()[:, 1].max()) for p in moved)
    used = sum(p.panel.area for p in moved)
    return Nest(tuple(moved), roll_width, gap, length, used / (roll_width * length), method)

"""Cut lines: the seam lines of a flat piece carried outwards, each by its own allowance."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from shapely import Polygon, make_valid, union_all

from teewright.collar.outline import points, ring_area
from teewright.collar.values import Point2
from teewright.errors import GeometryError
from teewright.junction.skin import FloatArray

_SLIVER = 1e-6
"""A gap between allowances that is no larger is cut away with them [m2]."""
_SAME = 1e-6
"""Neighbouring points of a cut line that lie so near are one [m]."""
_LONGEST_CORNER = 3.0
"""A corner of the cut line reaches at most so many times the allowance beyond the seam line."""


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One line of the boundary of a flat piece, fabric on its left.

    Attributes:
        name: Kind of line.
        line: Points in order, shape (n, 2) [m].
    """

    name: str
    line: FloatArray


def cut_lines(
    rings: Sequence[Sequence[Side]], allowances: Mapping[str, float]
) -> tuple[tuple[Point2, ...], tuple[Point2, ...]]:
    """Outer cut line and cut line of the opening.

    Args:
        rings: Closed rings of sides, each side starting where the one before ends.
        allowances: Fabric beyond each kind of line [m]; none where it is not named.

    Returns:
        Counter-clockwise rings, first point not repeated; the second empty without an opening.

    Raises:
        GeometryError: An allowance does not fit, or the piece crosses itself.
    """
    outlines = [np.vstack([side.line[:-1] for side in ring]) for ring in rings]
    order = sorted(range(len(rings)), key=lambda i: -abs(ring_area(points(outlines[i]))))
    fabric = Polygon(outlines[order[0]], [outlines[i] for i in order[1:]])
    if not fabric.is_valid:
        raise GeometryError(
            "a flat piece crosses itself: another layout, or an edge rounded less, would help"
        )
    outer = rings[order[0]]
    whole = union_all([Polygon(outlines[order[0]]), *_strips(outer, allowances)])
    if not isinstance(whole, Polygon) or any(Polygon(r).area > _SLIVER for r in whole.interiors):
        raise GeometryError(
            f"a seam allowance of {1e3 * _widest(outer, allowances):.0f} mm does not fit beside "
            "the seams of this collar; a narrower seam would help"
        )
    left = [_opening(Polygon(outlines[i]), _widest(rings[i], allowances)) for i in order[1:]]
    hole = _ring(left[0].exterior.coords) if left else ()
    return _ring(whole.exterior.coords), hole


def _widest(ring: Sequence[Side], allowances: Mapping[str, float]) -> float:
    return max(allowances.get(side.name, 0.0) for side in ring)


def _opening(seam: Polygon, wide: float) -> Polygon:
    """What the fabric inside the seam line of an opening leaves open.

    One allowance all round; where the line turns sharply, as at the flanks of equal pipes,
    strips beside it would cross each other.
    """
    left = seam.buffer(-wide, join_style="mitre", mitre_limit=_LONGEST_CORNER) if wide else seam
    if not isinstance(left, Polygon) or left.is_empty:
        raise GeometryError(
            f"a seam allowance of {1e3 * wide:.0f} mm does not fit inside the opening of "
            f"{1e6 * seam.area:.0f} mm2; a narrower seam would help"
        )
    return left


def _strips(ring: Sequence[Side], allowances: Mapping[str, float]) -> list[Polygon]:
    """The fabric beyond each side of a ring, mitred where two sides meet."""
    found = []
    for number, side in enumerate(ring):
        wide = allowances.get(side.name, 0.0)
        if wide <= 0.0:
            continue
        before, after = ring[number - 1], ring[(number + 1) % len(ring)]
        outside = _carried(side.line, wide, closed=len(ring) == 1)
        if len(ring) > 1:
            beside = allowances.get(before.name, 0.0), allowances.get(after.name, 0.0)
            outside[0] = _corner(before.line[-2:], side.line[:2], beside[0], wide)
            outside[-1] = _corner(side.line[-2:], after.line[:2], wide, beside[1])
        shape = make_valid(Polygon(np.vstack([side.line, outside[::-1]])))
        found.append(shape.buffer(1e-9))
    return found


def _normals(line: FloatArray) -> FloatArray:
    """To the right of each segment, shape (n - 1, 2)."""
    step = np.diff(line, axis=0)
    step /= np.linalg.norm(step, axis=1)[:, None]
    return np.column_stack([step[:, 1], -step[:, 0]])


def _carried(line: FloatArray, wide: float, *, closed: bool) -> FloatArray:
    """A line moved to its right by `wide`, vertex by vertex, shape (n, 2)."""
    normal = _normals(line)
    ends = (normal[-1:], normal[:1]) if closed else (normal[:1], normal[-1:])
    before, after = np.vstack([ends[0], normal]), np.vstack([normal, ends[1]])
    middle = before + after
    share = np.maximum(np.sum(middle * before, axis=1), 2.0 / _LONGEST_CORNER)
    return np.asarray(line + wide * middle / share[:, None])


def _corner(first: FloatArray, second: FloatArray, wide: float, beside: float) -> FloatArray:
    """Where the lines carried outwards from two segments meet, shape (2,)."""
    at = second[0]
    normals = np.vstack([_normals(first), _normals(second)])
    away = np.array([wide, beside])
    if abs(float(np.linalg.det(normals))) > 0.1:
        found = np.linalg.solve(normals, away)
        longest = _LONGEST_CORNER * float(np.max(away))
        size = math.hypot(*found)
        return np.asarray(at + found * min(1.0, longest / size))
    return np.asarray(at + float(np.max(away)) * (normals[0] if wide >= beside else normals[1]))


def _ring(coords: object) -> tuple[Point2, ...]:
    """A counter-clockwise ring that starts at its lowest, then leftmost point."""
    ring = np.asarray(coords, dtype=np.float64)[:-1, :2]
    apart = np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1)
    ring = ring[apart > _SAME]
    if ring_area(points(ring)) < 0.0:
        ring = ring[::-1]
    first = int(np.lexsort((ring[:, 0], ring[:, 1]))[0])
    return points(np.roll(ring, -first, axis=0))

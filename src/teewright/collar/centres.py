"""Centre marks: where crown, invert and flanks come to lie, marked on a piece's free edges."""

import math
from dataclasses import dataclass
from itertools import pairwise

from shapely import LinearRing, LineString, Point, union_all
from shapely.ops import substring

from teewright.collar.values import Panel, Point2

LENGTH = 0.012
"""Of a mark, from the cut edge on to the fabric [m]."""
_SAME = 2e-3
_ALLOWANCE = 0.03
"""More than any fabric beyond a seam that goes round a branch [m]."""


@dataclass(frozen=True, slots=True)
class CentreMark:
    """A short line from a free edge on to the fabric.

    Attributes:
        name: What lies there when the collar is in place.
        line: From the edge inwards [m].
    """

    name: str
    line: tuple[Point2, Point2]


@dataclass(frozen=True, slots=True)
class _End:
    """A free edge, from the end of one seam line to the end of another."""

    line: LineString
    seams: tuple[str, str]


def centre_marks(panel: Panel) -> tuple[CentreMark, ...]:
    """Marks at equal shares of each free edge, between the seam lines that bound it.

    A free edge that runs once round its pipe, from closing seam to closing seam, has marks at its
    middle, both quarters and both ends; one that runs half round, to or from a seam in the plane
    of symmetry, at its middle and where its ends are known. The share is one of the cut length:
    away from the branch the fabric is stretched evenly, so a share of the edge is the same share
    of the pipe's girth.

    Args:
        panel: Piece.

    Returns:
        Marks in order round the piece; none where no free edge is bounded by seams.
    """
    marks: list[CentreMark] = []
    for end in _free_edges(panel):
        for share, name in _shares(panel.name, end.seams):
            marks.append(CentreMark(name, _tick(end.line, share)))
    return tuple(marks)


def _shares(piece: str, seams: tuple[str, str]) -> list[tuple[float, str]]:
    """What lies at which share of a free edge; its ends lie on the seams that bound it."""
    kind = piece.partition(" ")[0]
    if seams == ("closing", "closing"):
        far, near = {"main": ("invert", "crown"), "branch": ("heel", "crotch")}.get(kind, ("", ""))
        named = [(0.0, far), (0.25, "flank"), (0.5, near), (0.75, "flank"), (1.0, far)]
    elif set(seams) == {"closing", "crown"}:
        # on a branch the seam in the plane of symmetry may be the crotch or the heel
        on_branch = {"closing": "heel", "crown": ""}
        on_main = {"closing": "invert", "crown": "crown"}
        ends = [(on_branch if kind == "branch" else on_main)[seam] for seam in seams]
        named = [(0.0, ends[0]), (0.5, "flank"), (1.0, ends[1])]
    else:
        halved = "crown" in seams and set(seams) <= {"crown", "closing"}
        named = [(0.5, "flank")] if halved else []
    return [(share, name) for share, name in named if name]


def _free_edges(panel: Panel) -> list[_End]:
    """Stretches of the cut line between the ends of two different seam lines."""
    cut = panel.cut if LinearRing(panel.cut).is_ccw else panel.cut[::-1]
    ring = LineString([*cut, cut[0]])
    stops = sorted(
        (float(ring.project(Point(line[at]))), number, name)
        for number, (name, line) in enumerate(panel.seams)
        for at in (0, -1)
        if math.dist(line[0], line[-1]) > _SAME
    )
    found = []
    for (low, one, first), (high, other, second) in pairwise([*stops, *stops[:1]]):
        part = _between(ring, low, high)
        if one != other and part.length > 10.0 * _SAME and _is_free(panel, part):
            found.append(_End(part, (first, second)))
    return found


def _is_free(panel: Panel, part: LineString) -> bool:
    """Whether no seam runs along an edge, its allowance away."""
    seams = union_all([LineString(line) for _, line in panel.seams])
    places = (part.interpolate(k / 8.0, normalized=True) for k in range(1, 8))
    return max(float(seams.distance(place)) for place in places) > _ALLOWANCE


def _between(ring: LineString, low: float, high: float) -> LineString:
    """Part of a ring from one length to another, through its first point if need be."""
    if high >= low:
        return LineString(substring(ring, low, high).coords) if high > low else LineString()
    parts = (substring(ring, low, ring.length), substring(ring, 0.0, high))
    joined = [tuple(p) for part in parts for p in part.coords]
    return LineString(joined) if len(joined) > 1 else LineString()


def _tick(edge: LineString, share: float) -> tuple[Point2, Point2]:
    """From a place of an edge square on to the fabric; the ring runs counter-clockwise."""
    at = share * edge.length
    a, b = (edge.interpolate(max(at + d, 0.0)) for d in (-1e-3, 1e-3))
    length = math.hypot(b.x - a.x, b.y - a.y)
    nx, ny = -(b.y - a.y) / length, (b.x - a.x) / length
    foot = edge.interpolate(at)
    size = min(LENGTH, 0.15 * edge.length)
    return (foot.x, foot.y), (foot.x + size * nx, foot.y + size * ny)

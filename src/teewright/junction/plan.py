"""How a mesh of a skin is laid out: its counts, so that two junctions can share a topology."""

import math
from dataclasses import dataclass, replace

import numpy as np

from teewright.errors import GeometryError
from teewright.junction.columns import column_angles, seam_lengths
from teewright.junction.edge import Edge, edge_of, seam_share
from teewright.junction.frame import Frame, corner_columns, outer_frame, outer_line
from teewright.junction.profile import half_round, profile_of
from teewright.junction.rows import row_count
from teewright.junction.skin import FloatArray
from teewright.junction.values import Seam, Skin

_RING = 768
_MOST = 400_000
_ROOM = 2.0


@dataclass(frozen=True, slots=True)
class MeshCounts:
    """Numbers of intervals in a mesh; the same numbers give the same topology.

    Attributes:
        quadrants: Columns of each quadrant from the crotch by +y: two of half a mesh, four of
            a whole.
        corners: Column that runs to the outer line's corner in each quadrant.
        main: Rows from the seam to the outer line.
        main_even: Of these, rows of even spacing.
        branch: Rows from the seam to the top.
        branch_even: Of these, rows of even spacing.
        wing: Rows of each wing; 0 where the rings themselves reach the far side.
    """

    quadrants: tuple[int, ...]
    corners: tuple[int, ...]
    main: int
    main_even: int
    branch: int
    branch_even: int
    wing: int


@dataclass(frozen=True, slots=True)
class MeshPlan:
    """Everything that `build_mesh` needs besides the skin.

    Attributes:
        sleeve: x from and to of the main part [m].
        top: Height of the branch part along the branch's axis from the origin [m].
        seam: Where the saddle seam runs.
        size: Spacing of the even rows beside the seam [m].
        counts: Numbers of intervals before division.
        parts: Parts into which each interval is divided, 1 for none.
    """

    sleeve: tuple[float, float]
    top: float
    seam: Seam
    size: float
    counts: MeshCounts
    parts: int = 1

    @property
    def half(self) -> bool:
        """Whether only y >= 0 is meshed."""
        return len(self.counts.quadrants) == 2

    @property
    def quadrants(self) -> tuple[int, ...]:
        """Columns of each quadrant, divided."""
        return tuple(self.parts * count for count in self.counts.quadrants)

    @property
    def corners(self) -> tuple[int, ...]:
        """Column of each corner, divided."""
        return tuple(self.parts * column for column in self.counts.corners)


def finer(plan: MeshPlan) -> MeshPlan:
    """The same plan with each interval halved; every vertex of the coarse mesh stays."""
    return replace(plan, parts=2 * plan.parts)


def ring_of(skin: Skin) -> Edge:
    """The rounded edge all round, evenly in phi from -pi to pi."""
    return edge_of(skin, np.linspace(-math.pi, math.pi, _RING + 1))


def plan_mesh(
    skin: Skin,
    *,
    sleeve: tuple[float, float],
    top: float,
    seam: Seam,
    size: float,
    half: bool | None = None,
    growth: float = 1.25,
    around: float | None = None,
) -> MeshPlan:
    """Counts of a mesh from the lengths of its edges.

    Args:
        skin: Surface, checked by `check_skin`.
        sleeve: x from and to of the main part [m].
        top: Height of the branch part along its axis from the origin [m].
        seam: Where the saddle seam runs.
        size: Length of an edge at the seam [m].
        half: Whether to mesh y >= 0 only; None where the junction is symmetric.
        growth: Ratio of neighbouring rows away from the seam, above 1 [-].
        around: Spacing of the columns along the seam, where the skin bends less than across
            it; None for `size` [m]. Rows grow to three times as much on the main and twice on
            the branch, where columns do not part.

    Returns:
        The plan.

    Raises:
        GeometryError: Sleeve or top leave no room, or the size does not suit the branch.
    """
    mirror = skin.junction.symmetric and seam.side == 0.0
    if half and not mirror:
        raise GeometryError("half a mesh was asked for, but junction or seam is not symmetric")
    beside = size if around is None else around
    most, most_up = 3.0 * beside, 2.0 * beside
    lengths = seam_lengths(skin, seam)
    _check_size(skin, max(size, beside), growth, sum(lengths))
    ring = ring_of(skin)
    on_main = seam_share(seam, ring.phi) * ring.length
    on_branch = ring.length - on_main
    _check_room(ring, sleeve, top, (on_main, on_branch), size)
    used = lengths[:2] if (mirror if half is None else half) else lengths
    quadrants = tuple(max(4, round(length / beside)) for length in used)
    frame = outer_frame(skin, ring, sleeve)
    contact = edge_of(skin, column_angles(skin, seam, quadrants)).main_flat
    corners = corner_columns(contact, frame, quadrants, mirror=mirror)
    ray = outer_line(contact, frame, quadrants, corners) - contact
    longest = float(np.hypot(*ray.T).max() + max(on_main.max(), 0.0))
    highest = float(np.max(top - ring.branch_flat[:, 1] + on_branch))
    even, even_up = _even_rows(on_main, size), _even_rows(on_branch, size)
    counts = MeshCounts(
        quadrants=quadrants,
        corners=corners,
        main=row_count(longest, even, size, growth, most),
        main_even=even,
        branch=row_count(highest, even_up, size, growth, most_up),
        branch_even=even_up,
        wing=_wing_rows(skin, frame, most),
    )
    _check_number(counts, size)
    return MeshPlan(sleeve, top, seam, size, counts)


def _even_rows(arc: FloatArray, size: float) -> int:
    """Rows of even spacing that cover the part of the arc on one side of the seam, and a little."""
    return max(2, math.ceil(float(arc.max()) / size) + 1)


def _wing_rows(skin: Skin, frame: Frame, coarsest: float) -> int:
    if frame.closed:
        return 0
    whole = half_round(profile_of(skin.junction), -skin.inset)
    longest = max(whole + frame.sides[0], whole - frame.sides[1])
    # a wide pipe bends less: rows as far apart as those on the branch for the same bow
    branch = math.pi * skin.junction.branch_diameter / 2.0
    return max(1, math.ceil(longest / (coarsest * math.sqrt(max(whole / branch, 1.0)))))


def _check_number(counts: MeshCounts, size: float) -> None:
    vertices = sum(counts.quadrants) * (counts.main + counts.branch + counts.wing)
    if vertices > _MOST:
        raise GeometryError(
            f"an edge of {1e3 * size:.2f} mm gives a mesh of {vertices} vertices; "
            f"at most {_MOST} are made: take a longer one"
        )


def _check_size(skin: Skin, size: float, growth: float, ring: float) -> None:
    if not 0.0 < size <= ring / 16.0:
        raise GeometryError(
            f"an edge of {1e3 * size:.2f} mm does not suit a branch of "
            f"{1e3 * skin.junction.branch_diameter:.0f} mm; it must be above 0 and at most "
            f"{1e3 * ring / 16.0:.2f} mm, a sixteenth of the seam"
        )
    if not 1.0 < growth < math.inf:
        raise GeometryError(
            f"rows cannot grow by {growth:.3g} from one to the next; the factor must be above 1"
        )


def _check_room(
    ring: Edge,
    sleeve: tuple[float, float],
    top: float,
    arcs: tuple[FloatArray, FloatArray],
    size: float,
) -> None:
    """Refuse a collar whose free edges are on the rounded edge or on the seam."""
    x, height = ring.main_flat[:, 0], ring.branch_flat[:, 1]
    beyond = max(float((-arcs[0]).max()), 0.0) + _ROOM * size
    low, high = float(x.min()) - beyond, float(x.max()) + beyond
    if not (-math.inf < sleeve[0] <= low and high <= sleeve[1] < math.inf):
        raise GeometryError(
            f"a sleeve from {1e3 * sleeve[0]:.0f} to {1e3 * sleeve[1]:.0f} mm along the main "
            f"does not cover the opening, which needs {1e3 * low:.0f} to {1e3 * high:.0f} mm"
        )
    least = float(height.max()) + max(float((-arcs[1]).max()), 0.0) + _ROOM * size
    if not least <= top < math.inf:
        raise GeometryError(
            f"a collar that ends {1e3 * top:.0f} mm up the branch does not cover the rounded "
            f"edge, which needs {1e3 * least:.0f} mm"
        )

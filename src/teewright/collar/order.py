"""What a collar is made for, and how much work is put into it."""

import math
from dataclasses import dataclass, replace

from teewright.collar.edges import highest_seam, start_seam
from teewright.collar.landing import Wanted
from teewright.junction.plan import MeshPlan, plan_mesh
from teewright.junction.topology import topology_of
from teewright.junction.values import Junction, Seam, Skin
from teewright.kit.values import Fabric

MOST_VERTICES, MOST_WHOLE = 4000, 3000
"""Vertices of a mesh at usual fineness at the most: of half a mesh where the junction is
symmetric, else of a whole one, each vertex of which costs twice as much."""
ROUND = 16.0
"""Edges of the mesh to a diameter of the branch [-]."""
LONGER = 2.5
"""Length of an edge along the seam over that across it at the most [-]."""
_TRIES = 8


@dataclass(frozen=True, slots=True)
class Order:
    """A collar to be made.

    Attributes:
        pattern: Name of the pattern.
        junction: The host's inner surface, lined.
        fabric: Fabric of all pieces.
        pressure: What presses the fabric against the pipes [Pa].
        thickness: Of the fabric in place at that pressure, stretched by design [m].
        stretch: Design stretch round the pipes, formed over cut, >= 1 [-].
        void_fraction: Share of the fabric that resin fills at that pressure [-].
        sleeve_length: Along the main, centred on the opening, formed [m].
        branch_length: Up the branch beyond the highest point of the seam, formed [m].
        lap: Overlap of each closing seam, >= 0 [m].
        layout: The layout asked for, or empty to choose the plainest one that fits.
    """

    pattern: str
    junction: Junction
    fabric: Fabric
    pressure: float
    thickness: float
    stretch: float
    void_fraction: float
    sleeve_length: float
    branch_length: float
    lap: float
    layout: str = ""

    @property
    def skin(self) -> Skin:
        """The middle of the fabric in place."""
        return Skin(self.junction, self.thickness / 2.0)


@dataclass(frozen=True, slots=True)
class Effort:
    """How finely and how far a collar is computed.

    Attributes:
        fineness: Length of an edge of the mesh over the usual one [-].
        rounds: Most corrections of the panels.
        seam: Whether the place of the seam is searched.
        tolerance: Whether the placement tolerance is found.
        samples: Random cases in each set that the tolerance is held against.
        sets: Sets of random cases at the most.
    """

    fineness: float = 1.0
    rounds: int = 8
    seam: bool = True
    tolerance: bool = True
    samples: int = 40
    sets: int = 10


@dataclass(frozen=True, slots=True)
class Extent:
    """How far the designed surface reaches, from the origin of the junction.

    Attributes:
        middle: Middle of the opening along the main [m].
        upstream: From the middle to the upstream end [m].
        downstream: From the middle to the downstream end [m].
        top: Height of the top along the branch's axis [m].
    """

    middle: float
    upstream: float
    downstream: float
    top: float

    def longer(self, upstream: float, downstream: float, top: float) -> "Extent":
        """The same, each end farther out [m]."""
        return replace(
            self,
            upstream=self.upstream + upstream,
            downstream=self.downstream + downstream,
            top=self.top + top,
        )


def opening_middle(junction: Junction) -> float:
    """Middle of the opening in the main's crown, from the origin, R / tan(theta) [m]."""
    return junction.main_diameter / 2.0 / math.tan(junction.angle)


def crown_height(junction: Junction) -> float:
    """Where the branch's axis passes the main's crown, from the origin, R / sin(theta) [m]."""
    return junction.main_diameter / 2.0 / math.sin(junction.angle)


def wanted_of(order: Order, highest_seam: float) -> Wanted:
    """Where the free edges should lie.

    Args:
        order: The collar.
        highest_seam: Highest point of the saddle seam along the branch's axis [m].
    """
    crown = crown_height(order.junction)
    return Wanted(
        middle=opening_middle(order.junction),
        half_sleeve=order.sleeve_length / 2.0,
        crown=crown,
        reach=highest_seam + order.branch_length - crown,
    )


def extent_of(wanted: Wanted) -> Extent:
    """The extent that the free edges ask for."""
    return Extent(
        middle=wanted.middle,
        upstream=wanted.half_sleeve,
        downstream=wanted.half_sleeve,
        top=wanted.crown + wanted.reach,
    )


def edge_size(order: Order, effort: Effort) -> float:
    """Usual length of an edge of the mesh across the seam [m].

    A sixteenth of the branch's diameter, but no more than the radius of the rounded edge:
    coarser meshes misplace the crotch. Where that gives more vertices than `MOST_VERTICES` or
    `MOST_WHOLE`, as with sharp edges of wide or oblique branches, the edges are as long as it
    takes to stay below.

    Args:
        order: The collar.
        effort: Its `fineness` multiplies the length that is found.

    Raises:
        GeometryError: Sleeve or branch part leave no room for the rounded edge.
    """
    size = _usual_size(order)
    seam = start_seam(order.skin)
    extent = extent_of(wanted_of(order, highest_seam(order.skin, seam)))
    most = MOST_VERTICES if order.junction.symmetric else MOST_WHOLE
    for _ in range(_TRIES):
        count = topology_of(plan_of(order, extent, seam, size)).vertices
        if count <= most:
            break
        size *= max(math.sqrt(count / most), 1.02)
    return effort.fineness * size


def _usual_size(order: Order) -> float:
    ball = order.junction.fillet + order.thickness / 2.0
    return min(order.junction.branch_diameter / ROUND, max(ball, 0.004))


def plan_of(
    order: Order,
    extent: Extent,
    seam: Seam,
    size: float,
    *,
    half: bool | None = None,
    longer: float = 1.0,
) -> MeshPlan:
    """Plan of the mesh of the designed surface.

    Along the seam, where the surface bends only as the branch does, edges are longer than
    across it, up to `LONGER` times.

    Args:
        order: The collar.
        extent: How far it reaches.
        seam: Where the saddle seam runs.
        size: Length of an edge across the seam [m].
        half: As for `plan_mesh`.
        longer: Length of the edges along the seam over the usual one [-].

    Raises:
        GeometryError: The extent leaves no room for the rounded edge.
    """
    usual = min(order.junction.branch_diameter / ROUND / _usual_size(order), LONGER)
    return plan_mesh(
        order.skin,
        sleeve=(extent.middle - extent.downstream, extent.middle + extent.upstream),
        top=extent.top,
        seam=seam,
        size=size,
        half=half,
        around=longer * usual * size,
    )

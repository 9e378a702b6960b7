"""The formed collar held against what was designed, and against the limits that it must keep."""

import math
from dataclasses import dataclass

import numpy as np

from teewright.collar.flat import FlatCollar
from teewright.collar.folds import fold_height
from teewright.collar.values import Edge, Limit
from teewright.forming.values import Cloth, Formed
from teewright.junction.skin import FloatArray, IntArray, SkinMesh
from teewright.junction.values import Junction
from teewright.kit.values import Fabric

WRINKLE_SHARE, WRINKLE_LEAST = 0.02, 0.006
"""Irregularity allowed: 2 % of the nominal diameter, 6 mm at the least [m] (ISO 11296-4:2018,
read in a secondary source)."""
GAP = 0.002
"""Largest distance of the formed fabric from where it should lie [m]; an engineer's choice: resin
squeezed from the fabric fills so much, a wider gap stays hollow."""
SHORT = 0.005
"""Length by which an edge may fall short of where it is wanted [m]; an engineer's choice."""
FOLD, GAP_BEHIND = "height of wrinkles", "gap behind the fabric"
"""Names of the two limits that the closed loop trades against each other."""
INNER = 0.01
"""Share of the area left out at either end of the stretch: seam ends look singular [-]."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Where the free edges should lie.

    Attributes:
        middle: Middle of the opening along the main, from the origin [m].
        half_sleeve: From there to either end of the sleeve [m].
        crown: Height of the crown along the branch's axis, from the origin [m].
        reach: From there to the top of the collar [m].
    """

    middle: float
    half_sleeve: float
    crown: float
    reach: float


def landed_edges(
    mesh: SkinMesh, positions: FloatArray, wanted: Wanted, junction: Junction
) -> tuple[Edge, ...]:
    """Where the free edges landed.

    Args:
        mesh: Mesh of the collar.
        positions: Of its vertices when formed, shape (n, 3) [m].
        wanted: Where they should be.
        junction: The junction that it was formed in, for the direction of the branch.
    """
    up, down = sleeve_ends(mesh)
    along = positions[:, 0] - wanted.middle
    axis = np.array([math.cos(junction.angle), 0.0, math.sin(junction.angle)])
    top = positions[mesh.grid[-1]] @ axis - wanted.crown
    return (
        _edge("upstream", wanted.half_sleeve, along[up]),
        _edge("downstream", wanted.half_sleeve, -along[down]),
        _edge("branch", wanted.reach, top),
    )


def _edge(name: str, wanted: float, reached: FloatArray) -> Edge:
    return Edge(name, wanted, float(np.min(reached)), float(np.max(reached)))


def sleeve_ends(mesh: SkinMesh) -> tuple[IntArray, IntArray]:
    """Vertices of the upstream and of the downstream end of the sleeve."""
    x = mesh.main_unrolled[:, 0]
    high, low = float(np.nanmax(x)), float(np.nanmin(x))
    near = 1e-6 * (high - low)
    return np.flatnonzero(x > high - near), np.flatnonzero(x < low + near)


@dataclass(frozen=True, slots=True)
class Measured:
    """What the limits are held against.

    Attributes:
        edges: Free edges.
        stretch: Least and greatest principal stretch [-].
        stretch_inner: The same but for the outer hundredth of the area at either end [-].
        across: Greatest stretch across the grain, outer hundredth left out [-].
        along: Greatest stretch along the grain, likewise [-].
        wrinkle_strain: Greatest excess per length [-].
        wrinkle_height: [m].
        gap: [m].
    """

    edges: tuple[Edge, ...]
    stretch: tuple[float, float]
    stretch_inner: tuple[float, float]
    across: float
    along: float
    wrinkle_strain: float
    wrinkle_height: float
    gap: float


def measure(
    flat: FlatCollar, cloth: Cloth, formed: Formed, wanted: Wanted, junction: Junction
) -> Measured:
    """Measure a formed collar.

    Args:
        flat: What was designed.
        cloth: What was sewn.
        formed: Where it landed.
        wanted: Where its edges should be.
        junction: What it was formed in.
    """
    area = triangle_areas(formed.positions, cloth.triangles)
    least, most = formed.stretch[:, 1], formed.stretch[:, 0]
    return Measured(
        edges=landed_edges(flat.mesh, formed.positions, wanted, junction),
        stretch=(float(np.min(least)), float(np.max(most))),
        stretch_inner=(quantile(least, area, INNER), quantile(most, area, 1.0 - INNER)),
        across=quantile(formed.along[:, 0], area, 1.0 - INNER),
        along=quantile(formed.along[:, 1], area, 1.0 - INNER),
        wrinkle_strain=float(np.max(formed.wrinkle)),
        wrinkle_height=fold_height(flat.mesh, cloth.rest, formed.positions, formed.wrinkle),
        gap=float(np.max(formed.gap)),
    )


def triangle_areas(points: FloatArray, triangles: IntArray) -> FloatArray:
    """Areas in space, shape (m,) [m2]."""
    a, b, c = (points[triangles[:, i]] for i in range(3))
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0)


def quantile(values: FloatArray, weights: FloatArray, share: float) -> float:
    """The value below which a share of the weight lies."""
    order = np.argsort(values)
    below = np.cumsum(weights[order]) - weights[order] / 2.0
    return float(np.interp(share * np.sum(weights), below, values[order]))


def limits_of(measured: Measured, junction: Junction, fabric: Fabric) -> tuple[Limit, ...]:
    """Each limit of the formed collar with the value found.

    Args:
        measured: Formed collar.
        junction: What it was formed in.
        fabric: Its fabric.
    """
    allowed = max(WRINKLE_SHARE * junction.main_diameter, WRINKLE_LEAST)
    short = max(edge.wanted - edge.least for edge in measured.edges)
    softer = "a fabric that bears more, less design stretch, or a layout with more seams"
    return (
        Limit(
            "stretch along the grain", measured.along, None, fabric.stretch_along, "-", softer, 1.0
        ),
        Limit(
            "stretch across the grain", measured.across, None, fabric.stretch_across, "-",
            softer, 1.0,
        ),
        Limit(
            FOLD, measured.wrinkle_height, None, allowed, "m",
            "more design stretch, a layout with more seams, or an edge rounded less",
        ),
        Limit(
            GAP_BEHIND, measured.gap, None, GAP, "m",
            "more pressure, a softer fabric, or a packer nearer to the bore",
        ),
        Limit(
            "edge short of its place", max(short, 0.0), None, SHORT, "m",
            "a longer sleeve or branch part, or a packer that carries more",
        ),
    )  # fmt: skip


def broken(limits: tuple[Limit, ...]) -> str:
    """Name of the limit broken most, or empty."""
    worst = min(limits, key=lambda limit: limit.margin)
    return "" if worst.kept else worst.name

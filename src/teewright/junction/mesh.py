"""A structured mesh of a skin: rings round the branch, and two wings round the main."""

import math
from dataclasses import dataclass

import numpy as np

from teewright.errors import GeometryError
from teewright.junction.columns import column_angles
from teewright.junction.edge import Edge, arc_points, edge_of, seam_share
from teewright.junction.frame import Frame, outer_frame, outer_line
from teewright.junction.plan import MeshPlan, plan_mesh, ring_of
from teewright.junction.profile import half_round, profile_of
from teewright.junction.rows import graded
from teewright.junction.skin import FloatArray, IntArray, SkinMesh
from teewright.junction.surface import on_branch, on_main
from teewright.junction.topology import Topology, topology_of
from teewright.junction.values import Seam, Skin


def mesh_skin(
    skin: Skin,
    *,
    sleeve: tuple[float, float],
    top: float,
    seam: Seam,
    size: float,
    half: bool | None = None,
    growth: float = 1.25,
    around: float | None = None,
) -> SkinMesh:
    """Mesh a skin.

    Args:
        skin: Surface, checked by `check_skin`.
        sleeve: x from and to of the main part [m].
        top: Height of the branch part along its axis from the origin [m].
        seam: Where the saddle seam runs.
        size: Length of an edge at the seam [m].
        half: Whether to mesh y >= 0 only; None where the junction is symmetric.
        growth: Ratio of neighbouring rows away from the seam, above 1 [-].
        around: Spacing of the columns along the seam, None for `size` [m].

    Returns:
        The mesh; every vertex lies on the skin.

    Raises:
        GeometryError: Sleeve or top leave no room, or the size does not suit the branch.
    """
    plan = plan_mesh(
        skin,
        sleeve=sleeve,
        top=top,
        seam=seam,
        size=size,
        half=half,
        growth=growth,
        around=around,
    )
    return build_mesh(skin, plan)


def build_mesh(skin: Skin, plan: MeshPlan) -> SkinMesh:
    """Mesh a skin to a plan; the same plan gives the same topology on any skin.

    Args:
        skin: Surface, checked by `check_skin`.
        plan: From `plan_mesh`, for this junction or one of a similar shape.

    Returns:
        The mesh.

    Raises:
        GeometryError: The plan does not suit this skin.
    """
    if plan.half and not skin.junction.symmetric:
        raise GeometryError("a plan of half a mesh does not suit a junction that is not symmetric")
    shape = topology_of(plan)
    edge = edge_of(skin, column_angles(skin, plan.seam, plan.quadrants))
    frame = outer_frame(skin, ring_of(skin), plan.sleeve, closed=plan.counts.wing == 0)
    outer = outer_line(edge.main_flat, frame, plan.quadrants, plan.corners)
    _check_rays(edge, outer, closed=not plan.half)
    grid = _grid_places(skin, edge, outer, plan)
    wings = _wing_places(skin, frame, outer, shape, plan)
    return _gather(skin, plan, shape, edge, grid, wings)


def _check_rays(edge: Edge, outer: FloatArray, *, closed: bool) -> None:
    """Refuse columns that cross each other or the opening on the unrolled main."""
    near, far = edge.main_flat, outer
    if closed:
        near, far = (np.concatenate([line, line[:1]]) for line in (near, far))
    ray, inner, rim = far - near, np.diff(near, axis=0), np.diff(far, axis=0)
    turns = [
        side[:, 1] * out[:, 0] - side[:, 0] * out[:, 1]
        for side in (inner, rim)
        for out in (ray[:-1], ray[1:])
    ]
    worst = int(np.argmin(np.min(turns, axis=0)))
    if not float(np.min(turns)) > 0.0:
        place = math.degrees(edge.phi[worst] % (2.0 * math.pi))
        raise GeometryError(
            f"the main cannot be meshed round the opening at {place:.0f} degrees from the crotch: "
            "sleeve and opening do not fit each other; take a longer sleeve"
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Places:
    """Vertices of the rings, each (columns, rows, ...); `reach` is the way past the main."""

    points: FloatArray
    reach: FloatArray
    on_main: FloatArray
    on_branch: FloatArray


def _grid_places(skin: Skin, edge: Edge, outer: FloatArray, plan: MeshPlan) -> _Places:
    """Vertices of the rings, shape (columns, rows) each, row 0 on the outer line."""
    counts, parts = plan.counts, plan.parts
    arc = edge.length
    seam = seam_share(plan.seam, edge.phi) * arc
    ray = outer - edge.main_flat
    way = np.hypot(*ray.T)
    down = graded(seam + way, counts.main, counts.main_even, plan.size, parts)
    height = plan.top - edge.branch_flat[:, 1]
    up = graded(arc - seam + height, counts.branch, counts.branch_even, plan.size, parts)
    reach = np.concatenate([-down[:, :0:-1], up], axis=1) + seam[:, None]
    reach[:, 0], reach[:, -1] = -way, arc + height
    out = ray / way[:, None]
    return _Places(
        _surface(skin, edge, out, reach),
        reach,
        _unrolled_main(edge, out, reach),
        _unrolled_branch(skin, edge, reach),
    )


def _surface(skin: Skin, edge: Edge, ray: FloatArray, reach: FloatArray) -> FloatArray:
    """Points at a way along their column, 0 at the main's contact line, shape (n, rows, 3)."""
    arc = edge.length[:, None]
    share = np.clip(reach / np.where(arc > 0.0, arc, 1.0), 0.0, 1.0)
    points = arc_points(edge, share)
    column, row = np.nonzero(reach < 0.0)
    flat = edge.main_flat[column] - reach[column, row][:, None] * ray[column]
    points[column, row] = on_main(skin, flat)
    column, row = np.nonzero(reach > arc)
    along = edge.branch_flat[column, 1] + reach[column, row] - edge.length[column]
    points[column, row] = on_branch(skin, edge.phi[column], along)
    return points


def _unrolled_main(edge: Edge, ray: FloatArray, reach: FloatArray) -> FloatArray:
    """Main and edge unrolled, nan on the branch, shape (n, rows, 2)."""
    arc = edge.length[:, None]
    share = np.maximum(reach, 0.0) / np.where(arc > 0.0, arc, 1.0)
    flat = edge.main_flat[:, None, :] + share[:, :, None] * edge.main_reach[:, None, :]
    flat += np.maximum(-reach, 0.0)[:, :, None] * ray[:, None, :]
    return np.where(reach[:, :, None] <= arc[:, :, None], flat, math.nan)


def _unrolled_branch(skin: Skin, edge: Edge, reach: FloatArray) -> FloatArray:
    """Branch and edge unrolled, counted on past the heel, nan on the main, (n, rows, 2)."""
    arc, way = edge.length[:, None], reach - edge.length[:, None]
    back = np.maximum(-way, 0.0) / np.where(arc > 0.0, arc, 1.0)
    flat = edge.branch_flat[:, None, :] + back[:, :, None] * edge.branch_reach[:, None, :]
    flat[:, :, 1] += np.maximum(way, 0.0)
    whole = 2.0 * math.pi * (skin.junction.branch_diameter / 2.0 - skin.inset)
    flat[edge.phi < 0.0, :, 0] += whole
    return np.where(reach[:, :, None] >= 0.0, flat, math.nan)


def _wing_places(
    skin: Skin, frame: Frame, outer: FloatArray, shape: Topology, plan: MeshPlan
) -> tuple[FloatArray, ...]:
    """Wings on the unrolled main, first row on the outer line, shape (rows, columns, 2)."""
    whole = half_round(profile_of(skin.junction), -skin.inset)
    tops = [outer[line] for line in shape.sides]
    meet = sum(top[:, 0] for top in tops) / len(tops)
    wings = []
    for top, sign, width in zip(tops, (1.0, -1.0), frame.sides[::-1], strict=False):
        share = np.linspace(0.0, 1.0, plan.counts.wing * plan.parts + 1)[:, None]
        x = top[None, :, 0] + share * (meet - top[:, 0])[None, :]
        w = np.broadcast_to(width + share * (sign * whole - width), x.shape)
        wings.append(np.stack([x, w], axis=2))
    return tuple(wings) if plan.counts.wing else ()


def _gather(
    skin: Skin,
    plan: MeshPlan,
    shape: Topology,
    edge: Edge,
    grid: _Places,
    wings: tuple[FloatArray, ...],
) -> SkinMesh:
    """Number everything as the topology says."""
    count = shape.vertices
    points, reach, length = np.empty((count, 3)), np.empty(count), np.ones(count)
    flat_main, flat_branch = np.full((count, 2), math.nan), np.full((count, 2), math.nan)
    # the side towards +y is written last: the closing line is unrolled to it
    for wing, numbers in zip(wings[::-1], shape.wings[::-1], strict=True):
        flat = wing.reshape(-1, 2)
        points[numbers.ravel()] = on_main(skin, flat)
        flat_main[numbers.ravel()], reach[numbers.ravel()] = flat, -1.0
    for column in range(len(edge.phi) - 1, -1, -1):
        numbers = shape.grid[:, column]
        points[numbers], reach[numbers] = grid.points[column], grid.reach[column]
        flat_main[numbers], flat_branch[numbers] = grid.on_main[column], grid.on_branch[column]
        length[numbers] = edge.length[column]
    if plan.half:
        for line in (shape.grid[:, 0], shape.grid[:, -1], shape.closing):
            points[line, 1] = 0.0
    return SkinMesh(
        skin=skin,
        points=points,
        triangles=shape.triangles,
        zone=_zones(shape.triangles, reach, length),
        phi=np.where(edge.phi < 0.0, edge.phi + 2.0 * math.pi, edge.phi),
        grid=shape.grid,
        seam_row=plan.counts.main * plan.parts,
        wings=shape.wings,
        main_unrolled=flat_main,
        branch_unrolled=flat_branch,
        half=plan.half,
    )


def _zones(triangles: IntArray, reach: FloatArray, length: FloatArray) -> IntArray:
    """0 main, 1 rounded edge, 2 branch, by the mean of the corners' ways, shape (m,)."""
    way = reach[triangles].mean(axis=1)
    arc = length[triangles].mean(axis=1)
    return np.where(way < 0.0, 0, np.where(way > arc, 2, 1)).astype(np.int64)

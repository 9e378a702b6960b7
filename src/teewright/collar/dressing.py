"""The collar on the packer: where a forming run starts, and what pushes and holds it."""

import math
from dataclasses import replace

import numpy as np

from teewright.collar.landing import sleeve_ends
from teewright.collar.order import Extent, crown_height, opening_middle
from teewright.collar.targets import Targets
from teewright.collar.tolerance import Case
from teewright.forming.values import Load, Restraint
from teewright.junction.field import Field, distances
from teewright.junction.mesh import build_mesh
from teewright.junction.plan import MeshPlan
from teewright.junction.skin import FloatArray, IntArray, SkinMesh
from teewright.junction.values import Junction, Skin

SMALLEST = 0.995
"""Diameter of the unfolded collar over that of the bore at the most: it is sleeved [-]."""
THRUST = 0.5
"""Share of the end thrust of the branch's bladder that the fabric carries [-]; an engineer's
choice: friction on the bladder draws the sleeve along. The main's bladder is held by the packer's
body and does not pull."""
CLAMPED = 0.99
"""Share of the vertices that touch from which on the bladders pull no more [-]; an engineer's
choice. Bladder, fabric and pipe are then pressed together, and friction takes up what the ends
of the bladders pull. Pulls that grow with the pressure to the end would drag a landed sleeve of
a wide main along the pipe, since p R/2 is more than the fabric's stiffness."""
_MOVES = 4
GRIP = 2.0e3
"""Force with which the ties hold an end of the sleeve on the packer, per way [N/m]; an
engineer's choice, soft beside the fabric: it keeps the collar from creeping for ever."""


def on_packer(
    skin: Skin, plan: MeshPlan, extent: Extent, targets: Targets, case: Case
) -> FloatArray:
    """Vertices of the collar on the packer, before the pressure presses it anywhere.

    The folds in which it was dressed have opened to its perimeter as cut, which takes next to
    no pressure; its ends lie as far from the opening as they were cut. It stands where the
    packer stands: central in the main, and off by what `case` says.

    Args:
        skin: Of the junction that the collar is made for.
        plan: Of its mesh.
        extent: Of its designed surface.
        targets: Its stretches by design.
        case: Place of the packer; the rest is not used.

    Returns:
        Shape (n, 3) [m].
    """
    share = min(1.0 / targets.round, SMALLEST)
    small = _smaller(skin.junction, share)
    middle, crown = opening_middle(small), crown_height(small)
    up = crown_height(skin.junction)
    cut = replace(
        plan,
        sleeve=(
            middle - extent.downstream / targets.along,
            middle + extent.upstream / targets.along,
        ),
        top=crown + (extent.top - up) / targets.along,
    )
    points = build_mesh(Skin(small, skin.inset), cut).points.copy()
    points[:, 0] += extent.middle - middle + case.along
    return _turned(points, case.round)


def within(field: Field, points: FloatArray) -> FloatArray:
    """Points moved back onto the surface where they have gone through it.

    The collar's branch, which leans as it was cut, may stand a little beside the pipe that it is
    to enter: as it is drawn in, the wall bends it to its place.

    Args:
        field: Distance to the surface.
        points: Shape (n, 3) [m].

    Returns:
        Shape (n, 3) [m].
    """
    found = points.copy()
    for _ in range(_MOVES):  # one is not enough beside the rounded edge
        gap, normal = distances(field, found)
        found -= np.minimum(gap, 0.0)[:, None] * normal
    return found


def _smaller(junction: Junction, share: float) -> Junction:
    """The unfolded collar as a junction: round, and smaller all over."""
    return replace(
        junction,
        main_diameter=share * junction.main_diameter,
        branch_diameter=share * junction.branch_diameter,
        offset=share * junction.offset,
        ovality=0.0,
        short_axis=0.0,
    )


def _turned(points: FloatArray, angle: float) -> FloatArray:
    """Points turned about the main, from z towards +y."""
    c, s = math.cos(angle), math.sin(angle)
    y, z = points[:, 1], points[:, 2]
    return np.column_stack([points[:, 0], c * y + s * z, c * z - s * y])


def load_of(mesh: SkinMesh, start: FloatArray, pressure: float) -> Load:
    """Pressure on the fabric, and what bladder and packer bear of it along the pipes.

    A bladder is a closed tube: its skin carries half the pressure times the radius along its
    axis, which its ends balance. Without it the fabric would be an open tube under pressure, a
    column that bows. The fabric itself carries `THRUST` of the branch's end. Both grow with
    the pressure only until the fabric has landed, see `CLAMPED`.

    Args:
        mesh: Mesh of the collar.
        start: Its vertices on the packer, shape (n, 3) [m].
        pressure: On the fabric [Pa].
    """
    junction = mesh.skin.junction
    main, branch = junction.main_diameter / 2.0, junction.branch_diameter / 2.0
    thrust = np.zeros_like(start)
    axis = np.array([math.cos(junction.angle), 0.0, math.sin(junction.angle)])
    half = 0.5 if mesh.half else 1.0
    top = mesh.grid[-1] if mesh.half else np.append(mesh.grid[-1], mesh.grid[-1][0])
    _pull(thrust, top, start, half * (1.0 + THRUST) * math.pi * branch**2 * axis)
    for ends, way in zip(sleeve_ends(mesh), (1.0, -1.0), strict=True):
        line = _round_the_main(mesh, ends)
        _pull(thrust, line, start, half * way * math.pi * main**2 * np.array([1.0, 0.0, 0.0]))
    on_branch = _middles_row(mesh) >= mesh.seam_row
    return Load(pressure, thrust, np.where(on_branch, branch, main) / 2.0, CLAMPED)


def _middles_row(mesh: SkinMesh) -> FloatArray:
    """Mean row of each triangle's vertices, -1 in the wings, shape (m,)."""
    rows = np.full(len(mesh.points), -1.0)
    rows[mesh.grid] = np.arange(len(mesh.grid), dtype=np.float64)[:, None]
    return np.asarray(rows[mesh.triangles].mean(axis=1))


def _round_the_main(mesh: SkinMesh, ends: IntArray) -> IntArray:
    """Vertices of an end of the sleeve in order round the main, the first again at the end."""
    angle = np.arctan2(mesh.points[ends, 1], mesh.points[ends, 2])
    order = ends[np.argsort(angle)]
    return order if mesh.half else np.append(order, order[0])


def _pull(thrust: FloatArray, line: IntArray, start: FloatArray, force: FloatArray) -> None:
    """Add a force to the vertices of a line, each by the length beside it."""
    length = np.linalg.norm(np.diff(start[line], axis=0), axis=1)
    share = (length / (2.0 * np.sum(length)))[:, None] * force
    np.add.at(thrust, line[:-1], share)
    np.add.at(thrust, line[1:], share)


def restraint_of(mesh: SkinMesh) -> Restraint:
    """The plane of symmetry of a half mesh, and the ties on the packer along the main.

    Args:
        mesh: Mesh of the collar.
    """
    free = np.ones_like(mesh.points)
    if mesh.half:
        free[_in_plane(mesh), 1] = 0.0
    spring, grip = np.zeros(len(mesh.points)), np.zeros_like(mesh.points)
    grip[:, 0] = 1.0
    for ends in sleeve_ends(mesh):
        spring[ends] = GRIP * (0.5 if mesh.half else 1.0) / len(ends)
    return Restraint(free=free, spring=spring, grip=grip)


def _in_plane(mesh: SkinMesh) -> IntArray:
    """Vertices in the plane y = 0."""
    size = float(np.ptp(mesh.points[:, 1]))
    return np.flatnonzero(np.abs(mesh.points[:, 1]) < 1e-9 * size)

import math

import numpy as np
import pytest

from junction_shapes import SKINS, meshed, skin
from teewright.junction.edge import edge_of
from teewright.junction.measure import (
    angle_defects,
    total_curvature,
    triangle_angles,
    triangle_areas,
    zone_areas,
)
from teewright.junction.profile import half_round, profile_of
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Skin

KINDS = ["200/100 at 45", "150/150 at 90", "oval and off-centre", "oval, as wide as the main"]


def closed_areas(mesh: SkinMesh) -> tuple[float, float, float]:
    """Areas in closed form: unrolled main less its opening, tube, unrolled branch."""
    surface = mesh.skin
    phi = np.linspace(-math.pi, math.pi, 20001)
    edge = edge_of(surface, phi)
    x, w = edge.main_flat.T
    opening = abs(float(np.sum((w[1:] - w[:-1]) * (x[1:] + x[:-1])))) / 2.0
    long = float(np.ptp(mesh.points[mesh.main_unrolled[:, 0] == mesh.main_unrolled[:, 0]][:, 0]))
    sleeve = mesh.points[np.unique(np.concatenate([mesh.grid[0], *map(np.ravel, mesh.wings)]))]
    long = float(np.ptp(sleeve[:, 0]))
    main = 2.0 * half_round(profile_of(surface.junction), -surface.inset) * long - opening
    # a tube about the ball's path: level beta ds less level^2 (curvature . direction)
    steps = np.diff(edge.centre, axis=0)
    sizes = np.linalg.norm(steps, axis=1)
    tangent = steps / sizes[:, None]
    middle = -(edge.main_normal + edge.branch_normal)
    middle /= np.maximum(np.linalg.norm(middle, axis=1), 1e-12)[:, None]
    turn = np.roll(tangent, -1, axis=0) - tangent
    bent = np.einsum("ij,ij->i", turn, middle[1:]) * 2.0 * np.sin(edge.turning[1:] / 2.0)
    along = float(np.dot(sizes, (edge.turning[1:] + edge.turning[:-1]) / 2.0))
    tube = edge.radius * along - edge.radius**2 * float(bent.sum())
    top = float(np.nanmax(mesh.branch_unrolled[mesh.grid[-1], 1]))
    height = top - edge.branch_flat[:, 1]
    radius = surface.junction.branch_diameter / 2.0 - surface.inset
    branch = radius * float(np.sum((height[1:] + height[:-1]) / 2.0 * np.diff(phi)))
    return main, tube, branch


@pytest.mark.parametrize("name", KINDS)
def test_area_converges_to_the_closed_form_with_the_square_of_the_size(name: str) -> None:
    errors = []
    for size in (0.010, 0.005, 0.0025):
        mesh = meshed(SKINS[name], size=size)
        exact = sum(closed_areas(mesh))
        errors.append(abs(sum(zone_areas(mesh)) - exact) / exact)
    assert errors[0] < 5e-3
    assert errors[2] < 5e-4
    assert errors[0] / errors[2] > 8.0


@pytest.mark.parametrize("name", KINDS)
def test_zones_take_their_share_of_the_area(name: str) -> None:
    mesh = meshed(SKINS[name], size=0.0025)
    assert zone_areas(mesh) == pytest.approx(closed_areas(mesh), rel=0.08)


@pytest.mark.parametrize("name", KINDS)
def test_curvature_is_on_the_edge_and_the_pipes_have_none(name: str) -> None:
    mesh = meshed(SKINS[name], size=0.004)
    defects = angle_defects(mesh)
    edge = np.isfinite(mesh.main_unrolled[:, 0]) & np.isfinite(mesh.branch_unrolled[:, 0])
    near = np.zeros(len(mesh.points), dtype=bool)
    near[mesh.triangles[edge[mesh.triangles].any(axis=1)]] = True
    assert np.abs(defects[~near]).sum() < 0.03 * abs(defects.sum())


def test_a_whole_mesh_and_its_half_have_the_same_measures() -> None:
    half, whole = (meshed(SKINS["200/100 at 45"], half=asked) for asked in (True, False))
    assert total_curvature(half) == pytest.approx(total_curvature(whole), rel=1e-10)
    assert zone_areas(half) == pytest.approx(zone_areas(whole), rel=1e-10)


def test_plain_triangle() -> None:
    points = np.array([[0.0, 0.0, 1.0], [3.0, 0.0, 1.0], [0.0, 4.0, 1.0]])
    faces = np.array([[0, 1, 2]])
    assert triangle_areas(points, faces) == pytest.approx([6.0])
    assert np.degrees(triangle_angles(points, faces)) == pytest.approx(
        np.array([[90.0, math.degrees(math.atan2(4, 3)), math.degrees(math.atan2(3, 4))]])
    )


@pytest.mark.parametrize("inset", [0.0, 0.002, 0.004])
def test_an_inset_moves_every_point_by_itself(inset: float) -> None:
    """The skin is the host's parallel surface: areas shrink as Steiner's formula says.

    dA/dt = -integral of twice the mean curvature, d2A/dt2 = 2 integral of Gauss's = -4 pi: the
    second difference of the area of one and the same patch of the surface.
    """
    base = skin(0.2, 0.1, 60.0, 0.008, inset=inset)
    step = 0.001
    areas = []
    for k in (-1, 0, 1):
        moved = Skin(base.junction, inset + 0.002 + k * step)
        phi = np.linspace(-math.pi, math.pi, 4001)
        edge = edge_of(moved, phi)
        x, w = edge.main_flat.T
        opening = abs(float(np.sum((w[1:] - w[:-1]) * (x[1:] + x[:-1])))) / 2.0
        mesh = meshed(moved, size=0.02 / 3)
        main, tube, branch = closed_areas(mesh)
        sleeve = (main + opening) / (2.0 * half_round(profile_of(base.junction), -moved.inset))
        # the same ends for all three: 0.5 m of main, the branch up to 0.4 m
        top = float(np.nanmax(mesh.branch_unrolled[mesh.grid[-1], 1]))
        radius = base.junction.branch_diameter / 2.0 - moved.inset
        main += (0.5 - sleeve) * 2.0 * half_round(profile_of(base.junction), -moved.inset)
        branch += (0.4 - top) * 2.0 * math.pi * radius
        areas.append(main + tube + branch)
    second = (areas[0] - 2.0 * areas[1] + areas[2]) / step**2
    assert second == pytest.approx(-4.0 * math.pi, rel=1e-3)

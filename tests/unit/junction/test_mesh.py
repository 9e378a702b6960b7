import math
from dataclasses import replace

import numpy as np
import pytest

from junction_shapes import MIDDLE, SKINS, meshed, skin
from teewright.errors import GeometryError
from teewright.junction.edge import edge_of, seam_share
from teewright.junction.field import distances, field_of
from teewright.junction.measure import rim_edges, triangle_angles
from teewright.junction.mesh import build_mesh, mesh_skin
from teewright.junction.plan import finer, plan_mesh
from teewright.junction.profile import half_round, profile_of
from teewright.junction.refine import prolongation
from teewright.junction.skin import SkinMesh
from teewright.junction.surface import on_branch, on_edge, on_main
from teewright.junction.values import Seam, Skin

ALL = pytest.mark.parametrize("surface", SKINS.values(), ids=SKINS.keys())


def outwards(mesh: SkinMesh) -> np.ndarray:
    """Cosine between each triangle's normal and the skin's, towards the host."""
    a, b, c = (mesh.points[mesh.triangles[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    inward = distances(field_of(mesh.skin), (a + b + c) / 3.0)[1]
    return np.asarray(-np.einsum("ij,ij->i", normal, inward))


@ALL
@pytest.mark.parametrize("half", [None, False])
def test_every_vertex_is_on_the_skin_and_no_triangle_is_turned(
    surface: Skin, half: bool | None
) -> None:
    mesh = meshed(surface, half=half)
    assert mesh.half is (surface.junction.symmetric and half is None)
    assert np.abs(distances(field_of(surface), mesh.points)[0]).max() < 1e-12
    assert outwards(mesh).min() > 0.8
    assert math.degrees(triangle_angles(mesh.points, mesh.triangles).min()) > 4.0
    assert len(np.unique(mesh.triangles)) == len(mesh.points)


@ALL
def test_a_whole_mesh_has_three_free_edges_and_is_closed_on_the_far_side(surface: Skin) -> None:
    mesh = meshed(surface, half=False)
    rim = rim_edges(mesh.triangles)
    edges = len(rim) + (3 * len(mesh.triangles) - len(rim)) // 2
    assert len(mesh.points) - edges + len(mesh.triangles) == -1
    ends = mesh.points[rim]
    on_end = np.ptp(ends[:, :, 0], axis=1) < 1e-12
    on_top = np.isin(rim, mesh.grid[-1]).all(axis=1)
    assert (on_end | on_top).all()
    assert on_top.sum() == mesh.grid.shape[1]


@ALL
def test_places_are_where_they_are_said_to_be(surface: Skin) -> None:
    mesh = meshed(surface, half=False, seam=Seam(0.7, 0.5, 0.2))
    edge = edge_of(surface, mesh.phi)
    seam = mesh.points[mesh.grid[mesh.seam_row]]
    share = seam_share(Seam(0.7, 0.5, 0.2), mesh.phi)
    assert seam == pytest.approx(on_edge(surface, mesh.phi, share), abs=1e-12)
    theta = surface.junction.angle
    top = mesh.points[mesh.grid[-1]] @ [math.cos(theta), 0.0, math.sin(theta)]
    assert np.ptp(top) < 1e-12
    quarters = np.array([0.0, 0.5, 1.0, 1.5]) * math.pi
    assert np.abs(mesh.phi[:, None] - quarters).min(axis=0) == pytest.approx(0.0, abs=1e-15)
    assert (np.diff(mesh.phi) > 0.0).all()
    assert mesh.phi[-1] < 2.0 * math.pi
    assert edge.length.min() >= 0.0


@ALL
def test_rows_are_even_beside_the_seam_and_columns_along_it(surface: Skin) -> None:
    size = 0.006
    mesh = meshed(surface, half=False, size=size)
    row = mesh.seam_row
    along = mesh.points[mesh.grid[row]]
    ring = np.linalg.norm(np.roll(along, -1, axis=0) - along, axis=1)
    assert ring.max() < 1.15 * size
    assert ring.min() > 0.85 * size
    for step in (-1, 1):
        across = np.linalg.norm(mesh.points[mesh.grid[row + step]] - along, axis=1)
        assert across.max() < size * (1.0 + 1e-9)
        # a column that is short for its rows has them closer
        assert across.min() > 0.35 * size
        assert np.median(across) > 0.7 * size


@ALL
def test_unrolled_main_and_branch_lead_back_to_the_points(surface: Skin) -> None:
    mesh = meshed(surface, half=False)
    inside = mesh.grid.shape[0] * mesh.grid.shape[1]
    arc = edge_of(surface, mesh.phi).length
    flat, points = mesh.main_unrolled, mesh.points
    on_it = np.isfinite(flat[:, 0]) & np.isnan(mesh.branch_unrolled[:, 0])
    assert points[on_it] == pytest.approx(on_main(surface, flat[on_it]), abs=1e-12)
    flat = mesh.branch_unrolled
    on_it = np.isfinite(flat[:, 0]) & np.isnan(mesh.main_unrolled[:, 0])
    radius = surface.junction.branch_diameter / 2.0 - surface.inset
    assert points[on_it] == pytest.approx(
        on_branch(surface, flat[on_it, 0] / radius, flat[on_it, 1]), abs=1e-12
    )
    both = np.isfinite(mesh.main_unrolled).all(axis=1) & np.isfinite(flat).all(axis=1)
    assert both.any() == bool(arc.max() > 0.0)
    assert inside > both.sum() > 0
    assert (np.isfinite(mesh.main_unrolled[:, 0]) | np.isfinite(flat[:, 0])).all()


@ALL
def test_closing_line_is_opposite_the_branch(surface: Skin) -> None:
    mesh = meshed(surface, half=False)
    far = half_round(profile_of(surface.junction), -surface.inset)
    line = [wing[-1] for wing in mesh.wings] or [mesh.grid[0]]
    for vertices in line:
        at = mesh.main_unrolled[vertices]
        closing = vertices[np.abs(at[:, 1] - far) < 1e-9]
        assert mesh.points[closing, 1] == pytest.approx(0.0, abs=1e-12)
        assert (mesh.points[closing, 2] < 0.0).all()
        assert len(closing) >= 8
    if mesh.wings:
        assert (mesh.wings[0][-1] == mesh.wings[1][-1]).all()
        assert (np.diff(mesh.points[mesh.wings[0]][:, :, 0], axis=1) > 0.0).all()


@pytest.mark.parametrize("name", [n for n, s in SKINS.items() if s.junction.symmetric])
def test_a_symmetric_junction_gives_a_symmetric_mesh(name: str) -> None:
    mesh = meshed(SKINS[name], half=False)
    points = mesh.points[mesh.grid]
    mirrored = np.roll(points[:, ::-1], 1, axis=1) * [1.0, -1.0, 1.0]
    # the closing line is one line for both sides
    rows = slice(0 if mesh.wings else 1, None)
    assert points[rows] == pytest.approx(mirrored[rows], abs=1e-15)
    number = np.arange(len(mesh.points))
    number[mesh.grid] = np.roll(mesh.grid[:, ::-1], 1, axis=1)
    if mesh.wings:
        number[mesh.wings[0][:-1]] = mesh.wings[1][:-1]
        number[mesh.wings[1][:-1]] = mesh.wings[0][:-1]
    else:
        closing = np.isclose(mesh.points[:, 1], 0.0, atol=1e-9) & (mesh.points[:, 2] < 0.0)
        number[closing] = np.flatnonzero(closing)
    turned = number[mesh.triangles][:, ::-1]
    faces = {tuple(sorted(face)) for face in mesh.triangles.tolist()}
    assert {tuple(sorted(face)) for face in turned.tolist()} == faces


@pytest.mark.parametrize("name", [n for n, s in SKINS.items() if s.junction.symmetric])
def test_half_a_mesh_is_half_of_the_whole(name: str) -> None:
    half, whole = meshed(SKINS[name]), meshed(SKINS[name], half=False)
    columns = half.grid.shape[1]
    assert (half.points[:, 1] >= -1e-15).all()
    assert half.points[half.grid] == pytest.approx(whole.points[whole.grid[:, :columns]], abs=1e-14)
    assert 2 * len(half.triangles) == len(whole.triangles)
    for a, b in zip(half.wings, whole.wings, strict=False):
        assert half.points[a] == pytest.approx(whole.points[b], abs=1e-14)


def test_at_right_angles_heel_and_crotch_are_mirror_images() -> None:
    mesh = meshed(skin(0.2, 0.1, 90.0, 0.01), half=True)
    points = mesh.points[mesh.grid]
    assert points[:, ::-1] * [-1.0, 1.0, 1.0] == pytest.approx(points, abs=1e-12)


def test_one_plan_on_another_junction_has_the_same_topology() -> None:
    first, second = skin(0.2, 0.1, 60.0), skin(0.203, 0.104, 63.0, 0.010)
    plan = plan_mesh(first, sleeve=(-0.15, 0.25), top=0.25, seam=MIDDLE, size=0.006)
    one, two = build_mesh(first, plan), build_mesh(second, plan)
    assert (one.triangles == two.triangles).all()
    assert (one.grid == two.grid).all()
    assert one.seam_row == two.seam_row
    assert np.abs(distances(field_of(second), two.points)[0]).max() < 1e-12
    assert outwards(two).min() > 0.9


@pytest.mark.parametrize("name", ["200/100 at 45", "150/150 at 90", "oval and off-centre"])
@pytest.mark.parametrize("half", [None, False])
def test_a_refined_mesh_keeps_the_coarse_vertices(name: str, half: bool | None) -> None:
    surface = SKINS[name]
    plan = plan_mesh(surface, sleeve=(-0.2, 0.35), top=0.35, seam=MIDDLE, size=0.009, half=half)
    coarse, fine = build_mesh(surface, plan), build_mesh(surface, finer(plan))
    assert len(fine.triangles) == 4 * len(coarse.triangles)
    step = prolongation(coarse, fine)
    same = step.parents[:, 0] == step.parents[:, 1]
    assert same.sum() == len(coarse.points)
    assert fine.points[same] == pytest.approx(coarse.points[step.parents[same, 0]], abs=1e-12)
    assert step.weights.sum(axis=1) == pytest.approx(1.0)
    carried = step.carried(coarse.points)
    edge = np.linalg.norm(
        coarse.points[step.parents[:, 0]] - coarse.points[step.parents[:, 1]], axis=1
    )
    # a chord against an arc of at least the ball's radius or the edge's curvature
    assert (np.linalg.norm(carried - fine.points, axis=1) <= 0.2 * edge + 1e-12).all()
    x = step.carried(coarse.points[:, 0])
    assert x == pytest.approx(carried[:, 0], abs=1e-15)


def test_a_main_ray_carried_across_is_linear() -> None:
    """On the main unrolled, every fine vertex of a column lies between its parents."""
    surface = SKINS["200/100 at 90"]
    plan = plan_mesh(surface, sleeve=(-0.2, 0.2), top=0.25, seam=MIDDLE, size=0.009)
    coarse, fine = build_mesh(surface, plan), build_mesh(surface, finer(plan))
    flat = prolongation(coarse, fine).carried(coarse.main_unrolled)
    rows = fine.grid[: fine.seam_row // 2, ::2]
    assert flat[rows] == pytest.approx(fine.main_unrolled[rows], abs=2e-5)


def test_size_follows_what_was_asked() -> None:
    counts = [
        len(meshed(SKINS["200/100 at 45"], size=size).points) for size in (0.012, 0.006, 0.003)
    ]
    assert counts[0] < counts[1] < counts[2]
    assert 2.5 < counts[2] / counts[1] < 4.5


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"size": 0.0}, "above 0 and at most"),
        ({"size": math.nan}, "nan mm does not suit"),
        ({"size": 0.03}, "a sixteenth of the seam"),
        ({"size": 0.0002}, "mesh of .* vertices"),
        ({"growth": 1.0}, "cannot grow by 1 "),
        ({"around": 0.03}, "a sixteenth of the seam"),
        ({"sleeve": (-0.03, 0.2)}, "a sleeve from -30 to 200 mm"),
        ({"sleeve": (-0.2, math.inf)}, "a sleeve from"),
        ({"top": 0.11}, "ends 110 mm up the branch"),
        ({"top": math.nan}, "ends nan mm"),
        ({"half": True, "seam": Seam(0.5, 0.5, 0.5, 0.1)}, "not symmetric"),
    ],
)
def test_what_cannot_be_meshed_is_refused(change: dict[str, object], words: str) -> None:
    asked: dict[str, object] = {"sleeve": (-0.2, 0.2), "top": 0.25, "seam": MIDDLE, "size": 0.006}
    with pytest.raises(GeometryError, match=words):
        mesh_skin(SKINS["200/100 at 90"], **(asked | change))  # type: ignore[arg-type]


def test_half_an_off_centre_junction_is_refused() -> None:
    with pytest.raises(GeometryError, match="not symmetric"):
        meshed(SKINS["off-centre"], half=True)


def test_a_plan_that_does_not_suit_another_junction_is_refused() -> None:
    plan = plan_mesh(
        SKINS["200/100 at 90"], sleeve=(-0.08, 0.08), top=0.25, seam=MIDDLE, size=0.006, half=False
    )
    with pytest.raises(GeometryError, match="cannot be meshed round the opening"):
        build_mesh(replace(SKINS["200/100 at 90"], junction=SKINS["150/150 at 30"].junction), plan)


def test_half_a_plan_is_refused_for_an_off_centre_junction() -> None:
    plan = plan_mesh(SKINS["200/100 at 90"], sleeve=(-0.2, 0.2), top=0.25, seam=MIDDLE, size=0.006)
    with pytest.raises(GeometryError, match="half a mesh does not suit"):
        build_mesh(skin(0.2, 0.1, 90.0, offset=0.01), plan)


@pytest.mark.parametrize("offset", [0.0, 0.004])
@pytest.mark.parametrize("wings", [True, False])
def test_a_plan_keeps_its_wings_on_a_wider_or_narrower_main(*, wings: bool, offset: float) -> None:
    """Whether rings reach the far side is the plan's to say, not the other junction's."""
    sleeve = 0.06 if wings else 0.2
    first = skin(0.2, 0.1, 75.0)
    plan = plan_mesh(
        first, sleeve=(-sleeve - 0.08, sleeve + 0.1), top=0.25, seam=MIDDLE, size=0.007, half=False
    )
    assert (plan.counts.wing > 0) is wings
    for main in (0.16, 0.26):
        other = build_mesh(skin(main, 0.1, 75.0, offset=offset), plan)
        assert outwards(other).min() > 0.8
        assert np.abs(distances(field_of(other.skin), other.points)[0]).max() < 1e-12
        assert (other.triangles == build_mesh(first, plan).triangles).all()

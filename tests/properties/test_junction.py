"""Surface, field and mesh over the whole range of junctions."""

import math
from dataclasses import replace

import numpy as np
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from junction_shapes import meshed
from teewright.errors import GeometryError
from teewright.junction.check import check_junction, check_skin
from teewright.junction.edge import edge_of
from teewright.junction.field import distances, field_of
from teewright.junction.measure import total_curvature, triangle_angles, triangle_areas
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Junction, Seam, Skin


def allowed(surface: Skin) -> bool:
    try:
        check_skin(surface)
    except GeometryError:
        return False
    return True


@st.composite
def skins(draw: st.DrawFn) -> Skin:
    """Main 100 to 900, branch 80 to 300, equal too, 30 to 90 degrees, edge 0 to 20 mm."""
    main = draw(st.floats(0.1, 0.9))
    branch = draw(st.one_of(st.floats(0.08, 0.3), st.just(main)))
    assume(branch <= min(main, 0.3) or branch == main <= 0.35)
    oval = draw(st.one_of(st.just(0.0), st.floats(0.0, 0.1)))
    free = max((main * (1.0 - oval) - branch) / 2.0, 0.0)
    junction = Junction(
        main_diameter=main,
        branch_diameter=branch,
        angle=math.radians(draw(st.one_of(st.sampled_from([30.0, 45.0, 90.0]), st.floats(30, 90)))),
        fillet=min(draw(st.floats(0.0, 0.02)), branch / 4.0),
        offset=draw(st.one_of(st.just(0.0), st.floats(-0.9, 0.9))) * free,
        ovality=oval,
        short_axis=draw(st.one_of(st.sampled_from([0.0, math.pi / 2.0]), st.floats(0.0, 3.2))),
    )
    surface = Skin(junction, draw(st.floats(0.001, 0.004)))
    assume(allowed(surface))
    return surface


@st.composite
def seams(draw: st.DrawFn) -> Seam:
    """Seams on the edge and a little beyond it."""
    return Seam(*(draw(st.floats(0.0, 1.1)) for _ in range(3)))


def meshes(surface: Skin, seam: Seam) -> SkinMesh:
    size = max(0.004, surface.junction.branch_diameter / 15.0)
    return meshed(surface, seam=seam, size=size, sleeve=0.09, top=0.12)


def facing(mesh: SkinMesh) -> np.ndarray:
    """Greatest cosine between a triangle's normal and the skin's at its corners."""
    corners = mesh.points[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    inward = distances(field_of(mesh.skin), mesh.points)[1][mesh.triangles]
    return np.asarray(-np.einsum("ij,ikj->ik", normal, inward).min(axis=1))


@settings(max_examples=40, deadline=None)
@given(skins(), seams())
def test_a_mesh_lies_on_the_skin_and_has_no_bad_triangle(surface: Skin, seam: Seam) -> None:
    mesh = meshes(surface, seam)
    assert np.abs(distances(field_of(surface), mesh.points)[0]).max() < 1e-9
    assert triangle_areas(mesh.points, mesh.triangles).min() > 1e-7
    assert math.degrees(triangle_angles(mesh.points, mesh.triangles).min()) > 2.5
    assert facing(mesh).max() > 0.9
    assert np.quantile(facing(mesh), 0.01) > 0.3


@settings(max_examples=20, deadline=None)
@given(skins(), seams())
def test_the_total_curvature_is_that_of_a_pair_of_pants(surface: Skin, seam: Seam) -> None:
    assert abs(total_curvature(meshes(surface, seam)) / (2.0 * math.pi) + 1.0) < 0.05


@settings(max_examples=40, deadline=None)
@given(skins(), st.integers(0, 2**32 - 1))
def test_a_mirrored_junction_has_the_mirrored_field(surface: Skin, seed: int) -> None:
    junction = surface.junction
    other = replace(
        surface,
        junction=replace(junction, offset=-junction.offset, short_axis=-junction.short_axis),
    )
    points = near(surface, seed)
    mirror = np.array([1.0, -1.0, 1.0])
    gap, normal = distances(field_of(surface), points)
    same, mirrored = distances(field_of(other), points * mirror)
    assert np.abs(gap - same).max() < 1e-12
    settled = np.einsum("ij,ij->i", normal, mirrored * mirror) > 1.0 - 1e-9
    # as near to one wall as to another: a set of no measure
    assert settled.mean() > 0.99


@settings(max_examples=40, deadline=None)
@given(skins(), st.integers(0, 2**32 - 1))
@example(Skin(Junction(0.25, 0.25, math.pi / 6.0, 0.0, 0.0, 0.046875, 0.0), 0.00390625), 934)
def test_the_gap_never_changes_faster_than_the_place(surface: Skin, seed: int) -> None:
    """A distance has slope 1 at most, everywhere and across all its cases."""
    points = near(surface, seed)
    rng = np.random.default_rng(seed)
    moved = points + rng.normal(scale=rng.choice([1e-6, 1e-3, 1e-2]), size=points.shape)
    field = field_of(surface)
    change = np.abs(distances(field, moved)[0] - distances(field, points)[0])
    assert (change <= np.linalg.norm(moved - points, axis=1) * (1.0 + 1e-9) + 1e-12).all()


def near(surface: Skin, seed: int) -> np.ndarray:
    """Places about the junction, from 10 mm outside to deep in the lumen, shape (300, 3)."""
    rng = np.random.default_rng(seed)
    phi = rng.uniform(-math.pi, math.pi, 300)
    edge = edge_of(surface, phi)
    spread = surface.junction.branch_diameter / 2.0
    points = edge.centre + rng.normal(scale=0.3 * spread, size=(300, 3))
    gap, normal = distances(field_of(surface), points)
    outside = np.minimum(gap + 0.010, 0.0)
    return np.asarray(points - outside[:, None] * normal)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(allow_nan=True, allow_infinity=True), min_size=7, max_size=7))
def test_any_numbers_are_either_a_junction_or_refused(numbers: list[float]) -> None:
    junction = Junction(*numbers)
    try:
        check_junction(junction)
    except GeometryError as refusal:
        text = str(refusal)
    else:
        text = ""
    whole = all(map(math.isfinite, numbers))
    assert ("must be a number" in text) is not whole

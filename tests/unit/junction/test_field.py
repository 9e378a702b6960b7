import math

import numpy as np
import pytest
from scipy.spatial import cKDTree

from junction_shapes import SKINS, meshed, skin
from teewright.junction.edge import ball_path
from teewright.junction.field import (
    Field,
    distance,
    distances,
    drum_field,
    field_of,
    pipe_field,
    plane_field,
)
from teewright.junction.skin import FloatArray
from teewright.junction.values import Junction, Skin

STEP = 0.002


def material_rim(junction: Junction, *, reach: float) -> FloatArray:
    """Dense points on the rim of the host outside both enlarged pipes.

    By the ellipse's own parameter and by tests of membership only: no normal angle, no foot.
    """
    rho, theta = junction.fillet, junction.angle
    radius = junction.branch_diameter / 2.0 + rho
    mean, turn = junction.main_diameter / 2.0, junction.short_axis
    short, long = mean * (1.0 - junction.ovality), mean * (1.0 + junction.ovality)

    def profile(t: FloatArray) -> FloatArray:
        u, v = short * np.cos(t), long * np.sin(t)
        nu, nv = np.cos(t) / short, np.sin(t) / long
        size = np.hypot(nu, nv)
        u, v = u + rho * nu / size, v + rho * nv / size
        sine, cosine = math.sin(turn), math.cos(turn)
        return np.column_stack([u * sine + v * cosine, u * cosine - v * sine, nu, nv])

    t = np.arange(0.0, 2.0 * math.pi, STEP / mean)
    ring = profile(t)
    x = np.arange(-reach, reach, STEP)
    main = np.column_stack(
        [np.repeat(x, len(ring)), np.tile(ring[:, 0], len(x)), np.tile(ring[:, 1], len(x))]
    )
    beside = np.hypot(
        main[:, 0] * math.sin(theta) - main[:, 2] * math.cos(theta), main[:, 1] - junction.offset
    )
    main = main[(beside >= radius) | (main[:, 2] < 0.0)]
    phi = np.arange(0.0, 2.0 * math.pi, STEP / radius)
    s = np.arange(0.0, reach / math.sin(theta), STEP)
    p, s = (part.ravel() for part in np.meshgrid(phi, s))
    branch = np.column_stack(
        [
            s * math.cos(theta) + radius * np.cos(p) * math.sin(theta),
            junction.offset + radius * np.sin(p),
            s * math.sin(theta) - radius * np.cos(p) * math.cos(theta),
        ]
    )
    u = branch[:, 2] * math.cos(turn) + branch[:, 1] * math.sin(turn)
    v = branch[:, 1] * math.cos(turn) - branch[:, 2] * math.sin(turn)
    fine = np.arange(0.0, 2.0 * math.pi, 0.1 * STEP / mean)
    ring_apart = cKDTree(np.column_stack([short * np.cos(fine), long * np.sin(fine)])).query(
        np.column_stack([u, v])
    )[0]
    above = ((u / short) ** 2 + (v / long) ** 2 > 1.0) & (ring_apart >= rho) & (branch[:, 2] > 0.0)
    rim = ball_path(Skin(junction, 0.0), np.linspace(-math.pi, math.pi, 4000))[1]
    return np.concatenate([main, branch[above], rim])


@pytest.mark.parametrize("name", [name for name in SKINS if name != "wide main"])
def test_gap_is_the_distance_to_dense_points_of_the_material(name: str) -> None:
    surface = SKINS[name]
    rng = np.random.default_rng(7)
    mesh = meshed(surface, half=False, size=0.012)
    gap, normal = distances(field_of(surface), mesh.points)
    inwards = rng.uniform(0.0, 0.3, len(gap)) * surface.junction.branch_diameter / 2.0
    points = mesh.points + inwards[:, None] * normal
    reach = float(np.abs(mesh.points).max()) + 0.05
    tree = cKDTree(material_rim(surface.junction, reach=reach))
    level = surface.junction.fillet + surface.inset
    expected = tree.query(points)[0] - level
    found = distances(field_of(surface), points)[0]
    # a foot between grid points is at most 0.7 steps away, across the distance
    slack = 0.5 * STEP**2 / (expected + level)
    assert (found <= expected + 1e-6).all()
    assert (found >= expected - slack).all()


@pytest.mark.parametrize("surface", SKINS.values(), ids=SKINS.keys())
def test_level_sets_are_parallel_surfaces(surface: Skin) -> None:
    """A point moved along the normal by t has the gap t, on both sides of the skin."""
    field, mesh = field_of(surface), meshed(surface, half=False, size=0.009)
    level = surface.junction.fillet + surface.inset
    gap, normal = distances(field, mesh.points)
    assert np.abs(gap).max() < 1e-12
    for moved in (-0.7 * level, -0.1 * level, 0.3 * level, 0.5 * level):
        there, same = distances(field, mesh.points + moved * normal)
        assert there == pytest.approx(moved, abs=1e-12)
        assert same == pytest.approx(normal, abs=1e-6)


@pytest.mark.parametrize("surface", SKINS.values(), ids=SKINS.keys())
def test_the_normal_is_the_gradient_and_has_length_one(surface: Skin) -> None:
    field, mesh = field_of(surface), meshed(surface, half=False, size=0.009)
    rng, step = np.random.default_rng(3), 1e-6
    points = (
        mesh.points
        + rng.uniform(-0.002, 0.01, (len(mesh.points), 1)) * distances(field, mesh.points)[1]
    )
    normal = distances(field, points)[1]
    assert np.linalg.norm(normal, axis=1) == pytest.approx(1.0, abs=1e-12)
    for k in range(3):
        shift = np.zeros(3)
        shift[k] = step
        ahead, behind = (distances(field, points + s * shift)[0] for s in (1.0, -1.0))
        slope = (ahead - behind) / (2.0 * step)
        # the gap has a kink where a point is as near to the far wall: none of these
        assert slope == pytest.approx(normal[:, k], abs=2e-3)


def test_outside_the_skin_the_nearer_pipe_counts() -> None:
    surface = skin(0.2, 0.1, 90.0, 0.0, inset=0.002)
    points = np.array([[0.060, 0.0, 0.103], [0.053, 0.0, 0.110], [0.0, 0.0, -0.104]])
    gap, normal = distances(field_of(surface), points)
    assert gap == pytest.approx([-0.005, -0.005, -0.006], abs=1e-12)
    expected = np.array([[0.0, 0.0, -1.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    assert normal == pytest.approx(expected, abs=1e-12)


def test_inside_the_lumen_the_axis_of_the_main_is_a_radius_away() -> None:
    surface = skin(0.2, 0.1, 90.0)
    gap, normal = distances(field_of(surface), np.array([[0.3, 0.0, -1e-9], [0.3, 0.0, 0.0]]))
    assert gap == pytest.approx(0.1 - surface.inset, abs=1e-8)
    assert np.isfinite(normal).all()


@pytest.mark.parametrize("name", ["150/150 at 30", "150/150 at 90", "off-centre", "oval"])
def test_any_hint_gives_the_same_distance(name: str) -> None:
    surface = SKINS[name]
    field, mesh = field_of(surface), meshed(surface, half=False, size=0.01)
    rng = np.random.default_rng(5)
    gap, normal = distances(field, mesh.points)
    points = mesh.points + rng.uniform(-0.003, 0.3 * 0.05, (len(gap), 1)) * normal
    fresh, direction = distances(field, points)
    for hints in (rng.uniform(-10.0, 10.0, len(gap)), np.zeros(len(gap))):
        again, same = distances(field, points, hints=hints)
        assert again == pytest.approx(fresh, abs=1e-12)
        assert np.einsum("ij,ij->i", same, direction) == pytest.approx(1.0, abs=1e-9)


def test_hints_keep_the_angle_of_the_foot_on_the_edge() -> None:
    surface, phi = SKINS["off-centre"], np.linspace(-3.0, 3.0, 25)
    _, centre, _ = ball_path(surface, phi)
    field, hints = field_of(surface), np.full(25, math.nan)
    from_main = np.array([0.0, 0.0, 0.0]) + centre
    inward = -centre * [0.0, 1.0, 1.0]
    inward /= np.linalg.norm(inward, axis=1)[:, None]
    distances(field, from_main + 0.004 * inward, hints=hints)
    on_edge = np.isfinite(hints)
    assert on_edge.sum() >= 5
    assert hints[on_edge] == pytest.approx(phi[on_edge], abs=0.05)


@pytest.mark.parametrize("place", [0, 1, 2])
def test_a_point_that_is_no_number_gives_no_number(place: int) -> None:
    for name in ("200/100 at 45", "oval"):
        point = np.array([[0.05, 0.02, 0.09]])
        point[0, place] = math.nan
        assert math.isnan(distances(field_of(SKINS[name]), point)[0][0])


def test_points_far_away_end() -> None:
    points = np.array([[0.0, 1e9, 1e9], [1e9, 0.0, 0.15], [math.inf, 0.0, 0.15]])
    for name in ("200/100 at 45", "oval"):
        gap, _ = distances(field_of(SKINS[name]), points)
        assert gap[:2] == pytest.approx([-1.414e9, -0.04], rel=0.7)
        assert not gap[2] > 0.0


POINTS = np.array([[0.3, 0.1, 0.4], [-0.06, -2.0, 0.08], [1.0, 0.03, -0.04]])


@pytest.mark.parametrize(
    ("field", "gaps", "normals"),
    [
        (plane_field(0.1), [0.3, -0.02, -0.14], [[0, 0, 1], [0, 0, 1], [0, 0, 1]]),
        (
            drum_field(0.2),
            [0.3, -0.1, math.hypot(1.0, 0.04) - 0.2],
            [[0.6, 0, 0.8], [-0.6, 0, 0.8]],
        ),
        (pipe_field(0.05), [None, None, 0.0], [None, None, [0, -0.6, 0.8]]),
    ],
    ids=["plane", "drum", "pipe"],
)
def test_plain_fields(
    field: Field, gaps: list[float | None], normals: list[list[float] | None]
) -> None:
    gap, normal = distances(field, POINTS)
    for k, expected in enumerate(gaps):
        if expected is not None:
            assert gap[k] == pytest.approx(expected, abs=1e-15)
    for k, direction in enumerate(normals):
        if direction is not None:
            assert normal[k] == pytest.approx(direction, abs=1e-15)


def test_the_compiled_function_is_what_the_arrays_use() -> None:
    field = field_of(SKINS["200/100 at 45"])
    point = np.array([[0.11, 0.01, 0.13]])
    gap, normal = distances(field, point)
    x, y, z = point[0]
    found = distance(field.numbers, field.table, x, y, z, math.nan)
    assert found[0] == gap[0]
    assert found[1:4] == tuple(normal[0])


def test_deep_in_an_oval_main_the_wall_across_the_opening_counts() -> None:
    """Near the axis under a wide opening, whose rim is farther than the wall below."""
    junction = Junction(0.25, 0.25, math.pi / 6.0, 0.0, ovality=0.046875)
    field = field_of(Skin(junction, 0.0))
    along = np.linspace(0.0, 0.3, 30)
    gap, normal = distances(field, np.column_stack([along, 0.0 * along, 0.0008 + 0.0 * along]))
    short = 0.125 * (1.0 - 0.046875)
    assert np.all(gap <= short + 0.0008 + 1e-12)
    assert np.all(np.abs(np.linalg.norm(normal, axis=1) - 1.0) < 1e-12)

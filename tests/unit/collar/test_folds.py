import math
from dataclasses import replace

import numpy as np
import pytest

from collar_shapes import order, sewn, tee
from teewright.collar.folds import GATHER, fold_height
from teewright.collar.mirror import both_halves, whole
from teewright.junction.skin import FloatArray, IntArray, SkinMesh
from teewright.junction.values import Junction, Skin

RADIUS, STEP, AROUND, ROWS = 0.1, 0.01, 48, 6


def cylinder(*, half: bool = False) -> SkinMesh:
    """A tube as the grid of a mesh, its columns along the axis."""
    count = AROUND // 2 + 1 if half else AROUND
    phi = 2.0 * math.pi * np.arange(count) / AROUND
    x, angle = np.meshgrid(STEP * np.arange(ROWS), phi, indexing="ij")
    points = np.stack([x, RADIUS * np.sin(angle), RADIUS * np.cos(angle)], axis=2).reshape(-1, 3)
    grid = np.arange(ROWS * count).reshape(ROWS, count)
    wide = grid if half else np.column_stack([grid, grid[:, 0]])
    a, b, c, d = wide[:-1, :-1], wide[:-1, 1:], wide[1:, 1:], wide[1:, :-1]
    triangles = np.vstack([np.stack(t, axis=2).reshape(-1, 3) for t in ((a, b, c), (a, c, d))])
    none = np.full((len(points), 2), np.nan)
    return SkinMesh(
        skin=Skin(Junction(0.2, 0.1, 1.0, 0.0), 0.0),
        points=points,
        triangles=triangles,
        zone=np.zeros(len(triangles), dtype=np.int64),
        phi=phi,
        grid=grid,
        seam_row=1,
        wings=(),
        main_unrolled=none,
        branch_unrolled=none,
        half=half,
    )


def columns_of(mesh: SkinMesh) -> IntArray:
    """Column of the quadrangle that each triangle lies in."""
    across = len(mesh.phi) - (1 if mesh.half else 0)
    return np.tile(np.arange(across), 2 * (ROWS - 1))


def chord(mesh: SkinMesh) -> float:
    return float(2.0 * RADIUS * math.sin(math.pi / AROUND))


def cut_longer(mesh: SkinMesh, excess: FloatArray, *, along: bool = False) -> FloatArray:
    """Corners as cut: each triangle flat, longer round the tube (or along it) by its excess."""
    corners = mesh.points[mesh.triangles]
    x = corners[:, :, 0] * (1.0 + excess[:, None] * along)
    turn = np.arctan2(corners[:, :, 1], corners[:, :, 2])
    turn = turn[:, :1] + (turn - turn[:, :1] + math.pi) % (2.0 * math.pi) - math.pi
    round_ = chord(mesh) / (2.0 * math.pi / AROUND) * turn
    return np.stack([round_ * (1.0 + excess[:, None] * (not along)), x], axis=2)


def height(mesh: SkinMesh, columns: range | list[int], excess: float) -> float:
    wrinkle = np.where(np.isin(columns_of(mesh), columns), excess, 0.0)
    return fold_height(mesh, cut_longer(mesh, wrinkle), mesh.points, wrinkle)


def test_a_fold_that_takes_up_a_length_stands_half_as_high() -> None:
    mesh = cylinder()
    assert height(mesh, range(10, 13), 0.05) == pytest.approx(0.05 * 3 * chord(mesh) / 2.0)


def test_no_more_gathers_than_the_excess_of_five_centimetres() -> None:
    """Whatever the mesh: edges are cut where the five centimetres end."""
    mesh = cylinder()
    assert GATHER == 0.05
    assert 12 * chord(mesh) > GATHER > 3 * chord(mesh)
    for columns in (range(10, 22), range(10, 14), range(48)):
        assert height(mesh, columns, 0.05) == pytest.approx(0.05 * GATHER / 2.0)


def test_excess_gathers_over_smooth_cloth_but_not_from_far() -> None:
    mesh = cylinder()
    one = height(mesh, [5], 0.04)
    assert height(mesh, [5, 7], 0.04) == pytest.approx(2.0 * one)
    assert height(mesh, [5, 15], 0.04) == pytest.approx(one)
    rest = GATHER - 3.0 * chord(mesh)
    assert height(mesh, [5, 8], 0.04) == pytest.approx(one * (1.0 + rest / chord(mesh)))


def test_a_fold_may_stand_where_a_ring_of_the_mesh_begins() -> None:
    """The ring is numbered from the crotch, which is where cloth likes to fold."""
    mesh = cylinder()
    assert height(mesh, [47, 0, 1], 0.03) == pytest.approx(height(mesh, [20, 21, 22], 0.03))


def test_the_plane_of_symmetry_doubles_a_fold_that_crosses_it() -> None:
    mesh = cylinder(half=True)
    apart = height(mesh, [8, 9], 0.03)
    assert height(mesh, [0], 0.03) == pytest.approx(apart)
    assert height(mesh, [23], 0.03) == pytest.approx(apart)
    assert height(mesh, range(24), 0.03) == pytest.approx(0.03 * GATHER / 2.0)


def test_excess_along_the_tube_folds_across_it() -> None:
    mesh = cylinder()
    wrinkle = np.where(np.arange(len(mesh.triangles)) % 240 < 144, 0.02, 0.0)
    found = fold_height(mesh, cut_longer(mesh, wrinkle, along=True), mesh.points, wrinkle)
    # three of five rows; an edge between two bands has the mean of both
    assert found == pytest.approx(0.02 * STEP * 3 / 2.0)


def test_smooth_cloth_has_no_folds() -> None:
    assert height(cylinder(), range(48), 0.0) == 0.0


def test_half_a_collar_and_the_whole_of_it_fold_alike() -> None:
    """Any excess, as long as both halves have it: the same folds are found."""
    flat = sewn(order(tee(0.2, 0.1, 60.0))).flat
    both = whole(flat)
    rng = np.random.default_rng(4)
    x, y, z = flat.mesh.points[flat.mesh.triangles].mean(axis=1).T
    for _ in range(6):
        a, b, c = rng.normal(size=3) * 40.0
        wrinkle = np.maximum(0.05 * np.sin(a * x + b * y + c * z), 0.0)
        rest = np.stack([flat.mesh.points[flat.mesh.triangles][:, :, k] for k in (0, 1)], axis=2)
        rest = rest + rng.uniform(-1e-3, 1e-3, rest.shape)
        image = (rest * [1.0, -1.0])[:, [0, 2, 1]]
        one = fold_height(flat.mesh, rest, flat.mesh.points, wrinkle)
        two = fold_height(
            both.mesh,
            np.vstack([rest, image]),
            both_halves(flat.mesh, flat.mesh.points),
            np.tile(wrinkle, 2),
        )
        assert one > 0.0004
        assert two == pytest.approx(one, rel=1e-9)


def test_wings_of_a_whole_mesh_meet_at_the_far_side() -> None:
    mesh = sewn(order(tee(0.2, 0.1, 60.0)), half=False).flat.mesh
    left, right = mesh.wings
    assert left[-1].tolist() == right[-1].tolist()
    whole_one = replace(mesh, half=False)
    assert whole_one.points[left[-1], 2].max() < 0.0

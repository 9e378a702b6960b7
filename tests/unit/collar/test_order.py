"""Sizes of an order, and the stretches that its panels are designed for."""

import math
from dataclasses import replace

import numpy as np
import pytest

from collar_shapes import QUICK, cutting, order, sewn, tee
from teewright.collar.edges import highest_seam, seam_line
from teewright.collar.order import (
    Effort,
    crown_height,
    edge_size,
    extent_of,
    opening_middle,
    wanted_of,
)
from teewright.collar.targets import Targets
from teewright.junction.field import distances, field_of
from teewright.junction.values import Seam, Skin

JUNCTIONS = [tee(0.2, 0.1, 90.0), tee(0.2, 0.1, 60.0), tee(0.3, 0.15, 45.0, 0.010)]


@pytest.mark.parametrize("junction", JUNCTIONS, ids=str)
def test_the_branch_meets_the_crown_where_its_axis_does(junction: object) -> None:
    """A point on the branch's axis at the height told lies on the crown, above the middle."""
    assert isinstance(junction, type(JUNCTIONS[0]))
    height, middle = crown_height(junction), opening_middle(junction)
    at = height * np.array([math.cos(junction.angle), math.sin(junction.angle)])
    assert at == pytest.approx([middle, junction.main_diameter / 2.0])


def test_edges_are_wanted_where_the_lengths_say() -> None:
    given = order(tee(0.2, 0.1, 60.0), sleeve_length=0.44, branch_length=0.12)
    ways = cutting(given)
    assert ways.wanted.half_sleeve == 0.22
    up = [math.cos(given.junction.angle), 0.0, math.sin(given.junction.angle)]
    top = max(seam_line(given.skin, ways.seam) @ up) + 0.12
    assert ways.wanted.reach == pytest.approx(top - 0.1 / math.sin(given.junction.angle))
    extent = extent_of(ways.wanted)
    assert extent.top == pytest.approx(top)
    assert extent.upstream == extent.downstream == 0.22


def test_longer_moves_each_end_outwards() -> None:
    extent = extent_of(wanted_of(order(tee(0.2, 0.1, 60.0)), 0.15))
    more = extent.longer(0.01, -0.02, 0.03)
    assert more.upstream - extent.upstream == pytest.approx(0.01)
    assert more.downstream - extent.downstream == pytest.approx(-0.02)
    assert more.top - extent.top == pytest.approx(0.03)
    assert more.middle == extent.middle


def test_the_designed_surface_covers_its_extent() -> None:
    one = sewn(order(tee(0.2, 0.1, 60.0)))
    x = one.flat.mesh.points[~np.isnan(one.flat.mesh.main_unrolled[:, 0]), 0]
    assert x.max() == pytest.approx(one.extent.middle + one.extent.upstream)
    assert x.min() == pytest.approx(one.extent.middle - one.extent.downstream)


def test_the_mesh_is_no_coarser_than_the_rounded_edge() -> None:
    sharp, round_ = order(tee(0.6, 0.3, 90.0, 0.006)), order(tee(0.6, 0.3, 90.0, 0.06))
    assert edge_size(sharp, Effort()) == pytest.approx(0.008)
    assert edge_size(round_, Effort()) == pytest.approx(0.3 / 16.0)
    assert edge_size(sharp, QUICK) == pytest.approx(2.0 * 0.008)
    assert edge_size(order(tee(0.6, 0.3, 90.0, 0.0), thickness=0.0), Effort()) == 0.004


@pytest.mark.parametrize("share", [0.0, 0.4, 1.0])
def test_the_seam_lies_on_the_skin_and_its_highest_point_is_the_highest(share: float) -> None:
    skin = order(tee(0.3, 0.15, 45.0, 0.010)).skin
    seam = Seam(share, share, share)
    line = seam_line(skin, seam)
    gap, _ = distances(field_of(skin), line)
    assert np.abs(gap).max() < 1e-9
    up = [math.cos(skin.junction.angle), 0.0, math.sin(skin.junction.angle)]
    assert highest_seam(skin, seam) == pytest.approx((line @ up).max())


def test_the_sharp_seam_of_a_right_angle_is_the_template_of_the_sheet_metal_worker() -> None:
    """No edge, no thickness: height sqrt(R^2 - y^2), highest in the plane of symmetry."""
    skin = Skin(tee(0.2, 0.1, 90.0, 0.0), 0.0)
    line = seam_line(skin, Seam(0.5, 0.5, 0.5))
    assert line[:, 2] == pytest.approx(np.sqrt(0.1**2 - line[:, 1] ** 2), abs=1e-9)
    assert np.hypot(line[:, 0], line[:, 1]) == pytest.approx(np.full(len(line), 0.05))
    assert highest_seam(skin, Seam(0.5, 0.5, 0.5)) == pytest.approx(0.1)


def test_targets_go_from_the_saddle_to_the_tubes() -> None:
    mesh = sewn(order(tee(0.2, 0.1, 60.0))).flat.mesh
    found = Targets(round=1.06, along=0.97, saddle=0.99).on(mesh)
    away = np.linalg.norm(
        mesh.points[mesh.triangles].mean(axis=1)[:, None] - mesh.points[mesh.grid[mesh.seam_row]],
        axis=2,
    ).min(axis=1)
    far, near = away > 0.1, away < 0.006
    assert found[far] == pytest.approx(np.tile([0.97, 1.06], (far.sum(), 1)), abs=1e-5)
    assert near.any()
    assert found[near] == pytest.approx(np.full((near.sum(), 2), 0.99), abs=0.003)
    assert np.all((found[:, 0] >= 0.97) & (found[:, 0] <= 0.99))
    assert np.all((found[:, 1] <= 1.06) & (found[:, 1] >= 0.99))
    order_away = np.argsort(away)
    assert np.all(np.diff(found[order_away, 1]) >= -1e-12)


def test_equal_targets_are_the_same_everywhere() -> None:
    mesh = sewn(order(tee(0.2, 0.1, 60.0))).flat.mesh
    assert Targets(1.03, 1.03, 1.03).on(mesh) == pytest.approx(
        np.full((len(mesh.triangles), 2), 1.03)
    )


def test_the_skin_lies_half_the_cloth_inside_the_wall() -> None:
    given = order(tee(0.2, 0.1, 60.0), thickness=0.005)
    assert given.skin.inset == 0.0025
    assert replace(given, thickness=0.0).skin.inset == 0.0

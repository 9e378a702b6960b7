"""Sewn, put on the packer, loaded and held: what a forming run starts from."""

import math
from dataclasses import replace

import numpy as np
import pytest

from collar_shapes import FABRIC, order, sewn, tee, tried
from teewright.collar.dressing import GRIP, SMALLEST, THRUST, load_of, on_packer, restraint_of
from teewright.collar.landing import sleeve_ends
from teewright.collar.sewing import sew
from teewright.collar.tolerance import Case
from teewright.collar.trial import Sewn, changed
from teewright.junction.skin import FloatArray

ORDER = order(tee(0.2, 0.1, 60.0))


def start(one: Sewn, case: Case | None = None) -> FloatArray:
    return on_packer(one.order.skin, one.plan, one.extent, one.targets, case or Case())


def test_it_is_dressed_at_its_perimeter_as_cut() -> None:
    one = sewn(ORDER)
    mesh, points = one.flat.mesh, start(one)
    up, _ = sleeve_ends(mesh)
    radius = np.hypot(points[up, 1], points[up, 2])
    wall = 0.1 / 1.05 - ORDER.thickness / 2.0
    assert radius == pytest.approx(np.full(len(up), wall))
    cut = np.linalg.norm(np.diff(mesh.points[mesh.grid[-1]], axis=0), axis=1).sum() / 1.05
    dressed = np.linalg.norm(np.diff(points[mesh.grid[-1]], axis=0), axis=1).sum()
    assert dressed == pytest.approx(cut, rel=0.01)


def test_it_clears_the_bore_even_where_nothing_is_undersized() -> None:
    one = sewn(order(tee(0.2, 0.1, 60.0), stretch=1.0))
    up, _ = sleeve_ends(one.flat.mesh)
    points = start(one)
    radius = float(np.hypot(points[up, 1], points[up, 2]).max())
    assert radius == pytest.approx(SMALLEST * 0.1 - 0.002)


def test_its_ends_lie_as_far_from_the_opening_as_they_were_cut() -> None:
    one = sewn(ORDER)
    for along in (1.0, 0.96):
        moved = replace(one, targets=replace(one.targets, along=along))
        up, down = sleeve_ends(one.flat.mesh)
        x = start(moved)[:, 0] - one.extent.middle
        assert x[up] == pytest.approx(np.full(len(up), 0.25 / along))
        assert x[down] == pytest.approx(np.full(len(down), -0.25 / along))


def test_a_packer_that_is_off_carries_the_collar_with_it() -> None:
    """Along by 9 mm, turned by 0.1 rad about the main's axis, from z towards +y."""
    one = sewn(ORDER, half=False)
    plain, off = start(one), start(one, Case(along=0.009, round=0.1))
    turn = np.array(
        [[1, 0, 0], [0, math.cos(0.1), math.sin(0.1)], [0, -math.sin(0.1), math.cos(0.1)]]
    )
    assert off == pytest.approx(plain @ turn.T + [0.009, 0.0, 0.0])
    assert off[one.flat.mesh.grid[-1], 1].mean() > 0.005


@pytest.mark.parametrize("half", [True, False])
def test_bladders_are_closed_tubes_and_the_branch_one_pulls_by_its_bore(half: bool) -> None:
    """Skin and ends of a bladder balance; what is left is the share of the branch's end."""
    one = sewn(ORDER, half=half)
    mesh = one.flat.mesh
    load = load_of(mesh, start(one), 5e4)
    axis = np.array([math.cos(math.radians(60.0)), 0.0, math.sin(math.radians(60.0))])
    share = 0.5 if half else 1.0
    skin = 2.0 * math.pi * 0.05 * (0.05 / 2.0) * share  # perimeter times tension over pressure
    top = load.thrust[mesh.grid[-1]].sum(axis=0)
    assert top == pytest.approx((skin + THRUST * math.pi * 0.05**2 * share) * axis)
    for ends, way in zip(sleeve_ends(mesh), (1.0, -1.0), strict=True):
        skin = way * 2.0 * math.pi * 0.1 * (0.1 / 2.0) * share
        assert load.thrust[ends].sum(axis=0) == pytest.approx([skin, 0.0, 0.0])
    loaded = np.flatnonzero(np.abs(load.thrust).sum(axis=1))
    ends_of_all = np.concatenate([mesh.grid[-1], *sleeve_ends(mesh)])
    assert set(loaded.tolist()) == set(ends_of_all.tolist())
    assert load.pressure == 5e4


def test_each_bladder_carries_half_its_radius_along_its_pipe() -> None:
    mesh = sewn(ORDER).flat.mesh
    bladder = load_of(mesh, mesh.points, 5e4).bladder
    assert bladder[mesh.zone == 0] == pytest.approx(np.full((mesh.zone == 0).sum(), 0.05))
    assert bladder[mesh.zone == 2] == pytest.approx(np.full((mesh.zone == 2).sum(), 0.025))


@pytest.mark.parametrize("half", [True, False])
def test_the_ties_hold_each_end_and_the_plane_of_symmetry_its_vertices(half: bool) -> None:
    mesh = sewn(ORDER, half=half).flat.mesh
    held = restraint_of(mesh)
    for ends in sleeve_ends(mesh):
        assert held.spring[ends].sum() == pytest.approx(GRIP * (0.5 if half else 1.0))
    assert held.spring.sum() == pytest.approx(GRIP * (1.0 if half else 2.0))
    assert np.array_equal(held.grip, np.tile([1.0, 0.0, 0.0], (len(mesh.points), 1)))
    fixed = np.flatnonzero(held.free[:, 1] == 0.0)
    in_plane = np.flatnonzero(np.abs(mesh.points[:, 1]) < 1e-9)
    assert np.array_equal(fixed, in_plane if half else [])
    assert np.all(held.free[:, [0, 2]] == 1.0)


def test_seams_are_bars_of_the_length_that_both_edges_were_cut_to() -> None:
    stiff = replace(FABRIC, seam_stiffness=300.0)
    one = sewn(ORDER)
    cloth = sew(one.flat, stiff)
    flat = {(p.name, name): p.flat[line] for p in one.flat.pieces for name, line in p.lines}
    saddle = np.linalg.norm(np.diff(flat["branch", "saddle"], axis=0), axis=1).sum()
    row = set(one.flat.mesh.grid[one.flat.mesh.seam_row].tolist())
    on_row = np.array([a in row and b in row for a, b in cloth.bars.tolist()])
    assert cloth.bar_rest[on_row].sum() == pytest.approx(saddle, abs=5e-5)
    assert len({tuple(b) for b in cloth.bars.tolist()}) == len(cloth.bars)
    in_plane = np.abs(one.flat.mesh.points[cloth.bars, 1]).max(axis=1) < 1e-9
    assert np.all(cloth.bar_stiffness[in_plane] == 150.0)
    assert np.all(cloth.bar_stiffness[~in_plane] == 300.0)


def test_each_triangle_is_as_large_as_it_was_cut() -> None:
    one = sewn(ORDER)
    cloth = one.cloth
    assert np.array_equal(cloth.triangles, one.flat.mesh.triangles)
    a, b, c = np.moveaxis(cloth.rest, 1, 0)
    area = ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2.0
    space = one.flat.mesh.points[cloth.triangles]
    formed = np.linalg.norm(np.cross(space[:, 1] - space[:, 0], space[:, 2] - space[:, 0]), axis=1)
    # chords of a curved skin are a little shorter than ways on it, for which the stretch is told
    assert formed / 2.0 / area == pytest.approx(one.flat.stretch.prod(axis=1), rel=0.06)
    assert formed.sum() / 2.0 == pytest.approx(
        float(area @ one.flat.stretch.prod(axis=1)), rel=0.01
    )
    assert np.all(area > 0.0)


def test_a_case_changes_the_junction_but_not_beyond_what_can_be() -> None:
    junction = tee(0.2, 0.1, 85.0, 0.004)
    off = changed(junction, Case(main=0.003, branch=-0.002, angle=0.05, fillet=-0.001))
    sizes = (off.main_diameter, off.branch_diameter, off.angle, off.fillet)
    assert sizes == pytest.approx((0.203, 0.098, math.radians(85.0) + 0.05, 0.003))
    far = changed(junction, Case(angle=0.2, fillet=-0.01))
    assert far.angle == math.pi / 2.0
    assert far.fillet == 0.0
    equal = changed(tee(0.15, 0.15, 90.0), Case(main=-0.004, branch=0.002))
    assert equal.branch_diameter == equal.main_diameter == pytest.approx(0.146)


def test_formed_it_lies_against_the_pipes_in_balance() -> None:
    trial = tried(ORDER)
    assert trial.formed.pressure == ORDER.pressure
    assert np.isfinite(trial.formed.positions).all()
    assert trial.formed.touching.mean() > 0.8
    # the pipes push back with the pressure on the cloth that touches
    assert trial.formed.reaction.min() >= 0.0
    assert float(np.median(trial.formed.gap)) < 1e-4

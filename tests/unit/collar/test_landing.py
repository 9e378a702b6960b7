import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from collar_shapes import FABRIC, collar, order, sewn, tee, tried
from teewright.collar import landed
from teewright.collar.closing import Closed
from teewright.collar.landed import formed_thickness, landing_of, pressure_landed
from teewright.collar.landing import (
    Measured,
    broken,
    landed_edges,
    limits_of,
    quantile,
    sleeve_ends,
    triangle_areas,
)
from teewright.collar.trial import Trial
from teewright.collar.values import Edge, Limit
from teewright.junction.skin import FloatArray

ORDER = order(tee(0.2, 0.1, 60.0))


def measured(**changed: object) -> Measured:
    good = Measured(
        edges=(Edge("upstream", 0.25, 0.25, 0.26),),
        stretch=(0.98, 1.1),
        stretch_inner=(0.99, 1.08),
        across=1.0,
        along=1.0,
        wrinkle_strain=0.0,
        wrinkle_height=0.0,
        gap=0.0,
    )
    return replace(good, **changed)  # type: ignore[arg-type]


def limit(name: str, main: float = 0.2, **changed: object) -> Limit:
    found = limits_of(measured(**changed), tee(main, 0.1, 60.0), FABRIC)
    (one,) = (each for each in found if name in each.name)
    return one


@pytest.mark.parametrize(
    ("name", "changed", "margin"),
    [
        ("along the grain", {"along": 1.10}, 0.6),
        ("along the grain", {"along": 1.30}, -0.2),
        ("across the grain", {"across": 1.175}, 0.5),
        ("wrinkles", {"wrinkle_height": 0.0015}, 0.75),
        ("gap", {"gap": 0.0025}, -0.25),
        ("edge", {"edges": (Edge("branch", 0.2, 0.199, 0.2),)}, 0.8),
        ("edge", {"edges": (Edge("branch", 0.2, 0.3, 0.4),)}, 1.0),
        (
            "edge",
            {"edges": (Edge("branch", 0.2, 0.2, 0.2), Edge("upstream", 0.2, 0.19, 0.2))},
            -1.0,
        ),
    ],
)
def test_a_margin_is_the_share_of_the_way_to_the_limit_that_is_left(
    name: str, changed: dict[str, Any], margin: float
) -> None:
    found = limit(name, **changed)
    assert found.margin == pytest.approx(margin)
    assert found.kept == (margin >= 0.0)


@pytest.mark.parametrize(
    ("main", "allowed"), [(0.1, 0.006), (0.3, 0.006), (0.3001, 0.006002), (0.9, 0.018)]
)
def test_wrinkles_may_stand_2_percent_of_the_main_but_6_mm_at_least(
    main: float, allowed: float
) -> None:
    assert limit("wrinkles", main).high == pytest.approx(allowed)


def test_the_limit_broken_most_is_named() -> None:
    found = limits_of(measured(gap=0.003, along=1.26), tee(0.2, 0.1, 60.0), FABRIC)
    assert broken(found) == "gap behind the fabric"
    assert broken(limits_of(measured(), tee(0.2, 0.1, 60.0), FABRIC)) == ""


def test_limits_have_margins_whatever_side_they_are_on() -> None:
    below = Limit("x", 0.95, 0.9, None, "-", "", rest=1.0)
    assert below.margin == pytest.approx(0.5)
    assert replace(below, value=0.85).margin == pytest.approx(-0.5)
    assert not replace(below, value=0.85).kept
    assert Limit("x", 3.0, None, None, "-", "").margin == 1.0


def test_edges_are_where_they_were_moved_to() -> None:
    """Moved up the main by 7 mm: one end is over, the other short, the top by its share."""
    one = sewn(ORDER)
    mesh, wanted, junction = one.flat.mesh, one.wanted, ORDER.junction
    moved = mesh.points + np.array([0.007, 0.0, 0.0])
    up, down, top = landed_edges(mesh, moved, wanted, junction)
    assert (up.least, up.most) == pytest.approx((0.257, 0.257))
    assert (down.least, down.most) == pytest.approx((0.243, 0.243))
    assert top.least == pytest.approx(wanted.reach + 0.007 * math.cos(junction.angle))
    assert top.most == pytest.approx(top.least)
    raised = landed_edges(mesh, mesh.points + np.array([0.0, 0.0, 0.004]), wanted, junction)[2]
    assert raised.least == pytest.approx(wanted.reach + 0.004 * math.sin(junction.angle))


def test_sleeve_ends_are_the_rings_of_least_and_most_x() -> None:
    mesh = sewn(ORDER).flat.mesh
    up, down = sleeve_ends(mesh)
    on_main = mesh.points[~np.isnan(mesh.main_unrolled[:, 0])]
    assert np.ptp(mesh.points[up, 0]) < 1e-9
    assert mesh.points[up, 0].max() == pytest.approx(on_main[:, 0].max())
    assert mesh.points[down, 0].min() == pytest.approx(on_main[:, 0].min())
    for ring in (up, down):
        y, z = mesh.points[ring, 1], mesh.points[ring, 2]
        assert np.hypot(y, z) == pytest.approx(np.full(len(ring), 0.098), abs=1e-6)
        turn = np.sort(np.arctan2(y, z))
        assert (turn[0], turn[-1]) == pytest.approx((0.0, math.pi), abs=1e-6)


def test_quantiles_weigh_by_area() -> None:
    values, weights = np.array([3.0, 1.0, 2.0]), np.array([1.0, 1.0, 2.0])
    assert quantile(values, weights, 0.5) == pytest.approx(2.0)
    assert quantile(values, weights, 0.0) == 1.0
    assert quantile(values, weights, 1.0) == 3.0
    many = np.random.default_rng(1).uniform(size=20_000)
    assert quantile(many, np.ones_like(many), 0.3) == pytest.approx(0.3, abs=0.01)
    heavy = np.where(many < 0.5, 3.0, 1.0)
    assert quantile(many, heavy, 0.75) == pytest.approx(0.5, abs=0.01)


def test_areas_of_triangles_in_space() -> None:
    points = np.array([[0, 0, 0], [3, 0, 0], [0, 0, 4], [3, 5, 4]], dtype=np.float64)
    assert triangle_areas(points, np.array([[0, 1, 2], [1, 3, 2]])) == pytest.approx(
        [6.0, math.hypot(5 * 4, 5 * 3, 12) / 2.0]
    )


def cut_areas(trial: Trial) -> FloatArray:
    a, b, c = np.moveaxis(trial.sewn.cloth.rest, 1, 0)
    return np.asarray(np.abs(np.cross(b - a, c - a)) / 2.0)


@pytest.mark.filterwarnings("ignore:Arrays of 2-dimensional vectors")
def test_taut_cloth_keeps_its_fibre() -> None:
    """Thickness times area is that of the cloth as cut, where nothing is folded."""
    trial = tried(ORDER)
    thickness = formed_thickness(ORDER, trial)
    area = triangle_areas(trial.formed.positions, trial.sewn.flat.mesh.triangles)
    taut = trial.formed.stretch[:, 1] > 1.0 / np.maximum(trial.formed.stretch[:, 0], 1.0)
    unstretched = ORDER.thickness * ORDER.stretch**2
    assert taut.mean() > 0.9
    assert (thickness * area)[taut] == pytest.approx((unstretched * cut_areas(trial))[taut])


def test_the_pressure_that_lands_it_is_on_the_way_and_falls_with_the_gap_allowed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    trial = tried(ORDER)
    path = [moment.pressure for moment in trial.formed.path]
    found = []
    for gap in (0.0005, 0.001, 0.002, 0.004, 0.008, 1.0):
        monkeypatch.setattr(landed, "GAP", gap)
        found.append(pressure_landed(trial))
    known = [pressure for pressure in found if math.isfinite(pressure)]
    assert len(known) >= 3
    assert found[-1] == path[0]
    assert known == sorted(known, reverse=True)
    assert set(known) <= set(path)


def test_a_collar_that_never_lies_down_has_no_such_pressure(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(landed, "GAP", -1.0)
    assert math.isnan(pressure_landed(tried(ORDER)))


def test_resin_fills_the_voids_of_what_lies_in_the_pipe() -> None:
    trial = tried(ORDER)
    told = landing_of(ORDER, Closed(trial, rounds=0, runs=1))
    least, mean, most = told.resin
    assert least == pytest.approx(FABRIC.void_fraction * told.thickness[0])
    assert most == pytest.approx(FABRIC.void_fraction * told.thickness[1])
    assert least < mean < most
    assert told.triangles == len(trial.sewn.cloth.triangles)
    assert told.margin == trial.margin
    assert told.kept == (trial.margin >= 0.0)


def test_stretch_inside_leaves_out_what_is_singular() -> None:
    for degrees in (60.0, 90.0):
        landing = collar(tee(0.2, 0.1, degrees)).landing
        assert landing.stretch[0] <= landing.stretch_inner[0] < landing.stretch_inner[1]
        assert landing.stretch_inner[1] <= landing.stretch[1]


def test_each_part_has_its_thinnest_place() -> None:
    """Parts told apart by where their triangles land: off the main's axis, off the branch's."""
    trial, J = tried(ORDER), ORDER.junction
    told = landing_of(ORDER, Closed(trial, rounds=0, runs=1))
    corners = trial.formed.positions[trial.sewn.flat.mesh.triangles]
    middle = corners.mean(axis=1)
    axis = np.array([math.cos(J.angle), 0.0, math.sin(J.angle)])
    from_branch = np.linalg.norm(middle - np.outer(middle @ axis, axis), axis=1)
    half = ORDER.thickness / 2.0
    on_main = np.hypot(middle[:, 1], middle[:, 2]) < J.main_diameter / 2.0 - half + 1e-3
    on_branch = ~on_main & (from_branch < J.branch_diameter / 2.0 - half + 1e-3)
    thickness = formed_thickness(ORDER, trial)
    area = triangle_areas(trial.formed.positions, trial.sewn.flat.mesh.triangles)
    wanted = [quantile(thickness[own], area[own], 0.01) for own in (~on_branch, ~on_main)]
    assert [told.thin[0], told.thin[2]] == pytest.approx(wanted, rel=5e-3)
    # the thinnest part is no thicker than the whole, of which as much is left out
    assert min(told.thin) <= told.thickness[0] <= max(told.thin)

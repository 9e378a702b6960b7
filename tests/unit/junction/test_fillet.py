import math

import numpy as np
import pytest
from shapely import LineString, Point

from teewright.junction.fillet import Fillet, fillet_area, fillet_excess, roll_ball
from teewright.junction.saddle import (
    FloatArray,
    developed_edge,
    developed_hole,
    quadrant_angles,
    saddle_curve,
    turning_angle,
)
from teewright.junction.values import Junction

SHAPES = [
    Junction(0.2, 0.1, math.radians(90), 0.010),
    Junction(0.2, 0.1, math.radians(45), 0.010),
    Junction(0.15, 0.15, math.radians(60), 0.005),
    Junction(0.6, 0.15, math.radians(75), 0.015),
]


def from_branch_axis(tee: Junction, points: FloatArray) -> FloatArray:
    axis = np.array([math.cos(tee.angle), 0.0, math.sin(tee.angle)])
    return np.asarray(np.linalg.norm(np.cross(points, axis), axis=1))


def length(line: FloatArray) -> float:
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())


@pytest.fixture(params=SHAPES, ids=str)
def rolled(request: pytest.FixtureRequest) -> tuple[Junction, Fillet]:
    tee: Junction = request.param
    return tee, roll_ball(tee, quadrant_angles(720))


def test_the_ball_touches_both_pipes_from_outside(rolled: tuple[Junction, Fillet]) -> None:
    tee, edge = rolled
    main, branch, rho = tee.main_diameter / 2, tee.branch_diameter / 2, tee.fillet
    assert np.hypot(*edge.centre.T[1:]) == pytest.approx(main + rho, rel=1e-12)
    assert from_branch_axis(tee, edge.centre) == pytest.approx(branch + rho, rel=1e-9)
    assert np.hypot(*edge.main_contact.T[1:]) == pytest.approx(main, rel=1e-12)
    assert from_branch_axis(tee, edge.branch_contact) == pytest.approx(branch, rel=1e-9)


def test_contacts_and_seam_lie_on_the_ball(rolled: tuple[Junction, Fillet]) -> None:
    tee, edge = rolled
    for line in (edge.main_contact, edge.branch_contact, edge.seam):
        distance = np.linalg.norm(line - edge.centre, axis=1)
        assert distance == pytest.approx(tee.fillet, rel=1e-12)


def test_the_seam_is_half_way(rolled: tuple[Junction, Fillet]) -> None:
    _, edge = rolled
    to_main = np.linalg.norm(edge.seam - edge.main_contact, axis=1)
    to_branch = np.linalg.norm(edge.seam - edge.branch_contact, axis=1)
    assert to_main == pytest.approx(to_branch, abs=1e-12)


def test_each_panel_goes_on_by_half_the_arc(rolled: tuple[Junction, Fillet]) -> None:
    tee, edge = rolled
    half = tee.fillet * edge.turning / 2.0
    on_main = np.linalg.norm(edge.main_seam - edge.main_flat, axis=1)
    on_branch = np.linalg.norm(edge.branch_seam - edge.branch_flat, axis=1)
    assert on_main == pytest.approx(half, abs=1e-12)
    assert on_branch == pytest.approx(half, abs=1e-12)


def test_contact_lines_keep_their_length_when_unrolled(rolled: tuple[Junction, Fillet]) -> None:
    _, edge = rolled
    assert length(edge.main_flat) == pytest.approx(length(edge.main_contact), rel=1e-5)
    assert length(edge.branch_flat) == pytest.approx(length(edge.branch_contact), rel=1e-5)


def test_both_halves_mirror_each_other(rolled: tuple[Junction, Fillet]) -> None:
    _, edge = rolled
    for line, turned in ((edge.main_seam, 1), (edge.branch_seam, 0)):
        mirrored = line[::-1].copy()
        mirrored[:, turned] *= -1.0
        assert line == pytest.approx(mirrored, abs=1e-12)


def test_a_right_angle_makes_crotch_and_heel_alike() -> None:
    edge = roll_ball(SHAPES[0], np.array([0.3, math.pi - 0.3]))
    assert edge.branch_seam[0, 1] == pytest.approx(edge.branch_seam[1, 1])
    assert edge.main_seam[0, 0] == pytest.approx(-edge.main_seam[1, 0])


def test_arc_turns_as_the_sharp_edge_does_in_the_plane_of_symmetry() -> None:
    edge = roll_ball(SHAPES[1], np.array([0.0, math.pi]))
    assert np.degrees(edge.turning) == pytest.approx([135.0, 45.0])


def test_equal_pipes_touch_at_the_flanks_and_stay_finite() -> None:
    edge = roll_ball(SHAPES[2], np.array([math.pi / 2]))
    assert edge.turning[0] == pytest.approx(0.0, abs=1e-6)
    assert edge.main_seam[0] == pytest.approx(edge.main_flat[0], abs=1e-6)
    assert np.isfinite(edge.seam).all()


def test_without_rounding_the_seam_is_the_sharp_edge() -> None:
    sharp, phi = Junction(0.2, 0.1, math.radians(60), 0.0), quadrant_angles(72)
    edge = roll_ball(sharp, phi)
    assert edge.seam == pytest.approx(saddle_curve(sharp, phi))
    assert edge.main_seam == pytest.approx(developed_hole(sharp, phi))
    assert edge.branch_seam == pytest.approx(developed_edge(sharp, phi))
    assert fillet_area(sharp) == 0.0


def cut_back(line: FloatArray, phi: FloatArray, back: FloatArray) -> FloatArray:
    """A developed sharp edge moved back across itself by the closed form's length."""
    tangent = np.gradient(line, phi, axis=0)
    normal = np.column_stack([-tangent[:, 1], tangent[:, 0]])
    moved = line + back[:, None] * normal / np.linalg.norm(normal, axis=1)[:, None]
    return np.asarray(moved)


def away(points: FloatArray, line: FloatArray) -> float:
    """Greatest distance of points from a line."""
    path = LineString(line)
    return max(path.distance(Point(p)) for p in points)


@pytest.mark.parametrize("degrees", [90.0, 60.0])
def test_closed_form_of_the_cut_back_is_the_rolled_ball_to_first_order(degrees: float) -> None:
    """The gap between the two falls with the square of rho, the cut-back itself with rho."""
    phi = quadrant_angles(2880)
    gaps = []
    for rho in (0.002, 0.001):
        tee = Junction(0.2, 0.1, math.radians(degrees), rho)
        back = fillet_excess(turning_angle(tee, phi), rho) / 2.0
        edge = roll_ball(tee, phi)
        # (along, round) runs counter-clockwise: the opening grows to the right of its line
        hole = cut_back(developed_hole(tee, phi), phi, -back)
        sleeve = cut_back(developed_edge(tee, phi), phi, back)
        inner = slice(400, -400, 20)
        gaps.append((away(edge.main_seam[inner], hole), away(edge.branch_seam[inner], sleeve)))
    for coarse, fine in zip(*gaps, strict=True):
        assert 3.4 < coarse / fine < 4.6


def test_excess_of_a_sharp_template() -> None:
    """4.3 mm at a right angle, 24.7 mm at the acute side of 45 degrees, for 10 mm."""
    right, acute = fillet_excess(np.radians([90.0, 135.0]), 0.010)
    assert right == pytest.approx(0.00429, abs=1e-5)
    assert acute == pytest.approx(0.02472, abs=1e-5)


def test_excess_is_the_sharp_way_less_the_rounded_way() -> None:
    """At the crotch the contact lines are planar sections: measure both ways in space."""
    tee, phi = SHAPES[1], np.array([0.0])
    edge, corner = roll_ball(tee, phi), saddle_curve(tee, phi)
    sharp = np.linalg.norm(edge.main_contact - corner) + np.linalg.norm(
        edge.branch_contact - corner
    )
    rounded = tee.fillet * edge.turning[0]
    assert fillet_excess(edge.turning, tee.fillet)[0] == pytest.approx(sharp - rounded)


@pytest.mark.parametrize("tee", [SHAPES[0], SHAPES[1], SHAPES[3]], ids=str)
def test_area_of_the_rounded_edge_is_that_of_a_tube(tee: Junction) -> None:
    """A tube about a path: rho beta ds less rho^2 (curvature . direction) dv ds."""
    edge = roll_ball(tee, quadrant_angles(20000))
    steps = np.diff(edge.centre, axis=0)
    sizes = np.linalg.norm(steps, axis=1)
    tangent = steps / sizes[:, None]
    turn = np.roll(tangent, -1, axis=0) - tangent
    middle = (edge.seam - edge.centre)[1:] / tee.fillet
    along = float(np.dot(sizes, (edge.turning[1:] + edge.turning[:-1]) / 2.0)) * tee.fillet
    bent = np.einsum("ij,ij->i", turn, middle) * 2.0 * np.sin(edge.turning[1:] / 2.0)
    assert fillet_area(tee) == pytest.approx(along - tee.fillet**2 * float(bent.sum()), rel=2e-4)


def test_area_converges_with_the_square_of_the_step() -> None:
    values = [fillet_area(SHAPES[0], samples=n, steps=n // 8) for n in (64, 128, 256)]
    assert (values[1] - values[0]) / (values[2] - values[1]) == pytest.approx(4.0, rel=0.1)

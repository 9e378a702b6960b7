import math

import numpy as np
import pytest

from sharp_saddle import (
    developed_edge,
    developed_hole,
    quadrant_angles,
    saddle_curve,
    saddle_height,
    saddle_lengths,
    sharp,
)
from teewright.junction.values import Junction

SHAPES = [
    (0.2, 0.1, 90.0),
    (0.2, 0.1, 45.0),
    (0.15, 0.15, 90.0),
    (0.15, 0.15, 60.0),
    (0.6, 0.15, 75.0),
]


def junction(main: float, branch: float, degrees: float, fillet: float = 0.005) -> Junction:
    return Junction(main, branch, math.radians(degrees), fillet)


@pytest.mark.parametrize("shape", SHAPES)
def test_the_saddle_lies_on_both_cylinders(shape: tuple[float, float, float]) -> None:
    tee = junction(*shape)
    x, y, z = saddle_curve(tee, quadrant_angles(360)).T
    axis = np.array([math.cos(tee.angle), 0.0, math.sin(tee.angle)])
    from_branch = np.linalg.norm(np.cross(np.column_stack([x, y, z]), axis), axis=1)
    assert np.hypot(y, z) == pytest.approx(tee.main_diameter / 2, rel=1e-12)
    assert from_branch == pytest.approx(tee.branch_diameter / 2, rel=1e-9)


@pytest.mark.parametrize("shape", SHAPES)
def test_height_is_measured_along_the_branch(shape: tuple[float, float, float]) -> None:
    tee, phi = junction(*shape), quadrant_angles(360)
    axis = np.array([math.cos(tee.angle), 0.0, math.sin(tee.angle)])
    assert saddle_curve(tee, phi) @ axis == pytest.approx(saddle_height(tee, phi), rel=1e-12)


@pytest.mark.parametrize("shape", SHAPES)
def test_three_lengths_of_the_saddle_agree(shape: tuple[float, float, float]) -> None:
    space, branch, main = saddle_lengths(junction(*shape))
    assert branch == pytest.approx(space, rel=1e-12)
    assert main == pytest.approx(space, rel=1e-9)


def test_length_agrees_with_chords_to_the_square_of_the_step() -> None:
    tee = junction(0.3, 0.15, 60.0)
    exact = saddle_lengths(tee)[0]
    errors = [exact - chords(saddle_curve(tee, quadrant_angles(n))) for n in (200, 400, 800)]
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.01)
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.01)


def chords(line: np.ndarray) -> float:
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())


def test_a_wide_main_is_a_plane_and_the_saddle_an_ellipse() -> None:
    tee = junction(1e4, 0.1, 50.0)
    t = np.linspace(0.0, 2.0 * math.pi, 20001)
    ellipse = np.column_stack([0.05 * np.cos(t) / math.sin(tee.angle), 0.05 * np.sin(t)])
    assert saddle_lengths(tee)[0] == pytest.approx(chords(ellipse), rel=1e-6)


def test_crotch_and_heel_stand_symmetrically_about_the_branch_axis_on_the_crown() -> None:
    tee = junction(0.3, 0.15, 60.0)
    crotch, heel = saddle_curve(tee, np.array([0.0, math.pi]))[:, 0]
    assert (crotch + heel) / 2 == pytest.approx(0.15 / math.tan(tee.angle))
    assert (crotch - heel) / 2 == pytest.approx(0.075 / math.sin(tee.angle))


def test_at_right_angles_both_sides_are_alike() -> None:
    tee, phi = junction(0.3, 0.15, 90.0), np.linspace(0.0, math.pi / 2, 20)
    assert saddle_height(tee, phi) == pytest.approx(saddle_height(tee, math.pi - phi))


@pytest.mark.parametrize("shape", SHAPES)
def test_turning_angle_at_crotch_heel_and_flanks(shape: tuple[float, float, float]) -> None:
    tee = junction(*shape)
    crotch, flank, heel = sharp(tee, np.array([0.0, math.pi / 2, math.pi])).turning
    assert crotch == pytest.approx(math.pi - tee.angle)
    assert heel == pytest.approx(tee.angle)
    assert flank == pytest.approx(math.acos(tee.branch_diameter / tee.main_diameter), abs=1e-7)


def test_developments_keep_the_place_of_each_point() -> None:
    tee, phi = junction(0.2, 0.1, 60.0), quadrant_angles(16)
    curve = saddle_curve(tee, phi)
    hole, edge = developed_hole(tee, phi), developed_edge(tee, phi)
    assert hole[:, 0] == pytest.approx(curve[:, 0])
    assert 0.1 * np.sin(hole[:, 1] / 0.1) == pytest.approx(curve[:, 1])
    assert 0.05 * np.sin(edge[:, 0] / 0.05) == pytest.approx(curve[:, 1])


def test_quadrants_are_among_the_angles() -> None:
    phi = quadrant_angles(10)
    assert len(phi) == 13
    for angle in (-math.pi, -math.pi / 2, 0.0, math.pi / 2, math.pi):
        assert np.abs(phi - angle).min() < 1e-12

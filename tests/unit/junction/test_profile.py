import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ellipe

from teewright.junction.profile import (
    Profile,
    arc_at,
    half_round,
    half_width,
    normal_at,
    normal_at_arc,
    profile_point,
    support,
)

ROUND = Profile(0.1)
OVAL = Profile(0.15, 0.08, 0.5)
PSI = np.linspace(-3.0, 3.0, 61)


def test_a_round_profile_is_a_circle_and_its_parallels_are_circles() -> None:
    for outwards in (-0.02, 0.0, 0.03):
        y, z = profile_point(ROUND, PSI, outwards).T
        assert np.hypot(y, z) == pytest.approx(0.1 + outwards, rel=1e-14)
        assert np.arctan2(y, z) == pytest.approx(PSI, abs=1e-14)


def test_points_of_an_oval_profile_are_on_the_ellipse() -> None:
    y, z = profile_point(OVAL, PSI).T
    short, long = OVAL.semi_axes
    u = z * math.cos(0.5) + y * math.sin(0.5)
    v = y * math.cos(0.5) - z * math.sin(0.5)
    assert (u / short) ** 2 + (v / long) ** 2 == pytest.approx(1.0, rel=1e-13)
    assert (OVAL.radius - short) / OVAL.radius == pytest.approx(0.08)


def test_a_parallel_curve_keeps_its_distance_along_the_normal() -> None:
    move = profile_point(OVAL, PSI, 0.012) - profile_point(OVAL, PSI)
    assert move == pytest.approx(0.012 * np.column_stack([np.sin(PSI), np.cos(PSI)]))


def test_the_normal_stands_on_the_curve() -> None:
    step = 1e-6
    tangent = profile_point(OVAL, PSI + step, 0.01) - profile_point(OVAL, PSI - step, 0.01)
    normal = np.column_stack([np.sin(PSI), np.cos(PSI)])
    assert np.einsum("ij,ij->i", tangent, normal) == pytest.approx(0.0, abs=1e-14)
    speed = np.hypot(*tangent.T) / (2.0 * step)
    assert speed == pytest.approx(support(OVAL, PSI)[2] + 0.01, rel=1e-8)


@pytest.mark.parametrize("profile", [ROUND, OVAL, Profile(0.15, 0.1, math.pi / 2)], ids=str)
@pytest.mark.parametrize("outwards", [-0.004, 0.0, 0.02])
def test_the_normal_is_found_again_from_y(profile: Profile, outwards: float) -> None:
    psi = np.linspace(-1.57, 1.57, 101)
    y = profile_point(profile, psi, outwards)[:, 0]
    assert normal_at(profile, y, outwards) == pytest.approx(psi, abs=1e-9)


@pytest.mark.parametrize("profile", [ROUND, OVAL], ids=str)
def test_the_flank_is_the_greatest_y(profile: Profile) -> None:
    edge = half_width(profile) + 0.01
    assert normal_at(profile, np.array([edge, -edge]), 0.01) == pytest.approx(
        [math.pi / 2.0, -math.pi / 2.0]
    )
    assert profile_point(profile, PSI)[:, 0].max() <= half_width(profile)


def test_arc_length_is_the_integral_of_the_radius_of_curvature() -> None:
    crown = float(normal_at(OVAL, np.zeros(1), -0.003)[0])
    for psi in (-2.5, -0.3, 1.0, 3.0):
        expected, _ = quad(
            lambda t: float(support(OVAL, np.array([t]))[2][0]) - 0.003, crown, psi, epsabs=1e-14
        )
        found = arc_at(OVAL, np.array([psi]), -0.003)[0]
        assert found == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("profile", [ROUND, OVAL], ids=str)
def test_the_normal_is_found_again_from_the_arc(profile: Profile) -> None:
    arc = arc_at(profile, PSI, -0.003)
    assert normal_at_arc(profile, arc, -0.003) == pytest.approx(PSI, abs=1e-12)


def test_half_round_is_half_of_an_ellipse() -> None:
    short, long = OVAL.semi_axes
    exact = 2.0 * long * float(ellipe(1.0 - (short / long) ** 2))
    assert half_round(OVAL) == pytest.approx(exact, rel=1e-13)
    turned = arc_at(OVAL, np.array([0.4 + 2.0 * math.pi, 0.4]), -0.002)
    assert turned[0] - turned[1] == pytest.approx(2.0 * half_round(OVAL, -0.002), rel=1e-13)


def test_the_far_side_is_half_round_from_the_crown() -> None:
    flat = half_round(OVAL, -0.004)
    psi = normal_at_arc(OVAL, np.array([flat, -flat]), -0.004)
    y, z = profile_point(OVAL, psi, -0.004).T
    assert y == pytest.approx([0.0, 0.0], abs=1e-14)
    assert (z < 0.0).all()

"""The plates over the opening against plates solved numerically."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import GeometryError, RangeError
from teewright.wall.f1216 import span_thickness, widest_plate
from teewright.wall.plates import (
    clamped_circle_pressure,
    clamped_circle_thickness,
    clamped_ellipse_thickness,
    opening_axes,
    supported_circle_thickness,
)

P, STRESS, V = 30e3, 7.75e6, 0.3


def greatest_moment(points: int, *, clamped: bool) -> float:
    """Greatest moment of a round plate of unit radius and pressure, by finite differences.

    The slope f of the plate obeys f'' + f'/r - f/r^2 = -r/2 with unit stiffness.
    """
    h = 1.0 / points
    r = np.linspace(0.0, 1.0, points + 1)
    A, load = np.zeros((points + 1, points + 1)), -r / 2.0
    A[0, 0], load[0] = 1.0, 0.0
    for i in range(1, points):
        A[i, i - 1] = 1.0 / h**2 - 0.5 / (h * r[i])
        A[i, i] = -2.0 / h**2 - 1.0 / r[i] ** 2
        A[i, i + 1] = 1.0 / h**2 + 0.5 / (h * r[i])
    load[-1] = 0.0
    if clamped:
        A[-1, -1] = 1.0
    else:
        A[-1, -3:] = np.array([0.5, -2.0, 1.5]) / h
        A[-1, -1] += V
    f = np.linalg.solve(A, load)
    slope = np.gradient(f, h, edge_order=2)
    radial = slope + V * np.divide(f, r, out=slope.copy(), where=r > 0.0)
    return float(np.max(np.abs(radial)))


@pytest.mark.parametrize("clamped", [True, False])
def test_round_plates_against_finite_differences(clamped: bool) -> None:
    if clamped:
        t = clamped_circle_thickness(P, 0.15, STRESS)
    else:
        t = supported_circle_thickness(P, 0.15, STRESS, poisson=V)
    moment = STRESS * t**2 / 6.0 / (P * 0.075**2)
    errors = [abs(greatest_moment(n, clamped=clamped) / moment - 1.0) for n in (50, 100)]
    assert errors[1] < 1e-3
    # second order
    assert errors[0] / errors[1] > 3.0


@pytest.mark.parametrize("longer", [0.15, 0.2, 0.3, 0.6])
def test_the_clamped_ellipse_solves_the_plate_equation(longer: float) -> None:
    a, b = longer / 2.0, 0.075

    def w(x: float, y: float) -> float:
        return (1.0 - (x / a) ** 2 - (y / b) ** 2) ** 2

    def second(f, x: float, y: float, dx: float, dy: float) -> float:  # type: ignore[no-untyped-def]
        return f(x + dx, y + dy) - 2.0 * f(x, y) + f(x - dx, y - dy)  # type: ignore[no-any-return]

    h, k = 0.02 * a, 0.02 * b

    def curvature_x(x: float, y: float) -> float:
        return second(w, x, y, h, 0.0) / h**2

    def curvature_y(x: float, y: float) -> float:
        return second(w, x, y, 0.0, k) / k**2

    def load(x: float, y: float) -> float:
        xx = second(curvature_x, x, y, h, 0.0) / h**2
        xy = second(curvature_x, x, y, 0.0, k) / k**2
        yy = second(curvature_y, x, y, 0.0, k) / k**2
        return xx + 2.0 * xy + yy

    # one shape, one load everywhere: it is the solution for even pressure
    evenly = [load(x * a, y * b) for x, y in ((0.0, 0.0), (0.5, 0.2), (-0.3, 0.6))]
    assert evenly == pytest.approx([evenly[0]] * 3, rel=1e-6)
    rim = np.linspace(0.0, math.pi / 2.0, 91)
    edge = [8.0 * (math.cos(u) ** 2 / a**2 + math.sin(u) ** 2 / b**2) for u in rim]
    moments = [max(edge), 4.0 / b**2 + V * 4.0 / a**2]
    stress = 6.0 * max(moments) / evenly[0]
    t = clamped_ellipse_thickness(P, longer, 0.15, STRESS)
    # the differences of a quartic are off by the square of the step
    assert stress == pytest.approx(STRESS * t**2 / P, rel=2e-3)


@given(st.floats(0.05, 0.5), st.floats(1.0, 4.0))
@settings(max_examples=60, deadline=None)
def test_the_circle_of_the_larger_axis_asks_for_no_less_than_the_ellipse(
    shorter: float, ratio: float
) -> None:
    longer = shorter * ratio
    circle = clamped_circle_thickness(P, longer, STRESS)
    ellipse = clamped_ellipse_thickness(P, longer, shorter, STRESS)
    assert ellipse <= circle * (1.0 + 1e-12)
    assert ellipse >= clamped_circle_thickness(P, shorter, STRESS) * (1.0 - 1e-12)


@pytest.mark.parametrize("pressure", [1e3, 1e4, 1e5, 5e5])
@pytest.mark.parametrize("diameter", [0.1, 0.3, 1.2])
@pytest.mark.parametrize("strength", [5e6, 15.5e6, 60e6])
def test_f1216_hole_span_is_the_clamped_plate_where_it_is_a_plate(
    pressure: float, diameter: float, strength: float
) -> None:
    compared = 0
    for share in (0.002, 0.005, 0.02, 0.05, 0.1, 0.2, 0.4):
        hole = share * diameter
        t = span_thickness(pressure, diameter, hole, strength, safety_factor=2.0)
        plate = clamped_circle_thickness(pressure, hole, strength / 2.0)
        if hole <= widest_plate(t, diameter):
            compared += 1
            # the standard counts D - t for D and prints 16/3 as 5.33
            assert t == pytest.approx(plate * (1.0 - t / diameter), rel=5e-4)
    assert compared > 0


def test_plate_there_and_back() -> None:
    t = clamped_circle_thickness(P, 0.2, STRESS)
    assert clamped_circle_pressure(t, 0.2, STRESS) == pytest.approx(P)
    assert supported_circle_thickness(P, 0.2, STRESS, poisson=0.3) / t == pytest.approx(
        math.sqrt(3.3 / 2.0)
    )


def test_the_cut_is_the_branch_seen_along_the_normal() -> None:
    # points of the cut: a circle across the branch, carried along its axis to the plane
    angle, d = math.radians(40.0), 0.15
    axis = np.array([math.cos(angle), 0.0, math.sin(angle)])
    across = np.array([-math.sin(angle), 0.0, math.cos(angle)])
    turn = np.linspace(0.0, 2.0 * math.pi, 721)
    ring = d / 2.0 * (np.outer(np.cos(turn), across) + np.outer(np.sin(turn), [0.0, 1.0, 0.0]))
    cut = ring - np.outer(ring[:, 2] / axis[2], axis)
    longer, shorter = opening_axes(d, angle, 0.0)
    assert longer == pytest.approx(float(np.ptp(cut[:, 0])), rel=1e-9)
    assert shorter == pytest.approx(float(np.ptp(cut[:, 1])), rel=1e-9)
    wider = opening_axes(d, angle, 0.01)
    assert wider == pytest.approx((longer + 0.02, shorter + 0.02))


def test_what_is_no_plate_is_refused() -> None:
    with pytest.raises(GeometryError, match="shorter axis"):
        clamped_ellipse_thickness(P, 0.1, 0.2, STRESS)
    with pytest.raises(RangeError, match="branch angle"):
        opening_axes(0.15, 0.1, 0.0)
    with pytest.raises(RangeError, match="span"):
        clamped_circle_thickness(P, 90.0, STRESS)

"""Inflated membranes: the square airbag, Hencky's circular membrane, tubes in closed form."""

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import fsolve

from forming_shapes import (
    held,
    isotropic,
    mirror_free,
    orthotropic,
    quarter_disc,
    square,
    tube,
)
from support import Check
from teewright.forming.build import end_thrust, pressed, unheld, unsewn
from teewright.forming.solve import form
from teewright.forming.values import Formed, Load, Setup

SIDE = 1.2 / math.sqrt(2.0)


def airbag(count: int) -> float:
    """Rise of the middle of one face, from a quarter of it [mm]."""
    patch = square(SIDE / 2.0, count)
    points = patch.points
    free = mirror_free(points)
    free[(points > SIDE / 2.0 - 1e-9).any(axis=1), 2] = 0.0
    cloth = unsewn(patch.triangles, patch.rest, isotropic(588e6 * 0.6e-3, 0.4))
    setup = Setup(cloth, points, pressed(len(points), 5e3), None, held(free))
    return float(1e3 * form(setup, tolerance=1e-3).positions[0, 2])


def hencky_series(nu: float) -> float:
    """Middle of a clamped round membrane over a (q a / E t)^(1/3), by Hencky's power series.

    With N = B sum b_2n r^2n for the radial force the equations of Foeppl leave
    (b_0 + b_2 r^2 + ...)^2 (8 b_2 + 24 b_4 r^2 + ...) = -8, and b_0 follows from the edge,
    where the radius must not change.
    """
    terms = 14

    def coefficients(b0: float) -> list[float]:
        b = [b0]
        for n in range(1, terms):
            series = [(2 * k + 2) * 2 * k * b[k] for k in range(1, n)]
            square = [sum(b[i] * b[k - i] for i in range(k + 1)) for k in range(n)]
            known = sum(series[k] * square[n - 1 - k] for k in range(n - 1))
            wanted = -8.0 if n == 1 else 0.0
            b.append((wanted - known) / (square[0] * (2 * n + 2) * 2 * n))
        return b

    def edge(b0: float) -> float:
        return sum((2 * n + 1 - nu) * c for n, c in enumerate(coefficients(b0)))

    low, high = 1.5, 2.2
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if edge(low) * edge(middle) > 0.0 else (low, middle)
    b = coefficients(low)
    # the slope times the radial force is the load inside r: integrate it from the edge
    r = (np.polynomial.legendre.leggauss(40)[0] + 1.0) / 2.0
    weight = np.polynomial.legendre.leggauss(40)[1] / 2.0
    force = sum(c * r ** (2 * n) for n, c in enumerate(b))
    return float((weight * 2.0 * r / force).sum())


def hencky(count: int, rise: float = 0.01) -> float:
    """The same from the solver; `rise` is small, as in the theory."""
    radii = np.linspace(0.0, 1.0, count + 1)
    patch = quarter_disc(radii[1:], count)
    # the middle: one vertex for the whole first circle
    middle = len(patch.points)
    points = np.vstack([patch.points, np.zeros(3)])
    ring = patch.grid[0]
    fan = np.array([[middle, a, b] for a, b in itertools.pairwise(ring)])
    triangles = np.vstack([patch.triangles, fan])
    free = mirror_free(points)
    free[patch.grid[-1]] = 0.0
    load = (rise / 0.6535) ** 3
    cloth = unsewn(triangles, points[triangles][:, :, :2], isotropic(1.0, 0.3))
    setup = Setup(cloth, points, pressed(len(points), load), None, held(free))
    formed = form(setup, tolerance=1e-3, max_steps=100_000)
    return float(formed.positions[middle, 2] / load ** (1.0 / 3.0))


CHECKS: tuple[Check, ...] = (
    Check(
        name="square airbag, rise of the middle",
        source="Jarasjarungkiat, Wuechner, Bletzinger, wrinkling with orthotropic membranes, 2009",
        where="airbag of 1.2 m diagonal, 216.3 to 216.7 mm by mesh and author",
        standing="published, read in a secondary source",
        expected=216.5,
        unit="mm",
        tolerance=0.005 * 216.5,
        why="0.5 %: published values by meshes and wrinkling models of like kind scatter by 0.2 %",
        compute=lambda: airbag(16),
    ),
    Check(
        name="Hencky's circular membrane, rise of the middle over a (q a / E t)^(1/3)",
        source="H. Hencky, Z. Math. Phys. 63 (1915) 311-317",
        where="power series, Poisson's ratio 0.3",
        standing="value from memory",
        expected=0.6535,
        unit="-",
        tolerance=0.00065,
        why="0.1 %: what is left of mesh and of slopes that are not quite small",
        compute=lambda: hencky(24),
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()


def test_hencky_series_is_the_value_from_memory() -> None:
    assert hencky_series(0.3) == pytest.approx(0.6535, abs=1e-4)


def blown_tube(around: int, *, area: float | None, pressure: float) -> Formed:
    """A tube of radius 0.1 m; ends held in length, or pulled by pressure times area."""
    patch = tube(0.1, 0.1, around, max(around // 8, 2))
    points, grid = patch.points, patch.grid
    cloth = unsewn(patch.triangles, patch.rest, orthotropic(12e3, 24e3, 0.3, 6e3))
    free = np.ones_like(points)
    load = pressed(len(points), pressure)
    free[grid[0], 0] = 0.0
    if area is None:
        free[:, 0] = 0.0
    else:
        pull = end_thrust(points, grid[-1], np.array([1.0, 0.0, 0.0]), area, closed=True)
        load = Load(pressure, pull, np.zeros(0))
    # a tube floats freely across: hold its axis by mirrors
    free[grid[:, 0], 1] = 0.0
    free[grid[:, around // 2], 1] = 0.0
    free[grid[:, around // 4], 2] = 0.0
    free[grid[:, 3 * around // 4], 2] = 0.0
    return form(Setup(cloth, points, load, None, held(free)), tolerance=1e-6)


def radius_of(formed: Formed) -> float:
    return float(np.hypot(formed.positions[:, 1], formed.positions[:, 2]).mean())


@pytest.mark.parametrize("pressure", [1e4, 1.5e5])
def test_tube_of_held_length_widens_as_its_closed_form_says(pressure: float) -> None:
    """Hoop equilibrium lambda S = p R lambda of the law S = D11 (lambda^2 - 1)/2."""
    d11 = orthotropic(12e3, 24e3, 0.3, 6e3)[0]
    exact = 0.1 * math.sqrt(1.0 + 2.0 * pressure * 0.1 / d11)
    errors = []
    for around in (16, 32, 64):
        formed = blown_tube(around, area=None, pressure=pressure)
        # a chord of the polygon is as long as the arc was: compare the perimeters
        errors.append(radius_of(formed) / exact - 1.0)
    assert errors[1] / errors[0] == pytest.approx(0.25, rel=0.05)
    assert errors[2] / errors[1] == pytest.approx(0.25, rel=0.03)
    extrapolated = errors[2] + (errors[2] - errors[1]) / 3.0
    assert abs(extrapolated) < 1e-5


def test_fine_tube_is_within_a_hundredth_of_a_percent() -> None:
    d11 = orthotropic(12e3, 24e3, 0.3, 6e3)[0]
    exact = 0.1 * math.sqrt(1.0 + 2.0 * 1e4 * 0.1 / d11)
    assert radius_of(blown_tube(160, area=None, pressure=1e4)) == pytest.approx(exact, rel=1e-4)


def test_tube_with_end_thrust_solves_both_equations_at_large_strain() -> None:
    """S11 = p R lambda_z round it and S22 = p A / (2 pi R lambda_z) along it."""
    pressure, area, radius = 8e4, 0.05, 0.1
    d11, d22, d12, _ = orthotropic(12e3, 24e3, 0.3, 6e3)

    def unbalanced(stretch: np.ndarray) -> tuple[float, float]:
        hoop, axial = stretch
        e1, e2 = 0.5 * (hoop**2 - 1.0), 0.5 * (axial**2 - 1.0)
        round_it = d11 * e1 + d12 * e2 - pressure * radius * axial
        along_it = d12 * e1 + d22 * e2 - pressure * area / (2.0 * math.pi * radius * axial)
        return float(round_it), float(along_it)

    hoop, axial = fsolve(unbalanced, (1.2, 1.1))
    formed = blown_tube(96, area=area, pressure=pressure)
    assert hoop > 1.3
    assert formed.along[:, 0] == pytest.approx(hoop, rel=1e-3)
    assert formed.along[:, 1] == pytest.approx(axial, rel=1e-3)
    assert not formed.wrinkled.any()


def test_unheld_is_free() -> None:
    assert unheld(3).free.all()
    assert not unheld(3).spring.any()

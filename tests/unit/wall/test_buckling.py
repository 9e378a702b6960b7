import math

import numpy as np
import pytest
from scipy.linalg import eigh

from teewright.errors import RangeError
from teewright.wall.buckling import free_ring, glock_mean, glock_outer, long_tube

E, T, R = 862e6, 0.006, 0.147


def ring_by_differences(points: int) -> float:
    """Critical pressure of a free ring from its energy, on a closed chain of points.

    Bending EI (w'' + w)^2 against the work of the pressure p R^3 (w'^2 - w^2), inextensible
    ring; the rigid shift (two waves less) costs nothing and is left out.
    """
    step = 2.0 * math.pi / points
    eye = np.eye(points)
    forward = (np.roll(eye, 1, axis=1) - eye) / step
    second = -forward.T @ forward
    bend = (second + eye) @ (second + eye)
    load = forward.T @ forward - eye
    values, waves = np.linalg.eigh(load)
    real = waves[:, values > 1e-2]
    found = eigh(real.T @ bend @ real, real.T @ load @ real, eigvals_only=True)
    return float(found[0]) * E * T**3 / 12.0 / R**3


def test_free_ring_against_its_own_energy() -> None:
    exact = free_ring(E, T, R)
    errors = [abs(ring_by_differences(n) / exact - 1.0) for n in (32, 64)]
    assert errors[1] < 5e-3
    # the differences are of second order
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.1)


def test_a_tube_that_does_not_contract_is_a_ring() -> None:
    assert long_tube(E, T, R, 0.0) == pytest.approx(free_ring(E, T, R))
    assert long_tube(E, T, R, 0.3) == pytest.approx(free_ring(E, T, R) / 0.91)


@pytest.mark.parametrize("ratio", [30.0, 50.0, 60.0])
def test_the_two_diameters_of_glock_lie_some_per_cent_apart(ratio: float) -> None:
    apart = glock_mean(E, ratio, 0.3) / glock_outer(E, ratio, 0.3)
    assert apart == pytest.approx((ratio / (ratio - 1.0)) ** 2.2)
    assert 1.035 < apart < 1.08


def test_the_host_helps_more_the_thinner_the_liner() -> None:
    def help_of_host(ratio: float) -> float:
        ring = long_tube(E, 1.0, (ratio - 1.0) / 2.0, 0.3)
        return glock_mean(E, ratio, 0.3) / ring

    assert 1.0 < help_of_host(30.0) < help_of_host(60.0) < help_of_host(120.0)


def test_a_thick_ring_is_refused() -> None:
    with pytest.raises(RangeError, match="dimension ratio"):
        free_ring(E, 0.1, 0.1)
    with pytest.raises(RangeError, match="Poisson"):
        glock_outer(E, 50.0, 0.6)

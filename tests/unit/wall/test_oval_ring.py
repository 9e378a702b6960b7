"""F1216 X1.2 against the exact thin ring of elliptic shape under pressure from outside."""

import math

import numpy as np
import pytest

from teewright.wall.f1216 import x1_2_pressure, x1_2_thickness

RATIOS = (15.0, 30.0, 60.0, 150.0, 400.0)
OVALITIES = (0.005, 0.01, 0.02, 0.05, 0.10)


def tensions(q: float, ratio: float, points: int = 4000) -> tuple[float, float]:
    """Tension per pressure at the sharp end's outer face and at the flat end's inner face.

    Uniform pressure on a closed line of any shape is carried by the moment P/2 (r^2 - c), r
    from the centre; that the ring closes again makes c the mean of r^2 along the line. The
    thrust at the ends of the axes is P a and P b.
    """
    a, b, t = 0.5 * (1.0 + q), 0.5 * (1.0 - q), 1.0 / ratio
    u = (np.arange(points) + 0.5) / points * np.pi / 2.0
    along = np.hypot(a * np.sin(u), b * np.cos(u))
    squared = (a * np.cos(u)) ** 2 + (b * np.sin(u)) ** 2
    mean = float(np.sum(squared * along) / np.sum(along))
    sharp = 3.0 * (a * a - mean) / t**2 - a / t
    flat = 3.0 * (mean - b * b) / t**2 - b / t
    return sharp, flat


@pytest.mark.parametrize("ratio", RATIOS)
@pytest.mark.parametrize("q", OVALITIES)
def test_the_tension_of_x1_2_is_that_of_the_ellipse_and_a_little_more(
    q: float, ratio: float
) -> None:
    exact = max(tensions(q, ratio))
    stands = x1_2_pressure(ratio, 15.5e6, ovality=q, safety_factor=1.0)
    if exact <= 0.0:
        # nowhere in tension: the standard's tension, a little high, is small at most
        assert 15.5e6 / stands < 0.05 * ratio
    else:
        # 1 to 6 % over the whole range of ovalities for which the appendix is used
        assert 1.0 <= 15.5e6 / stands / exact < 1.065


def test_a_round_ring_is_nowhere_in_tension() -> None:
    assert x1_2_pressure(50.0, 15.5e6, ovality=0.0, safety_factor=2.0) == math.inf
    assert max(tensions(0.0, 50.0)) == pytest.approx(-25.0)


@pytest.mark.parametrize("q", OVALITIES)
def test_pressure_and_thickness_are_one_equation(q: float) -> None:
    t = x1_2_thickness(30e3, 0.3, 15.5e6, ovality=q, safety_factor=2.0)
    if 5.0 <= 0.3 / t <= 500.0:
        back = x1_2_pressure(0.3 / t, 15.5e6, ovality=q, safety_factor=2.0)
        assert back == pytest.approx(30e3)
    else:
        pytest.fail("the sweep left the range of the equation")

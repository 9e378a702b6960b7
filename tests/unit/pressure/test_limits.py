import math

import pytest
from scipy.integrate import quad

from teewright.errors import InputError, RangeError
from teewright.pressure.limits import PipeWall, rating_share, ring_pressure
from teewright.units import kelvin

CLAY = PipeWall(diameter=0.2, wall=0.02, strength=10e6, safety=4.0, source="invented")
PAIRS = ((kelvin(10.0), 1.0), (kelvin(40.0), 0.9), (kelvin(60.0), 0.6))


def test_the_ring_is_in_equilibrium() -> None:
    """The hoop stress of Lamé, summed over the wall, holds the pressure on the bore."""
    a, b, p = 0.1, 0.12, ring_pressure(CLAY)

    def hoop(r: float) -> float:
        return p * a**2 / (b**2 - a**2) * (1.0 + b**2 / r**2)

    assert hoop(a) == pytest.approx(CLAY.strength / CLAY.safety)
    assert quad(hoop, a, b)[0] == pytest.approx(p * a)


@pytest.mark.parametrize("wall", [0.001, 0.004, 0.02])
def test_the_inner_face_bears_more_than_the_mean(wall: float) -> None:
    pipe = PipeWall(0.2, wall, 10e6, 1.0, "invented")
    mean = ring_pressure(pipe) * 0.2 / (2.0 * wall)
    assert mean < pipe.strength
    # thin walls: both stresses are one
    assert mean == pytest.approx(pipe.strength, rel=0.6 * wall / 0.1)


def test_rating_on_points_and_between() -> None:
    assert rating_share(PAIRS, kelvin(10.0)) == 1.0
    assert rating_share(PAIRS, kelvin(25.0)) == pytest.approx(0.95)
    assert rating_share(PAIRS, kelvin(50.0)) == pytest.approx(0.75)
    assert rating_share(PAIRS, kelvin(60.0)) == 0.6
    assert rating_share(PAIRS[:1], kelvin(10.0)) == 1.0


@pytest.mark.parametrize("celsius", [9.9, 60.1, math.nan])
def test_a_rating_is_not_stretched_beyond_its_pairs(celsius: float) -> None:
    with pytest.raises(RangeError, match="packer temperature"):
        rating_share(PAIRS, kelvin(celsius))


@pytest.mark.parametrize(
    "pairs",
    [(), ((300.0, 0.8), (320.0, 0.9)), ((320.0, 0.9), (300.0, 0.8)), ((300.0, 0.9), (300.0, 0.8))],
)
def test_a_derating_falls_with_heat(pairs: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(InputError, match="derating"):
        rating_share(pairs, 300.0)


def test_a_share_above_the_rating_is_refused() -> None:
    with pytest.raises(RangeError, match="share of the rating"):
        rating_share(((300.0, 1.1), (320.0, 1.0)), 310.0)


@pytest.mark.parametrize(
    ("name", "pipe"),
    [
        ("diameter", PipeWall(0.0, 0.02, 10e6, 4.0, "")),
        ("wall", PipeWall(0.2, 0.0, 10e6, 4.0, "")),
        ("strength", PipeWall(0.2, 0.02, math.nan, 4.0, "")),
        ("safety", PipeWall(0.2, 0.02, 10e6, 0.9, "")),
    ],
)
def test_walls_that_cannot_be_are_refused(name: str, pipe: PipeWall) -> None:
    with pytest.raises(RangeError, match=name):
        ring_pressure(pipe)

import math
from dataclasses import replace

import pytest
from scipy.integrate import solve_ivp

from teewright.errors import InputError, RangeError
from teewright.pressure.squeeze import friction_allowance, squeeze_pressure
from teewright.resin.uptake import thickness_at
from unit.resin.samples import FABRIC


@pytest.mark.parametrize("pressure", [0.0, 1e3, 50e3, 77e3, 150e3])
def test_the_table_read_back(pressure: float) -> None:
    assert squeeze_pressure(FABRIC, thickness_at(FABRIC, pressure)) == pytest.approx(pressure)


def test_thin_enough_needs_nothing_more() -> None:
    assert squeeze_pressure(FABRIC, 6e-3) == 0.0


def test_a_flat_part_of_the_table_gives_its_least_pressure() -> None:
    flat = replace(FABRIC, thickness=((0.0, 5e-3), (10e3, 4e-3), (90e3, 4e-3), (95e3, 3e-3)))
    assert squeeze_pressure(flat, 4e-3) == 10e3


@pytest.mark.parametrize("wanted", [3.9e-3, math.nan])
def test_thinner_than_measured_is_refused(wanted: float) -> None:
    with pytest.raises(RangeError, match="felt"):
        squeeze_pressure(FABRIC, wanted)


@pytest.mark.parametrize("points", [(), ((0.0, 4e-3), (1e3, 5e-3)), ((1e3, 5e-3), (0.0, 4e-3))])
def test_a_table_that_swells_is_refused(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(InputError, match="thickness of fabric felt"):
        squeeze_pressure(replace(FABRIC, thickness=points), 4e-3)


def test_friction_is_the_belt_integrated() -> None:
    friction, wrap, carried = 0.3, math.pi / 2.0, 8e3
    grown = solve_ivp(lambda _, t: friction * t, (0.0, wrap), [carried], rtol=1e-10, atol=1e-6)
    extra = float(grown.y[0, -1]) - carried
    assert friction_allowance(carried, friction, wrap) == pytest.approx(extra, rel=1e-6)
    assert friction_allowance(carried, 0.0, wrap) == 0.0


@pytest.mark.parametrize(
    ("carried", "friction", "wrap"), [(-1.0, 0.3, 1.0), (1e3, 2.1, 1.0), (1e3, 0.3, 4.0)]
)
def test_what_cannot_slide_is_refused(carried: float, friction: float, wrap: float) -> None:
    with pytest.raises(RangeError):
        friction_allowance(carried, friction, wrap)

from dataclasses import replace

import pytest

from teewright.errors import InputError, RangeError
from teewright.resin.uptake import mixed_density, stretched_thickness, thickness_at
from unit.resin.samples import FABRIC


def test_thickness_on_points_and_half_way() -> None:
    assert thickness_at(FABRIC, 0.0) == 5.0e-3
    assert thickness_at(FABRIC, 50e3) == pytest.approx(4.5e-3)
    assert thickness_at(FABRIC, 100e3) == pytest.approx(4.25e-3)
    assert thickness_at(FABRIC, 150e3) == pytest.approx(4.0e-3)


@pytest.mark.parametrize("pressure", [-1.0, 150.1e3, float("nan")])
def test_thickness_is_refused_outside_its_points(pressure: float) -> None:
    with pytest.raises(RangeError, match="felt"):
        thickness_at(FABRIC, pressure)


@pytest.mark.parametrize("points", [(), ((10.0, 1e-3), (5.0, 1e-3)), ((5.0, 1e-3), (5.0, 1e-3))])
def test_points_out_of_order_are_named(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(InputError, match="thickness of fabric felt"):
        thickness_at(replace(FABRIC, thickness=points), 5.0)


def test_one_point_holds_at_its_own_pressure() -> None:
    fabric = replace(FABRIC, thickness=((50e3, 4e-3),))
    assert thickness_at(fabric, 50e3) == 4e-3


def test_mixed_density_has_its_limits() -> None:
    assert mixed_density(1200.0, 1000.0, 1e-12) == pytest.approx(1200.0)
    assert mixed_density(1200.0, 1000.0, 1e12) == pytest.approx(1000.0)
    assert mixed_density(1100.0, 1100.0, 0.4) == pytest.approx(1100.0)
    # 1 kg of each: 2 kg in 1/1200 + 1/1000 m3
    assert mixed_density(1200.0, 1000.0, 1.0) == pytest.approx(2.0 / (1 / 1200.0 + 1 / 1000.0))


def test_stretching_keeps_the_fibre() -> None:
    thin = stretched_thickness(4.3e-3, 1.04)
    # a square metre as cut becomes 1.04 by 1.04 m
    assert thin * 1.04 * 1.04 == pytest.approx(4.3e-3)
    assert stretched_thickness(4.3e-3, 1.0) == 4.3e-3

import math
from dataclasses import replace

import pytest

from teewright.errors import InputError, RangeError
from teewright.pressure.squeeze import squeeze_pressure
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

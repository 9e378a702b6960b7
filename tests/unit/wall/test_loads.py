import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import RangeError
from teewright.wall.f1216 import ovality_factor
from teewright.wall.f1216_soil import x1_3_load, x1_3_thickness
from teewright.wall.loads import total_load


def test_soil_water_and_traffic_add() -> None:
    dry = total_load(0.0, 3.0, 18e3, 0.0)
    assert dry == pytest.approx(54e3)
    assert total_load(-2.0, 3.0, 18e3, 0.0) == dry
    # water buoys the soil up and presses itself: 2 m of it in 3 m of cover
    assert total_load(2.0, 3.0, 18e3, 4e3) == pytest.approx(19620.0 + 54e3 * 0.78 + 4e3)


@given(st.floats(1e4, 3e5), st.floats(0.0, 0.1))
@settings(max_examples=40, deadline=None)
def test_x1_3_there_and_back(load: float, q: float) -> None:
    t = x1_3_thickness(
        load,
        0.6,
        862e6,
        soil_modulus=6.9e6,
        buoyancy=0.8,
        support=0.4,
        ovality=q,
        safety_factor=2.0,
    )
    back = x1_3_load(
        0.6 / t,
        862e6,
        soil_modulus=6.9e6,
        buoyancy=0.8,
        support=0.4,
        ovality=q,
        safety_factor=2.0,
    )
    assert back == pytest.approx(load)


@pytest.mark.parametrize("ratio", [20.0, 60.0, 200.0])
def test_x1_3_of_a_round_ring_is_the_soil_supported_ring(ratio: float) -> None:
    # Moser, eq. 3.17, p. 112: 2 (E' E I / R^3)^1/2; with R = D/2 that is (32 E' E I / D^3)^1/2
    inertia = (1.0 / ratio) ** 3 / 12.0
    moser = 2.0 * math.sqrt(6.9e6 * 862e6 * inertia / 0.5**3)
    found = x1_3_load(
        ratio, 862e6, soil_modulus=6.9e6, buoyancy=1.0, support=1.0, ovality=0.0, safety_factor=1.0
    )
    assert found == pytest.approx(moser)
    oval = x1_3_load(
        ratio, 862e6, soil_modulus=6.9e6, buoyancy=1.0, support=1.0, ovality=0.05, safety_factor=1.0
    )
    # C stands under the root since -07b
    assert oval / found == pytest.approx(math.sqrt(ovality_factor(0.05)))


def test_what_is_no_load_is_refused() -> None:
    with pytest.raises(RangeError, match="soil over the crown"):
        total_load(1.0, 0.0, 18e3, 0.0)

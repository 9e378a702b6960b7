import math

import pytest

from teewright.errors import RangeError
from teewright.hydraulics.orifice import discharge_coefficient, orifice_flow


def test_a_jet_has_the_speed_of_free_fall() -> None:
    area = math.pi * 0.01**2
    assert orifice_flow(0.02, 2.0, coefficient=1.0) / area == pytest.approx(math.sqrt(4.0 * 9.81))


def test_the_coefficient_comes_back() -> None:
    flow = orifice_flow(0.02, 1.3, coefficient=0.64)
    assert discharge_coefficient(flow, 0.02, 1.3) == pytest.approx(0.64)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(RangeError, match="coefficient"):
        orifice_flow(0.02, 1.0, coefficient=1.2)
    with pytest.raises(RangeError, match="head"):
        discharge_coefficient(1e-3, 0.02, 0.0)

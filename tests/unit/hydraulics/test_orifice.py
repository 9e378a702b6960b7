import math

import pytest

from teewright.errors import RangeError
from teewright.hydraulics.orifice import orifice_flow


def test_a_jet_has_the_speed_of_free_fall() -> None:
    assert orifice_flow(3e-4, 2.0, coefficient=1.0) / 3e-4 == pytest.approx(math.sqrt(4.0 * 9.81))


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(RangeError, match="coefficient"):
        orifice_flow(3e-4, 1.0, coefficient=1.2)
    with pytest.raises(RangeError, match="head"):
        orifice_flow(3e-4, -1.0)

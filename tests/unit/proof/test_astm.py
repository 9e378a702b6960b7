import math

import pytest

from teewright.errors import InputError, RangeError
from teewright.proof import c828, f1417
from teewright.units import FOOT, INCH, PSI


def test_f1417_half_the_drop_takes_half_the_time() -> None:
    one = f1417.least_time(0.3, 90.0)
    assert f1417.least_time(0.3, 90.0, drop=0.5 * PSI) == pytest.approx(one / 2)


def test_f1417_is_continuous_where_the_length_begins_to_count() -> None:
    length = f1417.length_of_least_time(0.3)
    before, after = (f1417.least_time(0.3, length * f) for f in (0.999999, 1.000001))
    assert before == pytest.approx(after, rel=1e-5)
    assert f1417.least_time(0.3, 1.0) == before
    assert f1417.least_time(0.3, 2 * length) == pytest.approx(2 * before)


def test_f1417_refusals() -> None:
    for inches in (3.0, 36.0, math.nan):
        with pytest.raises(RangeError, match="diameter"):
            f1417.least_time(inches * INCH, 10.0)
    with pytest.raises(InputError, match="length"):
        f1417.least_time(0.3, 0.0)
    with pytest.raises(InputError, match="drop"):
        f1417.least_time(0.3, 10.0, drop=2.0 * PSI)


def test_c828_time_and_loss_are_inverse() -> None:
    time = c828.least_time(0.2, 100.0, loss=0.001)
    assert c828.air_loss(0.2, 100.0, time=time) == pytest.approx(0.001)


def test_c828_time_is_that_of_the_volume_lost() -> None:
    """Boyle's law at about the density at the pipe: Q T is the free air of a 1 psi drop."""
    diameter, length, loss = 15.0 * INCH, 300.0 * FOOT, 0.002
    volume = math.pi / 4.0 * diameter**2 * length
    free_air = volume * 1.0 / 14.7
    time = c828.least_time(diameter, length, loss=loss)
    assert loss * time == pytest.approx(free_air, rel=0.01)


def test_c828_refusals() -> None:
    for values in ((0.0, 1.0, 1.0), (1.0, -1.0, 1.0), (1.0, 1.0, math.nan)):
        with pytest.raises(InputError, match="not above 0"):
            c828.least_time(values[0], values[1], loss=values[2])

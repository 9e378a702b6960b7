import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from teewright.errors import RangeError
from teewright.pressure.stored import (
    ATMOSPHERE,
    adiabatic_energy,
    isothermal_energy,
    packer_gas,
    plug_thrust,
)
from unit.resin.samples import PACKER


@pytest.mark.parametrize("gauge", [5e3, 100e3, 250e3])
def test_energies_are_the_work_of_the_expansion(gauge: float) -> None:
    p1, volume = gauge + ATMOSPHERE, 0.04
    end = volume * p1 / ATMOSPHERE
    slow, _ = quad(lambda V: p1 * volume / V, volume, end)
    assert isothermal_energy(gauge, volume) == pytest.approx(slow, rel=1e-9)
    end = volume * (p1 / ATMOSPHERE) ** (1.0 / 1.4)
    quick, _ = quad(lambda V: p1 * (volume / V) ** 1.4, volume, end)
    assert adiabatic_energy(gauge, volume) == pytest.approx(quick, rel=1e-9)


@given(st.floats(1e2, 1e6), st.floats(1e-4, 1.0))
@settings(max_examples=40, deadline=None)
def test_the_slow_expansion_is_the_upper_bound(gauge: float, volume: float) -> None:
    assert isothermal_energy(gauge, volume) > adiabatic_energy(gauge, volume) > 0.0


def test_the_adiabatic_form_is_that_of_the_test_code() -> None:
    pressure, volume = 150e3, 0.05
    absolute = pressure + ATMOSPHERE
    code = 2.5 * absolute * volume * (1.0 - (ATMOSPHERE / absolute) ** 0.286)
    assert adiabatic_energy(pressure, volume) == pytest.approx(code, rel=1.5e-3)


def test_nothing_is_stored_without_pressure_or_gas() -> None:
    assert isothermal_energy(0.0, 1.0) == 0.0
    assert isothermal_energy(1e5, 0.0) == 0.0


def test_thrust_grows_with_the_square_of_the_bore() -> None:
    assert plug_thrust(1e5, 0.4) == pytest.approx(4.0 * plug_thrust(1e5, 0.2))
    assert plug_thrust(10e3, 0.3) == pytest.approx(10e3 * math.pi * 0.15**2)


def test_gas_of_main_and_branch_add() -> None:
    main = packer_gas(PACKER, 0.2, 0.0)
    assert main == pytest.approx(math.pi * 0.01 * PACKER.length)
    branch = math.pi * 0.0025 * PACKER.branch_reach
    assert packer_gas(PACKER, 0.2, 0.1) == pytest.approx(main + branch)


@pytest.mark.parametrize("pressure", [-1.0, 3e6, float("nan")])
def test_pressures_out_of_range_are_refused(pressure: float) -> None:
    with pytest.raises(RangeError):
        plug_thrust(pressure, 0.3)
    with pytest.raises(RangeError):
        isothermal_energy(pressure, 0.1)

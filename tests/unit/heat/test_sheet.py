"""A data sheet measured in a pot: what its own heat hid is found again."""

import math
from dataclasses import replace

import numpy as np
import pytest

from teewright.errors import InputError
from teewright.heat.sheet import fit_pot_sheet, pot_time, usual_pot
from teewright.resin.data_sheet import fit_data_sheet
from teewright.resin.kinetics import Kinetics, time_to
from teewright.units import kelvin

TRUTH = Kinetics(1e5, 55e3, 8e5, 52e3, 1.0, 2.0, 0.58, 0.9, 350e3, (kelvin(10.0), kelvin(30.0)))
WARMTHS = tuple(kelvin(t) for t in (10.0, 20.0, 30.0))
POT = usual_pot(0.1)
RELEASE = tuple((T, float(time_to(TRUTH, TRUTH.firm, T))) for T in WARMTHS)


def test_the_pot_of_a_hundred_grams_is_five_centimetres_wide() -> None:
    assert math.pi * POT.radius**2 * 2.0 * POT.radius * POT.density == pytest.approx(0.1)
    assert 2.0 * POT.radius == pytest.approx(0.048, abs=0.001)
    with pytest.raises(InputError, match="mass"):
        usual_pot(0.0)


def test_what_made_the_pots_times_is_found_again() -> None:
    working = tuple((T, pot_time(TRUTH, POT, T)) for T in WARMTHS)
    fit = fit_pot_sheet(working, RELEASE, pot=POT)
    found, true = (time_to(k, TRUTH.gel, np.array(WARMTHS)) for k in (fit.kinetics, TRUTH))
    np.testing.assert_allclose(found, true, rtol=0.02)
    assert np.abs(fit.residuals).max() < 0.01
    assert fit.kinetics.n == TRUTH.n
    assert "own heat is accounted for" in fit.assumed[0]
    # the pot hides a good part of it: taken as times at a steady temperature they mislead
    naive = fit_data_sheet(working, RELEASE).kinetics
    assert np.all(time_to(naive, naive.gel, np.array(WARMTHS)) < 0.6 * true)


def test_a_pot_that_holds_its_temperature_is_the_plain_sheet() -> None:
    held = replace(POT, radius=1e-4, film=1e5)
    working = tuple((T, float(time_to(TRUTH, TRUTH.gel, T))) for T in WARMTHS)
    wet, plain = fit_pot_sheet(working, RELEASE, pot=held), fit_data_sheet(working, RELEASE)
    T = np.array(WARMTHS)
    for mark in (TRUTH.gel, TRUTH.firm):
        np.testing.assert_allclose(
            time_to(wet.kinetics, mark, T), time_to(plain.kinetics, mark, T), rtol=0.01
        )


def test_a_larger_pot_means_a_slower_resin() -> None:
    working = tuple((T, pot_time(TRUTH, POT, T)) for T in WARMTHS)
    small, large = (
        fit_pot_sheet(working, RELEASE, pot=usual_pot(mass)).kinetics for mass in (0.05, 0.2)
    )
    assert float(time_to(small, small.gel, WARMTHS[1])) < float(
        time_to(large, large.gel, WARMTHS[1])
    )


def test_doubt_is_that_of_the_sheet() -> None:
    working = tuple((T, pot_time(TRUTH, POT, T)) for T in WARMTHS)
    one, other = (fit_pot_sheet(working, RELEASE, pot=POT, uncertainty=u) for u in (0.05, 0.1))
    np.testing.assert_allclose(other.covariance, 4.0 * one.covariance, rtol=1e-6)

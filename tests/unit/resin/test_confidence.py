"""Intervals of fitted parameters, and what a fit holds at a limit."""

import numpy as np
import pytest
from scipy.stats import t

from teewright.resin.confidence import parameters
from teewright.resin.cure_fit import at_limit, covariance_of, held_sentences, least
from teewright.resin.data_sheet import fit_data_sheet
from teewright.resin.kinetics import FloatArray, Kinetics, conversion, time_to
from teewright.resin.path import steady
from teewright.resin.readings import Marks, fit_readings
from teewright.units import kelvin

TRUTH = Kinetics(2e4, 60e3, 8e5, 55e3, 0.8, 1.6, 0.58, 0.9, 350e3, (kelvin(5.0), kelvin(35.0)))
MARKS = Marks(gel=0.58, firm=0.9, heat=350e3)


def noisy(rng: np.random.Generator, spread: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Three series of twelve readings each."""
    warmths = [kelvin(T) for T in (10.0, 20.0, 30.0)]
    times = [np.linspace(0.1, 1.3, 12) * float(time_to(TRUTH, 0.9, T)) for T in warmths]
    pairs = zip(times, warmths, strict=True)
    done = np.concatenate([conversion(TRUTH, s, steady(T)) for s, T in pairs])
    read = np.clip(done + spread * rng.standard_normal(36), 0.0, 1.0)
    return np.repeat(warmths, 12), np.concatenate(times), read


def test_the_intervals_hold_the_truth_about_as_often_as_they_say() -> None:
    rng = np.random.default_rng(7)
    truth = (55e3, 0.8, 1.6)
    hits = 0
    for _ in range(20):
        told = {p.symbol: p for p in parameters(fit_readings(*noisy(rng, 0.01), marks=MARKS))}
        hits += sum(
            told[s].low <= value <= told[s].high
            for s, value in zip(("E_2", "m", "n"), truth, strict=True)
        )
    # 57 of 60 are expected; by the binomial law fewer than 50 are one case in 3000
    assert hits >= 50


def test_rates_are_told_as_a_factor_and_the_rest_to_either_side() -> None:
    fit = fit_readings(*noisy(np.random.default_rng(1), 0.01), marks=MARKS)
    told = parameters(fit)
    assert [p.symbol for p in told] == ["k_1", "E_1", "k_2", "E_2", "m", "n"]
    rate, energy = told[2], told[3]
    assert rate.high / rate.value == pytest.approx(rate.value / rate.low)
    half = float(t.ppf(0.975, fit.freedom)) * float(np.sqrt(fit.covariance[3, 3]))
    assert energy.high - energy.value == pytest.approx(half)
    assert energy.value - energy.low == pytest.approx(half)


def test_an_energy_at_its_limit_is_held_and_said_to_be() -> None:
    # as quick in the cold: the law's energies cannot go below 0
    ends = ((kelvin(0.0), 1200.0), (kelvin(40.0), 1200.0))
    fit = fit_data_sheet(ends, tuple((T, 3000.0) for T, _ in ends))
    held = at_limit(fit.theta)
    assert held[1]
    told = parameters(fit)
    assert told[1].low == told[1].value == told[1].high
    sentence = held_sentences(fit.theta)[0]
    assert "activation energy of the start" in sentence
    assert sentence in fit.assumed


def test_derivatives_do_not_drown_in_rounding_where_an_energy_is_near_nothing() -> None:
    """A residual as rough as a march's, 1e-6, about a straight line of an energy near 0."""
    rng = np.random.default_rng(5)
    energies = np.linspace(-1.0, 1.0, 40)

    def residuals(theta: FloatArray) -> FloatArray:
        line = theta[0] + 1e-5 * (theta[1] - 3000.0) * energies
        return np.asarray(line + 1e-6 * rng.standard_normal(40))

    start = np.array([0.1, 1e4, 0.0, 1e4])
    theta, _, jacobian = least(residuals, start, relative_step=1e-2)
    assert theta[1] == pytest.approx(3000.0, abs=30.0)
    spread = np.sqrt(np.diag(covariance_of(jacobian[:, :2], 0.01)))
    exact = 0.01 / np.sqrt(np.sum((1e-5 * energies) ** 2))
    assert spread[1] == pytest.approx(exact, rel=0.02)

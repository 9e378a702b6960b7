"""Fits give back what made the data, and tell how well it is known."""

import numpy as np
import pytest

from teewright.errors import InputError
from teewright.resin.cure_fit import sampled, with_numbers
from teewright.resin.data_sheet import fit_data_sheet
from teewright.resin.kinetics import FloatArray, Kinetics, conversion, time_to, times_to
from teewright.resin.path import Path, steady
from teewright.resin.readings import Marks, fit_readings
from teewright.units import MINUTE, kelvin

TRUTH = Kinetics(2e4, 60e3, 8e5, 55e3, 0.8, 1.6, 0.58, 0.9, 350e3, (kelvin(5.0), kelvin(35.0)))
MARKS = Marks(gel=0.58, firm=0.9, heat=350e3)
WARMTHS = (kelvin(10.0), kelvin(20.0), kelvin(30.0))
DOUBLING = (
    tuple((kelvin(t), 50.0 * MINUTE * 2.0 ** (-(t - 10.0) / 10.0)) for t in (10.0, 20.0, 30.0)),
    tuple((kelvin(t), 240.0 * MINUTE * 2.0 ** (-(t - 10.0) / 10.0)) for t in (10.0, 20.0, 30.0)),
)


def readings(noise: FloatArray | None = None) -> tuple[FloatArray, FloatArray, FloatArray]:
    T = np.repeat(WARMTHS, 12)
    times, done = [], []
    for warmth in WARMTHS:
        t = np.linspace(0.1, 1.3, 12) * float(time_to(TRUTH, 0.9, warmth))
        times.append(t)
        done.append(conversion(TRUTH, t, steady(warmth)))
    a = np.concatenate(done)
    return T, np.concatenate(times), np.clip(a if noise is None else a + noise, 0.0, 1.0)


def test_a_sheet_with_as_many_times_as_parameters_is_met() -> None:
    working = ((kelvin(10.0), 2400.0), (kelvin(25.0), 1200.0))
    release = ((kelvin(10.0), 7200.0), (kelvin(25.0), 3300.0))
    fit = fit_data_sheet(working, release)
    for mark, points in ((fit.kinetics.gel, working), (fit.kinetics.firm, release)):
        for T, t in points:
            assert float(time_to(fit.kinetics, mark, T)) == pytest.approx(t, rel=1e-5)
    assert fit.freedom == 0
    assert fit.uncertainty == 0.10
    assert any("no scatter" in sentence for sentence in fit.assumed)


def test_a_resin_whose_times_do_not_know_the_temperature() -> None:
    # common practice, no source: 20 min to work with, firm 30 min later, at 0 to 40 degrees
    working = ((kelvin(0.0), 20.0 * MINUTE), (kelvin(40.0), 20.0 * MINUTE))
    release = ((kelvin(0.0), 50.0 * MINUTE), (kelvin(40.0), 50.0 * MINUTE))
    k = fit_data_sheet(working, release).kinetics
    T = np.array([kelvin(t) for t in (0.0, 13.0, 27.0, 40.0)])
    np.testing.assert_allclose(time_to(k, k.gel, T), 20.0 * MINUTE, rtol=1e-4)
    np.testing.assert_allclose(time_to(k, k.firm, T), 50.0 * MINUTE, rtol=1e-4)
    assert max(k.e1, k.e2) < 100.0


def test_a_sheet_that_doubles_each_ten_kelvin_has_the_energy_of_doubling() -> None:
    # R ln 2 / (1/293.15 - 1/303.15) is 51.2 kJ/mol, 47.8 to 51.2 over 10 to 30 degrees
    fit = fit_data_sheet(*DOUBLING)
    assert 47e3 < fit.kinetics.e1 < 52e3
    assert 47e3 < fit.kinetics.e2 < 52e3
    assert np.abs(fit.residuals).max() < 0.02
    assert fit.freedom == 2


def test_a_long_release_takes_a_higher_exponent_and_says_so() -> None:
    working = ((kelvin(10.0), 1200.0), (kelvin(30.0), 600.0))
    release = ((kelvin(10.0), 14400.0), (kelvin(30.0), 7200.0))
    fit = fit_data_sheet(working, release)
    assert fit.kinetics.n > 1.5
    assert any(f"n = {fit.kinetics.n:g}" in sentence for sentence in fit.assumed)


def test_doubt_in_the_sheet_is_doubt_in_the_times() -> None:
    rng = np.random.default_rng(1)
    working = ((kelvin(10.0), 2400.0), (kelvin(30.0), 1200.0))
    release = ((kelvin(10.0), 7200.0), (kelvin(30.0), 3600.0))
    fit = fit_data_sheet(working, release, uncertainty=0.05)
    sets = sampled(fit, rng.standard_normal((4000, 4)))
    k = fit.kinetics
    spread = np.log(times_to(sets, k.gel, kelvin(10.0))).std()
    # a datum met exactly has the doubt of the datum
    assert spread == pytest.approx(0.05, rel=0.12)
    middle = np.log(times_to(sets, k.gel, kelvin(19.6))).std()
    # the mean of two independent data, at their mid 1/T
    assert middle == pytest.approx(0.05 / 2.0**0.5, rel=0.12)


def test_scatter_beyond_the_declared_doubt_counts() -> None:
    working = tuple((T, t * s) for (T, t), s in zip(DOUBLING[0], (1.0, 0.7, 1.0), strict=True))
    fit = fit_data_sheet(working, DOUBLING[1], uncertainty=0.02)
    rest = float(fit.residuals @ fit.residuals)
    assert fit.uncertainty == pytest.approx((rest / fit.freedom) ** 0.5)
    assert fit.uncertainty > 0.1


def test_no_drawn_set_cools_faster_or_strays() -> None:
    # working and release nearly together: the spread of the parameters is enormous
    working = ((kelvin(10.0), 1200.0), (kelvin(30.0), 600.0))
    release = ((kelvin(10.0), 1400.0), (kelvin(30.0), 700.0))
    fit = fit_data_sheet(working, release)
    sets = sampled(fit, np.random.default_rng(2).standard_normal((500, 4)))
    assert np.all(sets[:, [1, 3]] >= 0.0)
    times = times_to(sets[:, None, :], fit.data[:, 1], fit.data[:, 0])
    best = times_to(fit.kinetics.numbers(), fit.data[:, 1], fit.data[:, 0])
    assert np.abs(np.log(times / best)).max() <= 0.4 + 1e-12
    assert np.log(times).std() > 0.03


def test_exact_readings_give_back_all_six_parameters() -> None:
    T, t, a = readings()
    found = fit_readings(T, t, a, marks=MARKS).kinetics
    np.testing.assert_allclose(found.numbers()[[1, 3, 4, 5]], [60e3, 55e3, 0.8, 1.6], rtol=1e-4)
    np.testing.assert_allclose(found.numbers()[[0, 2]], [2e4, 8e5], rtol=1e-3)


def test_noisy_readings_give_times_within_their_own_spread() -> None:
    rng = np.random.default_rng(3)
    misses = []
    for _ in range(6):
        fit = fit_readings(*readings(0.01 * rng.standard_normal(36)), marks=MARKS)
        sets = sampled(fit, rng.standard_normal((300, 6)))
        spread = np.log(times_to(sets, 0.9, kelvin(20.0))).std()
        best = float(time_to(fit.kinetics, 0.9, kelvin(20.0)))
        misses.append(np.log(best / float(time_to(TRUTH, 0.9, kelvin(20.0)))) / spread)
        assert 0.005 < fit.uncertainty < 0.016
    # six standard normal numbers: their root mean square is under 2 but for 3 in 10 000
    assert float(np.sqrt(np.mean(np.square(misses)))) < 2.0


def test_ramps_give_back_all_six_parameters() -> None:
    columns = []
    for number, K_min in enumerate((1.0, 8.0)):
        t = np.linspace(1.0, 120.0 / K_min * MINUTE, 60)
        path = Path((0.0, t[-1]), (kelvin(0.0), kelvin(120.0)))
        a = conversion(TRUTH, t, path, beyond=True)
        T = np.interp(t, path.times, path.temperatures)
        columns.append((T, t, a, np.full(60, number)))
    T, t, a, run = (np.concatenate(column) for column in zip(*columns, strict=True))
    found = fit_readings(T, t, a, marks=MARKS, runs=run).kinetics
    np.testing.assert_allclose(found.numbers(), TRUTH.numbers(), rtol=2e-3)


def test_a_drawn_set_makes_a_resin_of_its_own() -> None:
    fit = fit_data_sheet(*DOUBLING)
    numbers = sampled(fit, np.zeros((1, 4)))[0]
    np.testing.assert_allclose(with_numbers(fit.kinetics, numbers).numbers(), numbers)
    np.testing.assert_allclose(numbers, fit.kinetics.numbers(), rtol=1e-9)


@pytest.mark.parametrize(
    ("working", "release", "match"),
    [
        (((283.0, 900.0),), ((283.0, 1800.0), (293.0, 900.0)), "working time"),
        (((283.0, 900.0), (293.0, 950.0)), ((283.0, 1800.0), (293.0, 1700.0)), "working time"),
        (((283.0, 900.0), (293.0, 500.0)), ((283.0, 800.0), (293.0, 450.0)), "not longer"),
        (((283.0, 90.0), (293.0, 50.0)), ((283.0, 9e5), (293.0, 5e5)), "more than the law"),
        (((283.0, 900.0), (293.0, 500.0)), ((283.0, 1800.0), (283.0, 1700.0)), "release time"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(
    working: tuple[tuple[float, float], ...],
    release: tuple[tuple[float, float], ...],
    match: str,
) -> None:
    with pytest.raises(InputError, match=match):
        fit_data_sheet(working, release)


def test_too_few_readings_are_refused() -> None:
    T, t, a = readings()
    with pytest.raises(InputError, match="too few"):
        fit_readings(T[:12], t[:12], a[:12], marks=MARKS)
    with pytest.raises(InputError, match="too few"):
        fit_readings(T[::8], t[::8], a[::8], marks=MARKS)
    with pytest.raises(InputError, match="one length"):
        fit_readings(T, t[:-1], a, marks=MARKS)


def test_too_few_random_numbers_are_refused() -> None:
    with pytest.raises(InputError, match="normals"):
        sampled(fit_data_sheet(*DOUBLING), np.zeros((10, 3)))

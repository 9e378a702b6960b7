"""The law of cure: its integral and its march against each other and against exact answers."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from teewright.errors import InputError, RangeError
from teewright.resin.kinetics import Kinetics, conversion, rate, time_along, time_to, times_to
from teewright.resin.path import Path, steady
from teewright.units import GAS_CONSTANT, MINUTE, kelvin

VALID = (kelvin(0.0), kelvin(40.0))
ROOM = kelvin(20.0)


def resin(
    a1: float = 1e-3 / MINUTE,
    a2: float = 0.05 / MINUTE,
    *,
    energy: tuple[float, float] = (0.0, 0.0),
    m: float = 1.0,
    n: float = 1.0,
) -> Kinetics:
    return Kinetics(a1, energy[0], a2, energy[1], m, n, 0.5, 0.9, 350e3, VALID)


EPOXY = resin(2e7, 5e5, energy=(65e3, 52e3), m=0.8, n=1.6)


def test_rate_is_the_law_at_a_point() -> None:
    k1 = 2e7 * math.exp(-65e3 / (GAS_CONSTANT * ROOM))
    k2 = 5e5 * math.exp(-52e3 / (GAS_CONSTANT * ROOM))
    expected = (k1 + k2 * 0.3**0.8) * 0.7**1.6
    assert float(rate(EPOXY, 0.3, ROOM)) == pytest.approx(expected, rel=1e-12)


def test_rate_without_a_first_constant_peaks_where_the_exponents_say() -> None:
    # d/da of a^m (1-a)^n is zero at m/(m+n)
    a = np.linspace(0.0, 1.0, 100_001)
    peak = a[np.argmax(rate(resin(0.0, 1.0, m=0.7, n=1.9), a, ROOM))]
    assert peak == pytest.approx(0.7 / 2.6, abs=2e-5)


@pytest.mark.parametrize("n", [0.5, 1.0, 2.5])
def test_time_without_catalysis_is_the_nth_order_law(n: float) -> None:
    found = float(time_to(resin(1e-3, 0.0, n=n), 0.95, ROOM))
    exact = -math.log(0.05) if n == 1.0 else (0.05 ** (1.0 - n) - 1.0) / (n - 1.0)
    assert found == pytest.approx(exact / 1e-3, rel=1e-8)


@pytest.mark.parametrize("slow", [1e-9, 1e-6, 1e-3, 1.0])
def test_time_is_exact_for_both_exponents_one(slow: float) -> None:
    # the exact solution, turned round: t = ln((1 - a + a (k1+k2)/k1 ...)) of m = n = 1
    k1, k2 = slow * 1e-3, 1e-3
    a = np.array([0.01, 0.5, 0.9, 0.999])
    exact = np.log((k1 + k2 * a) / (k1 * (1.0 - a))) / (k1 + k2)
    found = time_to(resin(k1, k2), a, ROOM)
    np.testing.assert_allclose(found, exact, rtol=1e-8)


@pytest.mark.parametrize("m", [0.3, 0.8, 2.0])
@pytest.mark.parametrize("n", [0.5, 1.3, 3.0])
@pytest.mark.parametrize("slow", [1e-6, 1e-2])
def test_march_arrives_when_the_integral_says(m: float, n: float, slow: float) -> None:
    k = resin(slow * 1e-3, 1e-3, m=m, n=n)
    wanted = np.array([0.1, 0.6, 0.95])
    arrived = conversion(k, time_to(k, wanted, ROOM), steady(ROOM))
    np.testing.assert_allclose(arrived, wanted, atol=1e-5)


def test_conversion_along_a_warming_path_is_that_of_a_general_solver() -> None:
    path = Path((0.0, 600.0, 4000.0), (kelvin(8.0), kelvin(30.0), kelvin(12.0)))

    def slope(t: float, a: np.ndarray) -> np.ndarray:
        T = np.interp(t, path.times, path.temperatures)
        return np.asarray(rate(EPOXY, np.clip(a, 0.0, 1.0), float(T)))

    times = np.array([0.0, 300.0, 600.0, 2000.0, 4000.0, 9000.0])
    found = conversion(EPOXY, times, path)
    first = solve_ivp(slope, (0.0, 600.0), [0.0], rtol=1e-11, atol=1e-13)
    later = solve_ivp(slope, (600.0, 4000.0), first.y[:, -1], rtol=1e-11, atol=1e-13)
    last = solve_ivp(slope, (4000.0, 9000.0), later.y[:, -1], rtol=1e-11, atol=1e-13)
    assert found[2] == pytest.approx(first.y[0, -1], abs=1e-7)
    assert found[4] == pytest.approx(later.y[0, -1], abs=1e-7)
    assert found[5] == pytest.approx(last.y[0, -1], abs=1e-7)


def test_equal_energies_make_any_path_a_stretched_clock() -> None:
    # with one energy, da/dt = exp(-E/RT(t)) f(a): only the integral of exp(-E/RT) counts
    k = resin(2e6, 2e7, energy=(60e3, 60e3), m=1.2, n=1.4)
    path = Path((0.0, 3000.0), (kelvin(5.0), kelvin(35.0)))
    t = np.linspace(0.0, 3000.0, 200_001)
    speed = np.exp(-60e3 / GAS_CONSTANT / np.interp(t, path.times, path.temperatures))
    same = float(np.trapezoid(speed, t)) / math.exp(-60e3 / (GAS_CONSTANT * ROOM))
    warming = conversion(k, np.array([3000.0]), path)
    assert warming == pytest.approx(conversion(k, np.array([same]), steady(ROOM)), abs=1e-7)


def test_time_along_a_path_is_where_the_conversion_gets_there() -> None:
    path = Path((0.0, 1800.0), (kelvin(10.0), kelvin(25.0)))
    time = time_along(EPOXY, EPOXY.gel, path)
    assert conversion(EPOXY, np.array([time]), path)[0] == pytest.approx(EPOXY.gel, abs=1e-6)


def test_many_sets_at_once_are_each_on_its_own() -> None:
    sets = np.stack([EPOXY.numbers(), resin(n=2.0).numbers(), resin(m=0.4).numbers()])
    together = times_to(sets[:, None, :], np.array([0.2, 0.9]), ROOM)
    alone = [[float(times_to(one, a, ROOM)) for a in (0.2, 0.9)] for one in sets]
    np.testing.assert_allclose(together, alone, rtol=1e-13)


def test_a_seed_starts_what_has_no_first_constant() -> None:
    # m = n = 1, k1 = 0: logistic growth, ln(a/(1-a)) rises by k2 t
    k = resin(0.0, 1e-3)
    exact = (math.log(0.9 / 0.1) - math.log(0.01 / 0.99)) / 1e-3
    assert float(time_to(k, 0.9, ROOM, seed=0.01)) == pytest.approx(exact, rel=1e-8)
    found = conversion(k, np.array([exact]), steady(ROOM), seed=0.01)
    assert found[0] == pytest.approx(0.9, abs=1e-6)


def test_what_never_starts_is_refused() -> None:
    k = resin(0.0, 1e-3)
    with pytest.raises(InputError, match="never starts"):
        time_to(k, 0.5, ROOM)
    with pytest.raises(InputError, match="never starts"):
        conversion(k, np.array([1.0]), steady(ROOM))


def test_outside_the_data_is_refused_unless_asked_for() -> None:
    with pytest.raises(RangeError, match="temperature = 50"):
        time_to(EPOXY, 0.5, kelvin(50.0))
    with pytest.raises(RangeError):
        conversion(EPOXY, np.array([1.0]), steady(kelvin(-5.0)))
    assert float(time_to(EPOXY, 0.5, kelvin(50.0), beyond=True)) < float(
        time_to(EPOXY, 0.5, kelvin(40.0))
    )


@pytest.mark.parametrize(
    ("field", "value"), [("a1", -1.0), ("e2", math.nan), ("n", 9.0), ("heat", math.inf)]
)
def test_a_resin_that_cannot_be_is_refused(field: str, value: float) -> None:
    values = {
        "a1": 1.0, "e1": 5e4, "a2": 1.0, "e2": 5e4, "m": 1.0, "n": 1.0,
        "gel": 0.5, "firm": 0.9, "heat": 3e5,
    }  # fmt: skip
    with pytest.raises(InputError, match=field):
        Kinetics(**{**values, field: value}, valid=VALID)


def test_gel_comes_before_firm() -> None:
    with pytest.raises(InputError, match="gel and firm"):
        Kinetics(1.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.9, 0.5, 3e5, VALID)


@pytest.mark.parametrize("times", [(), (1.0, 1.0), (2.0, 1.0)])
def test_a_path_has_ascending_times(times: tuple[float, ...]) -> None:
    with pytest.raises(InputError, match="path"):
        Path(times, tuple(ROOM for _ in times))


@pytest.mark.parametrize("wanted", [0.0, 1.0, 1.5])
def test_a_conversion_that_is_not_reached_is_refused(wanted: float) -> None:
    with pytest.raises(InputError, match="cannot be reached"):
        time_to(EPOXY, wanted, ROOM)

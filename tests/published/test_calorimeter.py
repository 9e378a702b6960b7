"""Cure along ramps of a calorimeter: fitted to two published runs, held to a third.

The runs are measured heat flows of a thermosetting resin for pultrusion, heated at 2, 5 and 7 K a
minute, baseline taken off. Of the published tables every tenth to fourteenth row stands here. The
heats of the three runs are 361 to 405 J/g; each run's conversion is its own heat so far over its
own whole heat.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from scipy.integrate import cumulative_trapezoid

from support import Check
from teewright.resin.cure_fit import CureFit
from teewright.resin.kinetics import FloatArray, time_along
from teewright.resin.path import Path
from teewright.resin.readings import Marks, fit_readings
from teewright.units import celsius, kelvin

SOURCE = "Heat flow of a thermosetting resin, data of github.com/craiglawrie/TimeAtTemperature"
WHERE = "folder data, commit c5aaab51, runs at 2, 5 and 7 K/min"
WHY = (
    "2 K: the runs' heats differ by 6 % from their mean, which is 1.5 K at 60 kJ/mol, and the "
    "sample's temperature is known to some tenths"
)
Row = tuple[float, float, float]
"""Time [s], temperature [degC], heat flow [mW]."""
# fmt: off
RUNS: dict[int, tuple[Row, ...]] = {
    2: (
        (1870, 72.3318, 0.0031), (2024, 77.4665, 0.012), (2178, 82.6015, 0.0262),
        (2332, 87.7371, 0.0497), (2486, 92.8735, 0.0899), (2640, 98.0115, 0.1607),
        (2794, 103.152, 0.2827), (2948, 108.296, 0.4821), (3102, 113.446, 0.8062),
        (3256, 118.603, 1.2984), (3410, 123.768, 1.9354), (3564, 128.928, 2.4854),
        (3718, 134.07, 2.6027), (3872, 139.19, 2.2677), (4026, 144.301, 1.755),
        (4180, 149.414, 1.2645), (4334, 154.53, 0.8706), (4488, 159.652, 0.5817),
        (4642, 164.777, 0.3803), (4796, 169.906, 0.2452), (4950, 175.036, 0.1535),
        (5104, 180.167, 0.0934), (5258, 185.3, 0.0521), (5412, 190.433, 0.027),
        (5566, 195.566, 0.011), (5720, 200.699, 0.0023),
    ),
    5: (
        (1920, 89.9524, 0), (1980, 94.9556, 0.0151), (2040, 99.9604, 0.0531),
        (2100, 104.968, 0.1335), (2160, 109.978, 0.2786), (2220, 114.993, 0.5203),
        (2280, 120.016, 0.9089), (2340, 125.049, 1.5099), (2400, 130.096, 2.414),
        (2460, 135.161, 3.703), (2520, 140.244, 5.3687), (2580, 145.334, 7.1566),
        (2640, 150.402, 8.4685), (2700, 155.421, 8.7199), (2760, 160.391, 7.9292),
        (2820, 165.332, 6.5583), (2880, 170.267, 5.0555), (2940, 175.207, 3.6816),
        (3000, 180.159, 2.5592), (3060, 185.122, 1.7037), (3120, 190.096, 1.0872),
        (3180, 195.079, 0.6642), (3240, 200.069, 0.389), (3300, 205.063, 0.2152),
        (3360, 210.059, 0.1099), (3420, 215.056, 0.0387), (3480, 220.054, 0.0039),
    ),
    7: (
        (756, 98.1636, 0.0011), (798, 103.067, 0.0162), (840, 107.971, 0.0528),
        (882, 112.877, 0.1223), (924, 117.786, 0.2471), (966, 122.699, 0.4531),
        (1008, 127.617, 0.7799), (1050, 132.544, 1.2857), (1092, 137.484, 2.05),
        (1134, 142.44, 3.156), (1176, 147.414, 4.6439), (1218, 152.399, 6.3715),
        (1260, 157.375, 7.8677), (1302, 162.309, 8.4747), (1344, 167.19, 7.9724),
        (1386, 172.037, 6.7474), (1428, 176.873, 5.3022), (1470, 181.712, 3.9473),
        (1512, 186.561, 2.8117), (1554, 191.422, 1.9318), (1596, 196.294, 1.2778),
        (1638, 201.173, 0.8099), (1680, 206.059, 0.4808), (1722, 210.95, 0.2551),
        (1764, 215.844, 0.1103), (1806, 220.74, 0.0293),
    ),
}
# fmt: on


@dataclass(frozen=True, slots=True)
class Run:
    """A run: time [s], temperature [K] and conversion [-], each of shape (count,)."""

    times: FloatArray
    temperatures: FloatArray
    conversions: FloatArray

    def temperature_at(self, conversion: float) -> float:
        """Temperature at which it was measured to be so far [degC]."""
        return celsius(float(np.interp(conversion, self.conversions, self.temperatures)))


@cache
def run(rate: int) -> Run:
    times, T, flow = np.array(RUNS[rate]).T
    heat = np.asarray(cumulative_trapezoid(flow, times, initial=0))
    return Run(times - times[0] + 1.0, np.array([kelvin(t) for t in T]), heat / heat[-1])


@cache
def fitted(*rates: int) -> CureFit:
    runs = [run(rate) for rate in rates]
    numbers = np.repeat(np.arange(len(runs)), [len(one.times) for one in runs])
    columns = zip(*((r.temperatures, r.times, r.conversions) for r in runs), strict=True)
    T, t, a = (np.concatenate(column) for column in columns)
    return fit_readings(T, t, a, marks=Marks(gel=0.58, firm=0.9, heat=385e3), runs=numbers)


def predicted(conversion: float, rate: int, of: tuple[int, ...]) -> float:
    """Temperature at which a run should be so far, by the law of the other runs [degC]."""
    told = run(rate)
    path = Path(tuple(told.times), tuple(told.temperatures))
    time = time_along(fitted(*of).kinetics, conversion, path, beyond=True)
    return celsius(float(np.interp(time, path.times, path.temperatures)))


def row(conversion: float, rate: int, of: tuple[int, ...], expected: float) -> Check:
    others = " and ".join(str(one) for one in of)
    return Check(
        f"Temperature of {100 * conversion:.0f} % cure at {rate} K/min, from {others} K/min",
        SOURCE,
        WHERE,
        "published",
        expected,
        "°C",
        2.0,
        WHY,
        lambda: predicted(conversion, rate, of),
    )


ASKED = (
    (0.1, 5, (2, 7), 133.9),
    (0.3, 5, (2, 7), 146.8),
    (0.5, 5, (2, 7), 155.3),
    (0.7, 5, (2, 7), 164.0),
    (0.9, 5, (2, 7), 177.9),
    (0.5, 7, (2, 5), 163.7),
    (0.9, 7, (2, 5), 185.9),
)
"""Conversion [-], rate of the run and of those that are fitted [K/min], temperature [degC]."""
CHECKS: tuple[Check, ...] = tuple(row(*one) for one in ASKED)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()


def test_the_numbers_expected_are_those_of_the_run() -> None:
    """Read off the run that the fit has not seen, by its own heat so far."""
    for check, (conversion, rate, *_) in zip(CHECKS, ASKED, strict=True):
        assert check.expected == pytest.approx(run(rate).temperature_at(conversion), abs=0.06)


def test_the_runs_hold_about_the_same_heat() -> None:
    masses = {2: 6.82, 5: 11.50, 7: 7.20}
    heats = [
        float(np.trapezoid([w for *_, w in RUNS[rate]], run(rate).times)) / mass
        for rate, mass in masses.items()
    ]
    assert max(abs(heat / np.mean(heats) - 1.0) for heat in heats) < 0.07

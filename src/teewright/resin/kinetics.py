"""How fast a resin cures: rate, conversion along any temperatures, time to a conversion.

Kamal and Sourour's autocatalytic law: da/dt = (k1 + k2 a^m) (1 - a)^n with k_i = A_i
exp(-E_i / (R T)), a the conversion from 0 to 1 (Sourour and Kamal 1976, Thermochim. Acta 14, 41).

At one temperature the time to a conversion is an integral, not a march:
t = integral of da / rate(a). With v = ln((a + c) / (1 - a)), c = (k1/k2)^(1/m), its integrand is
smooth at both ends, and v is graded towards the start, where a^m is not smooth. Gauss's rule then
does hundreds of parameter sets in one go.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from teewright.errors import InputError, RangeError
from teewright.resin.kernel import A1, A2, E1, E2, M, N, along
from teewright.resin.path import Path
from teewright.units import GAS_CONSTANT

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

LAW = "the resin's kinetics, fitted to its data"
ORDERS = (0.0, 5.0)
"""Exponents m and n that are taken [-]."""
NODES = 64
"""Of Gauss's rule: 1e-8 of the time or better, see the tests."""
GRADE = 3.0
"""Power by which the nodes gather at the start."""
TOLERANCE = 1e-8
"""Largest error of one step over the conversion [-]."""
COUNT = 6
"""Numbers of one parameter set: A1, E1, A2, E2, m, n."""


@dataclass(frozen=True, slots=True)
class Kinetics:
    """The cure of one resin.

    Attributes:
        a1: Rate without catalysis by what has cured, factor [1/s].
        e1: The same, activation energy [J/mol].
        a2: Rate with catalysis by what has cured, factor [1/s].
        e2: The same, activation energy [J/mol].
        m: Exponent of the conversion [-].
        n: Exponent of what is left [-].
        gel: Conversion at the end of workability [-].
        firm: Conversion from which the packer may let go [-].
        heat: Total heat of reaction per mass of resin [J/kg].
        valid: Lowest and highest temperature of the data behind it [K].
    """

    a1: float
    e1: float
    a2: float
    e2: float
    m: float
    n: float
    gel: float
    firm: float
    heat: float
    valid: tuple[float, float]

    def __post_init__(self) -> None:
        for name in ("a1", "a2", "heat"):
            _hold(name, getattr(self, name), (0.0, math.inf))
        for name in ("e1", "e2"):
            _hold(name, getattr(self, name), (0.0, 5e5))
        for name in ("m", "n"):
            _hold(name, getattr(self, name), ORDERS)
        if not 0.0 < self.gel < self.firm < 1.0:
            raise InputError(
                "are not in order",
                field="gel and firm",
                value=(self.gel, self.firm),
                allowed="0 < gel < firm < 1",
            )
        if not 0.0 < self.valid[0] <= self.valid[1] < math.inf:
            raise InputError(
                "is no range", field="valid", value=self.valid, allowed="lowest, highest, above 0 K"
            )
        if self.a1 == self.a2 == 0.0:
            raise InputError("are both zero: it never cures", field="a1 and a2", value=0.0)

    def numbers(self) -> FloatArray:
        """A1, E1, A2, E2, m, n as one array [1/s, J/mol, 1/s, J/mol, -, -]."""
        return np.array([self.a1, self.e1, self.a2, self.e2, self.m, self.n])


def rate(
    k: Kinetics, conversion: FloatArray | float, temperature: FloatArray | float
) -> FloatArray:
    """Rate of conversion, (k1 + k2 a^m) (1 - a)^n (Sourour and Kamal 1976).

    Args:
        k: The resin.
        conversion: From 0 to 1 [-], any shape.
        temperature: [K], of a shape that broadcasts with it.

    Returns:
        Rate [1/s].

    Raises:
        InputError: A conversion outside 0 to 1 or a temperature of 0 K or less.
    """
    a = np.asarray(conversion, dtype=float)
    T = np.asarray(temperature, dtype=float)
    if not (np.all((a >= 0.0) & (a <= 1.0)) and np.all(T > 0.0)):
        raise InputError(
            "cannot be", field="conversion or temperature", allowed="0 to 1, and above 0 K"
        )
    k1, k2 = _constants(k.numbers(), T)
    return np.asarray((k1 + k2 * a**k.m) * (1.0 - a) ** k.n)


def time_to(
    k: Kinetics,
    conversion: FloatArray | float,
    temperature: FloatArray | float,
    *,
    seed: float = 0.0,
    beyond: bool = False,
) -> FloatArray:
    """Time to a conversion at one temperature each.

    Args:
        k: The resin.
        conversion: Wanted, above the seed and below 1 [-], any shape.
        temperature: [K], of a shape that broadcasts with it.
        seed: Conversion at time 0 [-].
        beyond: Also outside the temperatures of the data; whoever asks for it has to say so
            wherever the time is shown.

    Returns:
        Times [s].

    Raises:
        InputError: The resin has k1 = 0 and no seed, so that it never starts, or a conversion
            that is not between seed and 1.
        RangeError: A temperature outside the range of the data.
    """
    T = np.asarray(temperature, dtype=float)
    if not beyond:
        check_temperatures(k, T)
    return times_to(k.numbers(), conversion, T, seed=seed)


def times_to(
    numbers: FloatArray,
    conversion: FloatArray | float,
    temperature: FloatArray | float,
    *,
    seed: float = 0.0,
) -> FloatArray:
    """Time to a conversion of many parameter sets in one go, no range checked.

    Args:
        numbers: A1, E1, A2, E2, m, n [1/s, J/mol, 1/s, J/mol, -, -], shape (..., 6).
        conversion: Wanted [-], of a shape that broadcasts with `numbers` less its last axis.
        temperature: [K], the same.
        seed: Conversion at time 0 [-].

    Returns:
        Times [s].

    Raises:
        InputError: A set with k1 = 0 and no seed, or a conversion not between seed and 1.
    """
    a = np.asarray(conversion, dtype=float)
    if not np.all((a > seed) & (a < 1.0)) or seed < 0.0:
        raise InputError(
            "cannot be reached", field="conversion", value=conversion, allowed=f"{seed} to 1"
        )
    if seed == 0.0 and np.any((numbers[..., A1] == 0.0) & (numbers[..., M] > 0.0)):
        raise InputError(
            "never starts", field="a1", value=0.0, allowed="above 0, or a conversion to start from"
        )
    k1, k2 = _constants(numbers, np.asarray(temperature, dtype=float))
    shape = np.broadcast_shapes(k1.shape, a.shape)
    k1, k2 = np.broadcast_to(k1, shape)[..., None], np.broadcast_to(k2, shape)[..., None]
    m, n = numbers[..., M, None], numbers[..., N, None]
    with np.errstate(divide="ignore", over="ignore"):
        ratio = np.minimum(k1 / np.maximum(k2, 1e-300), 1.0)
        c = ratio ** (1.0 / np.maximum(m, 0.05))
    low = np.log((seed + c) / (1.0 - seed))
    high = np.log((np.broadcast_to(a, shape)[..., None] + c) / (1.0 - a[..., None]))
    place, weight = _gauss()
    grown = np.exp(low + (high - low) * place)
    left = (1.0 + c) / (1.0 + grown)
    done = np.maximum((grown - c) / (1.0 + grown), 0.0)
    # da/dv = left (1 - left / (1 + c)) = left grown / (1 + grown)
    slowness = left ** (1.0 - n) * grown / (1.0 + grown) / (k1 + k2 * done**m)
    return np.asarray((high - low)[..., 0] * (slowness @ weight))


def conversion(
    k: Kinetics,
    times: FloatArray,
    path: Path,
    *,
    seed: float = 0.0,
    beyond: bool = False,
) -> FloatArray:
    """Conversion at given times along a temperature history.

    Args:
        k: The resin.
        times: Ascending, the first one 0 or later [s].
        path: The temperature, from time 0.
        seed: Conversion at time 0 [-].
        beyond: Also outside the temperatures of the data.

    Returns:
        Conversions [-].

    Raises:
        InputError: The times do not ascend, or the resin never starts.
        RangeError: A temperature of the path outside the range of the data.
    """
    _check_start(k, seed)
    wanted = np.asarray(times, dtype=float)
    if wanted.size == 0 or wanted[0] < 0.0 or np.any(np.diff(wanted) < 0.0):
        raise InputError("do not ascend", field="times", value=times, allowed="from 0 upwards")
    if not beyond:
        check_temperatures(k, np.array(path.temperatures))
    knots = np.array(path.times)
    inside = knots[(knots > 0.0) & (knots < wanted[-1])]
    stops = np.unique(np.concatenate([[0.0], wanted, inside]))
    curve = (knots, np.array(path.temperatures))
    found = np.array(along(k.numbers(), curve, stops, seed, TOLERANCE))
    return np.asarray(found[np.searchsorted(stops, wanted)])


def time_along(
    k: Kinetics, wanted: float, path: Path, *, seed: float = 0.0, beyond: bool = False
) -> float:
    """Time to a conversion along a temperature history.

    Args:
        k: The resin.
        wanted: Conversion [-], above the seed and below 1.
        path: The temperature, from time 0.
        seed: Conversion at time 0 [-].
        beyond: Also outside the temperatures of the data.

    Returns:
        Time [s].

    Raises:
        InputError: The resin never starts, or the conversion is not between seed and 1.
        RangeError: A temperature of the path outside the range of the data.
    """
    T = np.array([min(path.temperatures), max(path.temperatures)])
    bounds = time_to(k, wanted, T, seed=seed, beyond=beyond)
    early, late = 0.999 * float(bounds.min()), 1.001 * float(bounds.max())

    def short(time: float) -> float:
        done = conversion(k, np.array([time]), path, seed=seed, beyond=True)
        return float(done[0]) - wanted

    return float(brentq(short, early, late, xtol=1e-6, rtol=1e-9))


def check_temperatures(k: Kinetics, temperatures: FloatArray) -> None:
    """Refuse temperatures outside those of the data.

    Args:
        k: The resin.
        temperatures: [K].

    Raises:
        RangeError: One of them is outside.
    """
    low, high = k.valid
    for value in (float(temperatures.min()), float(temperatures.max())):
        if not low <= value <= high:
            raise RangeError("temperature", value, low=low, high=high, unit="K", law=LAW)


def _check_start(k: Kinetics, seed: float) -> None:
    if not 0.0 <= seed < 1.0:
        raise InputError("is no conversion to start from", field="seed", value=seed, allowed="0-1")
    if seed == 0.0 and k.a1 == 0.0 and k.m > 0.0:
        raise InputError(
            "never starts", field="a1", value=0.0, allowed="above 0, or a conversion to start from"
        )


def _constants(numbers: FloatArray, temperature: FloatArray) -> tuple[FloatArray, FloatArray]:
    inverse = -1.0 / (GAS_CONSTANT * temperature)
    k1 = numbers[..., A1] * np.exp(numbers[..., E1] * inverse)
    k2 = numbers[..., A2] * np.exp(numbers[..., E2] * inverse)
    return np.asarray(k1), np.asarray(k2)


@cache
def _gauss() -> tuple[FloatArray, FloatArray]:
    node, weight = np.polynomial.legendre.leggauss(NODES)
    share = 0.5 * (node + 1.0)
    return share**GRADE, 0.5 * weight * GRADE * share ** (GRADE - 1.0)


def _hold(name: str, value: float, limits: tuple[float, float]) -> None:
    low, high = limits
    if not (low <= value <= high and math.isfinite(value)):
        raise InputError("is out of range", field=name, value=value, allowed=f"{low} to {high}")

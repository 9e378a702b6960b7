"""A fit of a resin's kinetics: the best set, how well it is known, and sets drawn from it.

The fits themselves are in `data_sheet` (working and release times) and `readings` (conversions).
Rate constants are fitted as their logarithm at a temperature in the midst of the data, where they
hang least together with the activation energies.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from teewright.errors import ConvergenceError, InputError
from teewright.resin.kinetics import COUNT, FloatArray, Kinetics, times_to
from teewright.units import GAS_CONSTANT

ENERGY = (0.0, 3e5)
"""Activation energies that a fit may find [J/mol]."""
STRAY = 4.0
"""Draws whose times leave so many uncertainties of a datum are pulled in [-]."""


LOW = np.array([-60.0, ENERGY[0], -60.0, ENERGY[0], 0.05, 0.2])
HIGH = np.array([20.0, ENERGY[1], 20.0, ENERGY[1], 5.0, 5.0])
"""Limits of theta, in its own units."""
SCALE = np.array([1.0, 2e4, 1.0, 2e4, 1.0, 1.0])
"""Sizes by which theta changes, in its own units."""
SEEN = 1e-10
"""What moves the data less than that, over what moves them most, they do not see [-]."""
AT_LIMIT = 1e-5
"""So near to a limit, over the size of its changes, is at it [-]."""
NAMES = (
    "rate of the start",
    "activation energy of the start",
    "rate of the main cure",
    "activation energy of the main cure",
    "exponent of the conversion",
    "exponent of what is left",
)
"""Of theta."""
ROUNDING = 1.5e-8
"""Step of a difference where the residuals are smooth to the last digit [-]."""


class Basis(StrEnum):
    """What a fit rests on, in words."""

    SHEET = "the data sheet"
    CONVERSIONS = "readings of conversion"
    HEAT_FLOW = "readings of heat flow"


@dataclass(frozen=True, slots=True)
class CureFit:
    """A resin's kinetics and how well they are known.

    Attributes:
        kinetics: The best set.
        fitted: What the data settled, one plain name each.
        assumed: What was chosen and not measured, one sentence each.
        theta: ln k1 and ln k2 at the reference temperature [ln 1/s], E1, E2 [J/mol], and m, n
            [-] where they were fitted, in the order ln k1, E1, ln k2, E2, m, n.
        covariance: Of theta, shape (4, 4) or (6, 6).
        reference: Temperature at which the rates are told [K].
        residuals: Model over datum: ln of times, or difference of conversions [-].
        uncertainty: Standard uncertainty of one datum, as the residuals are told [-].
        freedom: Data less parameters.
        data: Temperature [K], conversion [-] and time [s] that a drawn set must not stray from,
            shape (n, 3).
        stray: Largest |ln| by which a drawn set may stray from these times [-].
        basis: What it was fitted to.
    """

    kinetics: Kinetics
    fitted: tuple[str, ...]
    assumed: tuple[str, ...]
    theta: FloatArray
    covariance: FloatArray
    reference: float
    residuals: FloatArray
    uncertainty: float
    freedom: int
    data: FloatArray
    stray: float
    basis: Basis = Basis.SHEET


def sampled(fit: CureFit, normals: FloatArray) -> FloatArray:
    """Parameter sets drawn from the covariance of a fit.

    Args:
        fit: The fit.
        normals: Independent standard normal numbers, shape (count, at least len(theta)).

    Returns:
        A1, E1, A2, E2, m, n of each set [1/s, J/mol, 1/s, J/mol, -, -], shape (count, 6). No
        activation energy is below 0. A set whose times stray from the data by more than four
        of their uncertainties is pulled half way to the best set until it does not: so far
        out the covariance tells nothing.

    Raises:
        InputError: Too few normal numbers per set.
    """
    size = len(fit.theta)
    if normals.ndim != 2 or normals.shape[1] < size:
        raise InputError(
            "has too few numbers", field="normals", value=normals.shape, allowed=f"(count, {size})"
        )
    values, vectors = np.linalg.eigh(fit.covariance)
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    offset = normals[:, :size] @ root.T
    best = times_to(fit.kinetics.numbers(), fit.data[:, 1], fit.data[:, 0])
    for _ in range(30):
        sets = _sets(fit, offset)
        times = times_to(sets[:, None, :], fit.data[:, 1], fit.data[:, 0])
        astray = np.any(np.abs(np.log(times / best)) > fit.stray, axis=1)
        if not astray.any():
            break
        offset[astray] *= 0.5
    return sets


def with_numbers(k: Kinetics, numbers: FloatArray) -> Kinetics:
    """The same resin with another parameter set, shape (6,), as `sampled` gives them."""
    a1, e1, a2, e2, m, n = (float(value) for value in numbers)
    return replace(k, a1=a1, e1=e1, a2=a2, e2=e2, m=m, n=n)


def numbers_of(theta: FloatArray, reference: float) -> FloatArray:
    """Parameter sets from rates at the reference temperature.

    Args:
        theta: ln k1, E1, ln k2, E2, m, n, shape (..., 6).
        reference: Temperature of the rates [K].

    Returns:
        A1, E1, A2, E2, m, n, the same shape [1/s, J/mol, 1/s, J/mol, -, -].
    """
    found = np.array(theta, dtype=float)
    for place in (0, 2):
        power = theta[..., place] + theta[..., place + 1] / (GAS_CONSTANT * reference)
        found[..., place] = np.exp(power)
    return found


def _sets(fit: CureFit, offset: FloatArray) -> FloatArray:
    theta = np.empty((len(offset), COUNT))
    theta[:] = (0.0,) * 4 + (fit.kinetics.m, fit.kinetics.n)
    theta[:, : len(fit.theta)] = fit.theta + offset
    theta[:, (1, 3)] = np.clip(theta[:, (1, 3)], *ENERGY)
    theta[:, 4:] = np.maximum(theta[:, 4:], 0.05)
    return numbers_of(theta, fit.reference)


def kinetics_of(
    theta: FloatArray,
    reference: float,
    choice: tuple[float, float, float],
    ends: tuple[float, float],
) -> Kinetics:
    """The resin of fitted parameters.

    Args:
        theta: ln k1, E1, ln k2, E2, m, n [ln 1/s, J/mol, ln 1/s, J/mol, -, -].
        reference: Temperature of the rates [K].
        choice: Conversions at gel and when firm [-], heat of reaction [J/kg].
        ends: Lowest and highest temperature of the data [K].

    Returns:
        The kinetics.
    """
    a1, e1, a2, e2, m, n = (float(value) for value in numbers_of(theta, reference))
    gel, firm, heat = choice
    return Kinetics(a1, e1, a2, e2, m, n, gel, firm, heat, ends)


def least(
    residuals: Callable[[FloatArray], FloatArray],
    start: FloatArray,
    *,
    relative_step: float = ROUNDING,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Least squares within the bounds of a cure's parameters.

    Args:
        residuals: Of theta, whose squares are summed [-].
        start: Theta to start from, 4 or 6 long.
        relative_step: Of the differences that stand for derivatives [-], over 1 for rates and
            exponents and over 20 kJ/mol for energies, where the residuals are too rough for the
            smallest.

    Returns:
        Theta, the residuals, and their derivatives by theta; 0 by what ended at its limit.

    Raises:
        ConvergenceError: The search did not settle.
    """
    low, high, scale = LOW[: len(start)], HIGH[: len(start)], SCALE[: len(start)]
    # off the bounds, where the search may not start
    inside = np.clip(start, low + 1e-9 * scale, high - 1e-9 * scale)
    fine = 1e-12 if relative_step == ROUNDING else 1e-6
    found = least_squares(
        residuals,
        inside,
        jac=partial(_slopes, residuals, relative_step * scale, high),
        bounds=(low, high),
        x_scale=scale,
        xtol=fine,
        ftol=fine,
        gtol=fine,
    )
    if not found.success:
        raise ConvergenceError(
            "the fit of the cure", iterations=int(found.nfev), residual=float(found.cost)
        )
    # what ends at its limit is held there: about it the law of small changes says nothing
    slopes = np.where(at_limit(found.x), 0.0, np.asarray(found.jac))
    return np.asarray(found.x), np.asarray(found.fun), slopes


def held_sentences(theta: FloatArray) -> tuple[str, ...]:
    """What a fit held at a limit, one sentence each: no doubt of it is told."""
    return tuple(
        f"the {name} ended at the limit of what a fit may find and is held there"
        for name, held in zip(NAMES, at_limit(theta), strict=False)
        if held
    )


def at_limit(theta: FloatArray) -> NDArray[np.bool_]:
    """Which of theta stand at a limit, shape (len(theta),)."""
    low, high, scale = (limit[: len(theta)] for limit in (LOW, HIGH, SCALE))
    return np.asarray(np.minimum(theta - low, high - theta) < AT_LIMIT * scale)


def _slopes(
    residuals: Callable[[FloatArray], FloatArray],
    steps: FloatArray,
    high: FloatArray,
    theta: FloatArray,
) -> FloatArray:
    """Differences that stand for derivatives, of a step that an energy of 0 keeps too."""
    here = residuals(theta)
    found = np.empty((len(here), len(theta)))
    for place, step in enumerate(steps):
        beside = theta.copy()
        beside[place] += step if theta[place] + step <= high[place] else -step
        found[:, place] = (residuals(beside) - here) / (beside[place] - theta[place])
    return found


def covariance_of(jacobian: FloatArray, uncertainty: float) -> FloatArray:
    """Covariance of theta from the derivatives of the residuals and the uncertainty of one.

    What the data do not see at all is left with no spread, and is to be told as assumed.
    """
    # energies are a hundred thousand times the exponents: in like sizes no variance is lost
    scale = SCALE[: jacobian.shape[1]]
    inverse = scale[:, None] * np.linalg.pinv(jacobian * scale, rcond=SEEN)
    return np.asarray(uncertainty**2 * (inverse @ inverse.T), dtype=np.float64)

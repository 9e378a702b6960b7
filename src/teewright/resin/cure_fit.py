"""A fit of a resin's kinetics: the best set, how well it is known, and sets drawn from it.

The fits themselves are in `data_sheet` (working and release times) and `readings` (conversions
or rates). Rates are fitted as their logarithm at a temperature in the midst of the data, where
they hang least together with the activation energies.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares

from teewright.errors import ConvergenceError, InputError
from teewright.resin.kinetics import COUNT, FloatArray, Kinetics, times_to
from teewright.units import GAS_CONSTANT

ENERGY = (0.0, 3e5)
"""Activation energies that a fit may find [J/mol]."""
STRAY = 4.0
"""Draws whose times leave so many uncertainties of a datum are pulled in [-]."""


ROUNDING = 1.5e-8
"""Step of a difference where the residuals are smooth to the last digit [-]."""


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
        residuals: Model over datum: ln of times, difference of conversions, or difference of
            rates over the largest rate at that temperature [-].
        uncertainty: Standard uncertainty of one datum, as the residuals are told [-].
        freedom: Data less parameters.
        data: Temperature [K], conversion [-] and time [s] that a drawn set must not stray from,
            shape (n, 3).
        stray: Largest |ln| by which a drawn set may stray from these times [-].
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
        relative_step: Of the differences that stand for derivatives [-], where the residuals
            are too rough for the smallest.

    Returns:
        Theta, the residuals, and their derivatives by theta.

    Raises:
        ConvergenceError: The search did not settle.
    """
    low = np.array([-60.0, ENERGY[0], -60.0, ENERGY[0], 0.05, 0.2])[: len(start)]
    high = np.array([20.0, ENERGY[1], 20.0, ENERGY[1], 5.0, 5.0])[: len(start)]
    scale = np.array([1.0, 2e4, 1.0, 2e4, 1.0, 1.0])[: len(start)]
    # off the bounds, where the search may not start
    inside = np.clip(start, low + 1e-9 * scale, high - 1e-9 * scale)
    fine = 1e-12 if relative_step == ROUNDING else 1e-6
    found = least_squares(
        residuals,
        inside,
        bounds=(low, high),
        x_scale=scale,
        diff_step=np.full(len(start), relative_step),
        xtol=fine,
        ftol=fine,
        gtol=fine,
    )
    if not found.success:
        raise ConvergenceError(
            "the fit of the cure", iterations=int(found.nfev), residual=float(found.cost)
        )
    return np.asarray(found.x), np.asarray(found.fun), np.asarray(found.jac)


def covariance_of(jacobian: FloatArray, uncertainty: float) -> FloatArray:
    """Covariance of theta from the derivatives of the residuals and the uncertainty of one.

    What the data do not see at all is left with no spread, and is to be told as assumed.
    """
    return np.asarray(uncertainty**2 * np.linalg.pinv(jacobian.T @ jacobian), dtype=np.float64)

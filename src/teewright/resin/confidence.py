"""How well the parameters of a fit are known, each alone."""

import math
from dataclasses import dataclass

import numpy as np

from teewright.resin.cure_fit import Basis, CureFit, at_limit

SHARE = 0.95
"""Of the interval that is told, both sides together [-]."""


@dataclass(frozen=True, slots=True)
class Parameter:
    """One parameter with its interval.

    Attributes:
        name: Plain name.
        symbol: Symbol of the nomenclature page.
        value: Best [1/s, J/mol or -].
        low: Lower end of the interval, the same unit; the value itself where the fit ended at a
            limit and held it there.
        high: Upper end, likewise.
        shown_in: Unit in which it is shown, a key of `teewright.units.SHOWN`.
    """

    name: str
    symbol: str
    value: float
    low: float
    high: float
    shown_in: str


_LABELS = (
    ("rate of the start", "k_1", "1/min"),
    ("activation energy, start of cure", "E_1", "kJ/mol"),
    ("rate of the main cure", "k_2", "1/min"),
    ("activation energy, main cure", "E_2", "kJ/mol"),
    ("exponent of the conversion", "m", "-"),
    ("exponent of what is left", "n", "-"),
)


def parameters(fit: CureFit) -> tuple[Parameter, ...]:
    """Each fitted parameter with its 95 % interval, from the covariance.

    Rates are told at the reference temperature of the fit, their intervals as factors. Student's
    t with the freedom of the readings; for a data sheet, whose doubt is declared, the normal law.

    Args:
        fit: The fit.

    Returns:
        Four where only a data sheet was known, six where the cure was read.
    """
    from scipy.stats import norm, t  # noqa: PLC0415 -- takes a quarter of a second to load

    tail = 0.5 + 0.5 * SHARE
    read = fit.basis is not Basis.SHEET
    times = float(t.ppf(tail, fit.freedom) if read else norm.ppf(tail))
    spread = np.where(at_limit(fit.theta), 0.0, times * np.sqrt(np.diag(fit.covariance)))
    return tuple(
        _parameter(label, float(best), float(half))
        for label, best, half in zip(_LABELS[: len(spread)], fit.theta, spread, strict=True)
    )


def _parameter(label: tuple[str, str, str], best: float, half: float) -> Parameter:
    name, symbol, unit = label
    if unit == "1/min":
        ends = (math.exp(best - half), math.exp(best + half))
        return Parameter(name, symbol, math.exp(best), *ends, unit)
    return Parameter(name, symbol, best, max(best - half, 0.0), best + half, unit)

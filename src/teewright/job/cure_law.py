"""The law by which a resin of the kit cures: from readings where there are some, else its sheet."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from teewright.errors import ConvergenceError, InputError, RangeError
from teewright.heat.sheet import fit_pot_sheet, pot_time, usual_pot
from teewright.kit.cure import SHEET_MASS
from teewright.kit.values import Resin
from teewright.numerics.draws import even_normals
from teewright.resin.cure_fit import CureFit, sampled
from teewright.resin.kinetics import times_to
from teewright.resin.measured import fit_series, marks_of
from teewright.resin.times import Points, arrhenius_time

FAILURES = (ConvergenceError, InputError, RangeError)
"""A cure that cannot be computed leaves the data sheet's times; it refuses no collar."""
DOUBLINGS = 8
"""2^8 - 1 sets behind the spread of a time."""
SPREAD = (0.05, 0.95)
"""Quantiles told of a time."""


@dataclass(frozen=True, slots=True)
class LawTimes:
    """Times of a resin at one temperature, by its law and by its data sheet. All from mixing.

    Attributes:
        temperature: Held [K].
        outside: Whether it lies outside the temperatures of the law's data.
        working: Best, 5 and 95 % in a thin layer [s].
        release: The same, until it may be released [s].
        pot: Working time by the law in the mass of the data sheet, which warms itself [s], or
            None where no sheet is given or the heat of reaction is not known.
        sheet_working: Of the data sheet [s], or None where it does not tell.
        sheet_release: Of the data sheet [s], or None where it does not tell.
    """

    temperature: float
    outside: bool
    working: tuple[float, float, float]
    release: tuple[float, float, float]
    pot: float | None
    sheet_working: float | None
    sheet_release: float | None


def known_fit(resin: Resin) -> CureFit | None:
    """The law of a resin; None where its heat of reaction is not known or no law fits."""
    if resin.heat <= 0.0:
        return None
    try:
        return fit_of(resin)
    except FAILURES:
        return None


@lru_cache(maxsize=16)
def fit_of(resin: Resin) -> CureFit:
    """The law of a resin, from its readings, or from its data sheet where there are none.

    Raises:
        ConvergenceError: The fit did not settle.
        InputError: Readings or times that cannot be.
    """
    marks = marks_of(resin)
    if resin.readings:
        return fit_series(resin.readings, marks=marks)
    return fit_pot_sheet(
        resin.working_time,
        resin.release_time,
        pot=usual_pot(sheet_mass(resin), density=resin.density),
        gel=marks.gel,
        firm=marks.firm,
        heat=resin.heat,
        uncertainty=resin.time_spread,
        chosen=resin.gel is None or resin.firm is None,
    )


def sheet_mass(resin: Resin) -> float:
    """Mass in which the working times of the data sheet are taken as measured [kg]."""
    return SHEET_MASS if resin.sheet_mass is None else resin.sheet_mass


def law_times(
    fit: CureFit, temperatures: Sequence[float], *, resin: Resin | None = None
) -> tuple[LawTimes, ...]:
    """Times at held temperatures, with their spread, beside those of the data sheet.

    Args:
        fit: The law.
        temperatures: At which [K].
        resin: Whose data sheet stands beside, or None.

    Returns:
        One row for each temperature.
    """
    k = fit.kinetics
    sets = sampled(fit, even_normals(DOUBLINGS, len(fit.theta)))

    def told(mark: float, temperature: float) -> tuple[float, float, float]:
        best = float(times_to(k.numbers(), mark, temperature))
        low, high = np.quantile(times_to(sets, mark, temperature), SPREAD)
        return best, float(low), float(high)

    return tuple(
        LawTimes(
            temperature=T,
            outside=not k.valid[0] <= T <= k.valid[1],
            working=told(k.gel, T),
            release=told(k.firm, T),
            pot=_pot(fit, resin, T),
            sheet_working=_sheet(resin.working_time, T) if resin else None,
            sheet_release=_sheet(resin.release_time, T) if resin else None,
        )
        for T in temperatures
    )


def _pot(fit: CureFit, resin: Resin | None, temperature: float) -> float | None:
    if resin is None or resin.heat <= 0.0:
        return None
    pot = usual_pot(sheet_mass(resin), density=resin.density)
    return pot_time(fit.kinetics, pot, temperature)


def _sheet(points: Points, temperature: float) -> float | None:
    try:
        return arrhenius_time(points, temperature)
    except RangeError:
        return None

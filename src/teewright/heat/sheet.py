"""A data sheet whose working time was measured on a mass that warms itself.

Most data sheets tell the working time of a hundred grams or so in a pot. The resin's own heat
then has a part in it. Taken as the time at a steady temperature it would make the resin look
faster than it is, above all in a thin collar.
"""

import math
from dataclasses import replace

import numpy as np

from teewright.errors import InputError
from teewright.heat.batch import Pack, in_pack
from teewright.heat.wall import State
from teewright.kit.cure import FIRM, GEL
from teewright.resin.cure_fit import (
    STRAY,
    CureFit,
    covariance_of,
    held_sentences,
    kinetics_of,
    least,
    numbers_of,
    with_numbers,
)
from teewright.resin.data_sheet import HEAT, SHEET_UNCERTAINTY, Points, fit_data_sheet
from teewright.resin.kinetics import FloatArray, Kinetics, times_to
from teewright.resin.path import steady

CELLS = 5
"""Across the radius of the pot."""
TOLERANCE = 1e-5
"""Of a step in the pot; small, because the fit differentiates the times."""
SLOWER = 2.5
"""Times by which a thin layer works longer than the pot, where the search starts [-]."""
EXPONENTS_N = (1.5, 2.0, 2.5)
"""n that are tried: the one that misses the times least is kept [-]."""


def fit_pot_sheet(
    working: Points,
    release: Points,
    *,
    pot: Pack,
    gel: float = GEL,
    firm: float = FIRM,
    heat: float = HEAT,
    uncertainty: float = SHEET_UNCERTAINTY,
    chosen: bool = True,
) -> CureFit:
    """Fit a data sheet whose working times are those of a pot in air of the given temperature.

    The release times are taken as those of a thin layer at the given temperature.

    Args:
        working: (temperature [K], time until the first place of the pot gels [s]) pairs.
        release: (temperature [K], time until it may be released [s]) pairs.
        pot: In which the working times were measured, mixed at the air's temperature.
        gel: Conversion at the working time [-].
        firm: Conversion at the release time [-].
        heat: Total heat of reaction per mass of resin [J/kg].
        uncertainty: Standard uncertainty of each time, a share of it [-].
        chosen: Whether one of the two conversions is the engineer's choice and not told.

    Returns:
        The fit, with what it assumed. Where the law cannot hold the times the residuals tell.

    Raises:
        InputError: Times that cannot be.
        ConvergenceError: The fit did not settle.
    """
    start = fit_data_sheet(
        _slower(working, release),
        release,
        gel=gel,
        firm=firm,
        heat=heat,
        uncertainty=uncertainty,
        chosen=chosen,
    )
    fits = [_fit(n, start, (working, release), pot, uncertainty) for n in EXPONENTS_N]
    return min(fits, key=lambda fit: float(fit.residuals @ fit.residuals))


def _slower(working: Points, release: Points) -> Points:
    """Working times stretched as far as they stay clearly before the release."""
    ends = sorted(release)
    inverse, logs = [1.0 / T for T, _ in reversed(ends)], [math.log(t) for _, t in reversed(ends)]
    rows = [
        (T, min(SLOWER * t, max(t, 0.6 * math.exp(np.interp(1.0 / T, inverse, logs)))))
        for T, t in sorted(working)
    ]
    # clipped by the release, they may not rise with the temperature
    falling = np.minimum.accumulate([t for _, t in rows])
    return tuple((T, float(t)) for (T, _), t in zip(rows, falling, strict=True))


def _fit(
    n: float, start: CureFit, sheet: tuple[Points, Points], pot: Pack, declared: float
) -> CureFit:
    working, release = sheet
    k = start.kinetics
    shape = np.array([k.m, n])
    told = np.array([t for _, t in working + release])
    warm = np.array([T for T, _ in release])

    def residuals(theta: FloatArray) -> FloatArray:
        numbers = numbers_of(np.concatenate([theta, shape]), start.reference)
        resin = with_numbers(k, numbers)
        pots = [pot_time(resin, pot, T) for T, _ in working]
        return np.asarray(np.log(np.array([*pots, *times_to(numbers, k.firm, warm)]) / told))

    theta, off, jacobian = least(residuals, start.theta, relative_step=1e-4)
    freedom = len(told) - len(theta)
    known = max(declared, math.sqrt(float(off @ off) / max(freedom, 1)))
    best = kinetics_of(
        np.concatenate([theta, shape]), start.reference, (k.gel, k.firm, k.heat), k.valid
    )
    data = start.data.copy()
    data[:, 2] = times_to(best.numbers(), data[:, 1], data[:, 0])
    return replace(
        start,
        kinetics=best,
        assumed=(*_assumed(start, pot, n), *held_sentences(theta)),
        theta=theta,
        covariance=covariance_of(jacobian, known),
        residuals=off,
        uncertainty=known,
        freedom=freedom,
        data=data,
        # a pot's time changes less than that of a thin layer: twice as far is not yet astray
        stray=2.0 * STRAY * known,
    )


def usual_pot(mass: float, *, density: float = 1150.0) -> Pack:
    """A pot as wide as it is filled high, standing in still air.

    Args:
        mass: Of the mix in it, as the data sheet tells [kg].
        density: Of the mix [kg/m3].

    Returns:
        The pot; its other properties are a textbook's for unfilled epoxy, from memory.

    Raises:
        InputError: A value is not above zero.
    """
    if not (0.0 < mass < math.inf and 0.0 < density < math.inf):
        raise InputError("is not above zero", field="mass and density", value=(mass, density))
    radius = (mass / density / (2.0 * math.pi)) ** (1.0 / 3.0)
    return Pack(radius, 0.2, density, 1700.0)


def pot_time(k: Kinetics, pot: Pack, temperature: float) -> float:
    """Time until the first place of a pot gels, mixed and standing at one temperature.

    Args:
        k: The resin.
        pot: The pot.
        temperature: Of the resin when mixed and of the air [K].

    Returns:
        Time [s].

    Raises:
        ConvergenceError: The march needed too many steps.
    """
    held = float(times_to(k.numbers(), k.gel, temperature))
    fresh = State(0.0, temperature)
    batch = in_pack(
        k,
        pot,
        fresh,
        steady(temperature),
        duration=1.5 * held,
        cells=CELLS,
        tolerance=TOLERANCE,
        until_gel=True,
    )
    # its own heat never makes it slower: where the march's error says so, it is the steady time
    return min(batch.gel, held)


def _assumed(start: CureFit, pot: Pack, n: float) -> tuple[str, ...]:
    size = f"a pot of {2e3 * pot.radius:.0f} mm"
    return (
        f"the working times are taken as measured in {size}, whose own heat is accounted for",
        f"m = {start.kinetics.m:g} and n = {n:g} are chosen: times do not settle the law's shape",
        *(told for told in start.assumed[2:] if told not in held_sentences(start.theta)),
    )

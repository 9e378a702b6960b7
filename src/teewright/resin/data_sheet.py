"""Kinetics of a resin from its data sheet: working and release times at some temperatures.

That settles the two rates and how they grow with temperature, and nothing else: the shape of
the law is then the engineer's choice, and the result says so.
"""

import math
from itertools import pairwise

import numpy as np
from scipy.optimize import brentq

from teewright.errors import InputError
from teewright.kit.cure import FIRM, GEL
from teewright.resin.cure_fit import (
    STRAY,
    CureFit,
    covariance_of,
    held_sentences,
    kinetics_of,
    least,
    numbers_of,
)
from teewright.resin.kinetics import FloatArray, times_to
from teewright.units import GAS_CONSTANT

Points = tuple[tuple[float, float], ...]
"""(temperature [K], time [s]) pairs."""

EXPONENT_M = 1.0
"""m where only a data sheet is known [-]; engineer's choice."""
EXPONENTS_N = (1.5, 2.0, 2.5, 3.0, 4.0)
"""n where only a data sheet is known: the first one with which the law holds both times [-]."""
HEAT = 350e3
"""Heat of reaction per mass of unfilled epoxy [J/kg]; common practice, no source."""
SHEET_UNCERTAINTY = 0.10
"""Standard uncertainty of a data sheet's times, a share of them [-]; engineer's choice."""
CLEAR = 1.2
"""How far the longest possible release must be beyond the one wanted [-]: else k2 is not seen."""
STEADY = (
    "the times are taken as those at a steady temperature: "
    "if they were measured on a mass that warms itself, the resin looks faster than it is"
)
"""What a data sheet is taken to tell."""
RATIOS = (1e-9, 1e4)
"""Of k1 over k2, searched [-]."""


def fit_data_sheet(
    working: Points,
    release: Points,
    *,
    gel: float = GEL,
    firm: float = FIRM,
    heat: float = HEAT,
    uncertainty: float = SHEET_UNCERTAINTY,
    chosen: bool = True,
) -> CureFit:
    """Fit the rates and activation energies to a data sheet's two lists of times.

    Args:
        working: (temperature [K], working time [s]) pairs, two temperatures or more.
        release: (temperature [K], time until it may be released [s]) pairs, the same.
        gel: Conversion at the working time [-].
        firm: Conversion at the release time [-].
        heat: Total heat of reaction per mass of resin [J/kg].
        uncertainty: Standard uncertainty of each time, a share of it [-].
        chosen: Whether one of the two conversions is the engineer's choice and not told.

    Returns:
        The fit. The uncertainty of its parameters rests on the larger of `uncertainty` and the
        scatter about the fit, where there are more times than parameters.

    Raises:
        InputError: Fewer than two temperatures, a time that rises with temperature, or times
            that the law cannot hold.
        ConvergenceError: The fit did not settle.
    """
    _check_sheet(working, release, uncertainty)
    rows = [(T, gel, t) for T, t in working] + [(T, firm, t) for T, t in release]
    data = np.array(rows)
    reference = 1.0 / float(np.mean(1.0 / data[:, 0]))
    ends = (float(data[:, 0].min()), float(data[:, 0].max()))
    n, start = _start(working, release, (gel, firm), reference)
    shape = np.array([EXPONENT_M, n])

    def residuals(theta: FloatArray) -> FloatArray:
        numbers = numbers_of(np.concatenate([theta, shape]), reference)
        times = times_to(numbers, data[:, 1], data[:, 0])
        return np.asarray(np.log(times / data[:, 2]))

    theta, off, jacobian = least(residuals, start)
    freedom = len(data) - len(theta)
    # with no freedom left the law may still miss a time, where an energy would be negative
    known = max(uncertainty, math.sqrt(float(off @ off) / max(freedom, 1)))
    return CureFit(
        kinetics=kinetics_of(np.concatenate([theta, shape]), reference, (gel, firm, heat), ends),
        fitted=("k1", "E1", "k2", "E2"),
        assumed=(
            *_assumed(
                n, (gel, firm, heat), chosen=chosen, uncertainty=uncertainty, freedom=freedom
            ),
            *held_sentences(theta),
        ),
        theta=theta,
        covariance=covariance_of(jacobian, known),
        reference=reference,
        residuals=off,
        uncertainty=known,
        freedom=freedom,
        data=data,
        stray=STRAY * known,
    )


def _start(
    working: Points, release: Points, marks: tuple[float, float], reference: float
) -> tuple[float, FloatArray]:
    """The exponent n that holds both times, and rates from two straight lines of ln t in 1/T."""
    lines = [_line(points) for points in (working, release)]
    temperatures = [min(T for T, _ in working + release), max(T for T, _ in working + release)]
    pairs = [[math.exp(level + rise / T) for level, rise in lines] for T in temperatures]
    ratio = max(t_r / t_w for t_w, t_r in pairs)
    if min(t_r / t_w for t_w, t_r in pairs) <= 1.0:
        raise InputError("is not longer than the working time", field="release time", value=release)
    for n in EXPONENTS_N:
        if _ratio(0.0, n, marks) > CLEAR * ratio:
            break
    else:
        raise InputError(
            f"is {ratio:.0f} times the working time, more than the law can hold",
            field="release time",
            value=release,
            allowed="a lower conversion at release, or readings of the cure",
        )
    logs = np.array([_rates(pair, n, marks) for pair in pairs])
    inverse = 1.0 / np.array(temperatures)
    slope = (logs[1] - logs[0]) / (inverse[1] - inverse[0])
    at = logs[0] + slope * (1.0 / reference - inverse[0])
    energy = -GAS_CONSTANT * slope
    return n, np.array([at[0], energy[0], at[1], energy[1]])


def _line(points: Points) -> tuple[float, float]:
    inverse = np.array([1.0 / T for T, _ in points])
    rise, level = np.polyfit(inverse, np.log([t for _, t in points]), 1)
    return float(level), float(rise)


def _rates(times: list[float], n: float, marks: tuple[float, float]) -> tuple[float, float]:
    """Logarithms of k1 and k2 that give both times exactly."""
    wanted = times[1] / times[0]

    def over(catalysis: float) -> float:
        return _ratio(math.exp(catalysis), n, marks) - wanted

    ends = (-math.log(RATIOS[1]), -math.log(RATIOS[0]))
    # a ratio outside is met as nearly as the search goes: this is where a fit starts
    clipped = [end for end in ends if over(end) == 0.0] or list(ends)
    strong = brentq(over, *ends) if over(ends[0]) * over(ends[1]) < 0.0 else max(clipped)
    k1 = _unit_time(math.exp(strong), n, marks[0]) / times[0]
    return math.log(k1), math.log(k1) + strong


def _ratio(catalysis: float, n: float, marks: tuple[float, float]) -> float:
    return _unit_time(catalysis, n, marks[1]) / _unit_time(catalysis, n, marks[0])


def _unit_time(catalysis: float, n: float, wanted: float) -> float:
    """Time to a conversion with k1 = 1 and k2 = catalysis."""
    return float(times_to(np.array([1.0, 0.0, catalysis, 0.0, EXPONENT_M, n]), wanted, 300.0))


def _check_sheet(working: Points, release: Points, uncertainty: float) -> None:
    for name, points in (("working time", working), ("release time", release)):
        ordered = sorted(points)
        positive = all(0.0 < T < math.inf and 0.0 < t < math.inf for T, t in points)
        falling = all(a[1] >= b[1] for a, b in pairwise(ordered))
        if len({T for T, _ in points}) < 2 or not (positive and falling):
            raise InputError(
                "cannot be fitted",
                field=name,
                value=points,
                allowed="two temperatures or more, times above zero that do not rise with them",
            )
    if not 0.0 < uncertainty < 1.0:
        raise InputError("is no share", field="uncertainty", value=uncertainty, allowed="0 to 1")


def _assumed(
    n: float,
    marks: tuple[float, float, float],
    *,
    chosen: bool,
    uncertainty: float,
    freedom: int,
) -> tuple[str, ...]:
    gel, firm, heat = marks
    how = ": chosen" if chosen else ", as told"
    told = (
        STEADY,
        f"m = {EXPONENT_M:g} and n = {n:g} are chosen: the times do not settle the law's shape",
        f"the working time ends at a conversion of {gel:g}, the release at {firm:g}{how}",
        f"the heat of reaction is taken as {heat / 1e3:.0f} kJ/kg",
        f"each time of the data sheet is taken to be known to {100.0 * uncertainty:.0f} %",
    )
    if freedom > 0:
        return told
    return (*told, "there are as many times as parameters: no scatter could be seen")

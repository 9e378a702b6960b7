"""Share of a property left after the design life, from a creep test.

Straight line through the logarithms of property and time, carried on to the design life: the
way in which creep tests of plastics pipes are read (ISO 10928 and ASTM D2990, values from
memory). A table value of 0.5 is common where no test of the very wall exists.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from teewright.errors import InputError
from teewright.numerics.limits import within
from teewright.units import HOUR

YEAR = 365.25 * 24.0 * HOUR
"""Mean year [s]."""
DECADES = (0.0, 2.0)
"""Decades of time beyond the last reading [-]; from 10 000 h to 50 years are 1.64."""
LEAST_READINGS = 6
"""Fewest readings from which a line is drawn."""
ONE_SIDED = 0.975
"""Probability of the lower bound [-]."""
LAW = "the creep line"


@dataclass(frozen=True, slots=True)
class CreepLine:
    """Property after the design life, from readings of a creep test.

    Attributes:
        value: On the line at the design life [Pa].
        lower: Lower bound for one further reading there, 97.5 % [Pa].
        share: value over the short-term property [-].
        lower_share: lower over the short-term property [-].
        slope: Of the line, decades of the property for each decade of time [-].
        scatter: Standard deviation of the readings about the line, in decades [-].
        beyond: Decades of time between the last reading and the design life [-].
    """

    value: float
    lower: float
    share: float
    lower_share: float
    slope: float
    scatter: float
    beyond: float


def creep_line(
    times: tuple[float, ...], values: tuple[float, ...], *, short_term: float, life: float
) -> CreepLine:
    """Carry a creep test on to the design life, log(E) = a + b log(t) by least squares.

    Args:
        times: Of the readings, above 0 [s].
        values: Moduli, or strengths, above 0 [Pa].
        short_term: The same property in a short test [Pa].
        life: Design life [s].

    Returns:
        The line at the design life, with its lower bound.

    Raises:
        InputError: Too few readings, lists of unequal length, readings all at one time, or a
            value not above 0.
        RangeError: The design life lies more than two decades beyond the last reading, or
            before it.
    """
    _accept(times, values, short_term)
    beyond = within(
        math.log10(life / max(times)),
        DECADES,
        quantity="decades beyond the test",
        unit="-",
        law=LAW,
    )
    x, y = np.log10(np.asarray(times)), np.log10(np.asarray(values))
    slope, start = (float(found) for found in np.polyfit(x, y, 1))
    free = len(times) - 2
    scatter = math.sqrt(float(np.sum((y - start - slope * x) ** 2)) / free)
    at = math.log10(life)
    spread = float(np.sum((x - x.mean()) ** 2))
    away = 1.0 + 1.0 / len(times) + (at - float(x.mean())) ** 2 / spread
    middle = start + slope * at
    low = middle - float(stdtrit(free, ONE_SIDED)) * scatter * math.sqrt(away)
    value, lower = 10.0**middle, 10.0**low
    return CreepLine(value, lower, value / short_term, lower / short_term, slope, scatter, beyond)


def _accept(times: tuple[float, ...], values: tuple[float, ...], short_term: float) -> None:
    if len(times) != len(values) or len(times) < LEAST_READINGS:
        raise InputError(
            "cannot carry a line",
            field="creep readings",
            value=f"{len(times)} times, {len(values)} values",
            allowed=f"as many times as values, at least {LEAST_READINGS}",
        )
    smallest = min(*times, *values, short_term)
    if not smallest > 0.0:
        raise InputError("is not above 0", field="creep reading", value=smallest, allowed="above 0")
    if min(times) == max(times):
        raise InputError(
            "are all at one time",
            field="creep readings",
            value=times[0],
            allowed="readings spread over time",
        )

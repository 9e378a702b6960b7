"""A pressure that was set before the collar was formed, held against the window after it."""

import math
from dataclasses import dataclass, replace

from teewright.errors import InputError
from teewright.numerics.limits import within
from teewright.pressure.case import ALLOWANCE, RATING, WINDOW, WindowCase
from teewright.units import BAR

STEP = 0.05 * BAR
"""Step in which the pressure is set on a gauge [Pa]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Before:
    """What was set from the membrane formula, so that a collar could be formed at all.

    Attributes:
        pressure: Set, gauge [Pa].
        low: Lower end of the window that it was set in [Pa].
        friction: Allowance for friction in it [Pa].
    """

    pressure: float
    low: float
    friction: float


def keep_pressure(low: float, high: float, pressure: float) -> float | None:
    """The pressure that was set, where the window holds it; else the nearest that it holds.

    Thickness, resin and forming of a collar rest on the pressure that was set first: it is
    moved no farther than it must be, to the next step of 0.05 bar inside the window or, where
    none lies inside, to its nearer end.

    Args:
        low: Lower end [Pa].
        high: Upper end [Pa].
        pressure: Set before [Pa].

    Returns:
        Gauge pressure [Pa], or None where the window is shut.

    Raises:
        InputError: An end is not a number.
        RangeError: A pressure that no packer is set to.
    """
    within(pressure, (0.0, RATING[1]), quantity="pressure set before", unit="Pa", law=WINDOW)
    if math.isnan(low) or math.isnan(high):
        raise InputError("is not a number", field="end of the window", value=f"{low}, {high}")
    if low > high:
        return None
    if low <= pressure <= high:
        return pressure
    if pressure < low:
        step = math.ceil(low / STEP - 1e-9) * STEP
    else:
        step = math.floor(high / STEP + 1e-9) * STEP
    # no step inside, or one that rounding left a hair outside
    return min(max(step, low), high)


def formed_case(case: WindowCase, landed: float) -> WindowCase:
    """The same case once its collar was formed.

    A forming run counts the friction of the fabric itself, so that the allowance is dropped
    with the formula that it belongs to. A run in which the fabric never lay within its gap
    limit gives no pressure: the formula stays, with its allowance, and says why.

    Args:
        case: As it was before, without a forming run.
        landed: Least pressure on the fabric from which on it lies within its gap limit [Pa];
            nan where it never did.

    Raises:
        RangeError: A pressure outside the ranges of this room.
    """
    if math.isnan(landed):
        return replace(case, never_landed=True)
    within(landed, ALLOWANCE, quantity="forming pressure", unit="Pa", law=WINDOW)
    return replace(case, landed=landed, friction=0.0)

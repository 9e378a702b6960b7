"""Least time of a low-pressure air test on clay pipe, ASTM C828."""

from teewright.errors import InputError
from teewright.units import FOOT, INCH, MINUTE

LAW = "ASTM C828-06"
K = 0.371e-3
"""Constant of the test, for inches, feet and ft3/min [-]; published."""
STABILISING = (2.0 * MINUTE, 5.0 * MINUTE)
"""Time at 4.0 psi before the test [s]; published."""
CUBIC_FOOT_PER_MINUTE = FOOT**3 / MINUTE
"""[m3/s]."""


def least_time(diameter: float, length: float, *, loss: float) -> float:
    """Least time in which the pressure may fall from 3.5 to 2.5 psi gauge [s].

    `T = K D^2 L / Q`, K = 0.371e-3, T in min, D in inches, L in feet, Q in ft3/min. Source: ASTM
    C828-06. Times of main and branches under test together are added.

    Args:
        diameter: Inner diameter [m].
        length: Length under test [m].
        loss: Air loss allowed Q [m3/s].

    Raises:
        InputError: One of them is not above 0.
    """
    _check(diameter=diameter, length=length, loss=loss)
    minutes = K * (diameter / INCH) ** 2 * (length / FOOT) / (loss / CUBIC_FOOT_PER_MINUTE)
    return minutes * MINUTE


def air_loss(diameter: float, length: float, *, time: float) -> float:
    """Air loss of a pipe whose pressure fell from 3.5 to 2.5 psi gauge [m3/s].

    The same equation solved for Q.

    Args:
        diameter: Inner diameter [m].
        length: Length under test [m].
        time: Time in which it fell [s].

    Raises:
        InputError: One of them is not above 0.
    """
    _check(diameter=diameter, length=length, time=time)
    loss = K * (diameter / INCH) ** 2 * (length / FOOT) / (time / MINUTE)
    return loss * CUBIC_FOOT_PER_MINUTE


def _check(**values: float) -> None:
    for field, value in values.items():
        if not value > 0.0:
            raise InputError("is not above 0", field=field, value=value, allowed="more than 0")

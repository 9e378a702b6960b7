"""Least time of a low-pressure air test on plastic pipe, ASTM F1417.

Readings are judged in `teewright.proof.f1417_air`.
"""

from teewright.errors import InputError, RangeError
from teewright.units import FOOT, INCH, PSI

LAW = "ASTM F1417-11a (2015), 9.1"
DIAMETERS = (4.0 * INCH, 33.0 * INCH)
"""Diameters whose rows of the standard's table were read [m]."""
START = 3.5 * PSI
"""Gauge pressure from which the time counts [Pa]; published."""
LARGEST_PRESSURE = 9.0 * PSI
"""Not to be exceeded in the pipe [Pa]; read in a secondary source."""
DROPS = (0.5 * PSI, 1.0 * PSI)
"""Drops of pressure for which the standard gives times [Pa]."""


def least_time(diameter: float, length: float, *, drop: float = 1.0 * PSI) -> float:
    """Least time in which the pressure may fall by `drop` from 3.5 psi gauge [s].

    `T = 0.085 D K / Q` with `K = 0.000419 D L >= 1` and `Q = 0.0015 ft3/min per ft2`, D in
    inches, L in feet; half of it for a drop of 0.5 psi. Source: ASTM F1417-11a (2015), 9.1: the
    formula is a value from memory, confirmed on the rows of its Table 2.

    Args:
        diameter: Inner diameter, 4 to 33 inches [m].
        length: Length under test [m].
        drop: 1.0 psi or 0.5 psi [Pa].

    Raises:
        InputError: A length that is not above 0, or another drop.
        RangeError: The diameter is outside the rows that were read.
    """
    low, high = DIAMETERS
    if not low - 1e-9 <= diameter <= high + 1e-9:
        raise RangeError("diameter", diameter, low=low, high=high, unit="m", law=LAW)
    if not length > 0.0:
        raise InputError("is not above 0", field="length", value=length, allowed="more than 0 m")
    share = next((d / DROPS[1] for d in DROPS if abs(d - drop) < 1.0), None)
    if share is None:
        raise InputError(
            "is no drop of the standard", field="drop", value=drop, allowed="0.5 psi or 1.0 psi"
        )
    return share * 0.085 * (diameter / INCH) * length_factor(diameter, length) / 0.0015


def length_factor(diameter: float, length: float) -> float:
    """Factor K = 0.000419 D L >= 1 of a long pipe, D in inches, L in feet [-]."""
    return max(1.0, 0.000419 * (diameter / INCH) * (length / FOOT))


def length_of_least_time(diameter: float) -> float:
    """Length up to which the least time does not depend on the length [m]: K = 1."""
    return FOOT / (0.000419 * diameter / INCH)

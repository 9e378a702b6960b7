"""Conversion at the edges: SI inside, the units of the trade in files, on sheets and screens.

A factor is exact where its unit is defined exactly (BIPM, The International System of Units,
9th ed. 2019; NIST SP 811, 2008, app. B.8).
"""

import math
from collections.abc import Callable

GRAVITY = 9.81
"""Acceleration of free fall used in hydrostatics [m/s2]."""
WATER_DENSITY = 1000.0
"""Density of water [kg/m3]."""
ZERO_CELSIUS = 273.15
"""0 degrees Celsius [K]."""
GAS_CONSTANT = 8.31446261815324
"""Molar gas constant [J/(mol K)], exact since 2019."""

MM = 1e-3
BAR = 1e5
MBAR = 1e2
KPA = 1e3
MPA = 1e6
PSI = 6894.757293168361
INCH = 0.0254
FOOT = 0.3048
MINUTE = 60.0
HOUR = 3600.0
LITRE = 1e-3
US_GALLON = 3.785411784e-3

# unit shown -> (SI value -> value shown, decimals on a sheet)
SHOWN: dict[str, tuple[Callable[[float], float], int]] = {
    "-": (lambda v: v, 3),
    "no": (lambda v: v, 0),
    "%": (lambda v: 100.0 * v, 1),
    "m": (lambda v: v, 2),
    "mm": (lambda v: v / MM, 1),
    "m2": (lambda v: v, 3),
    "m3": (lambda v: v, 4),
    "l": (lambda v: v / LITRE, 2),
    "kg": (lambda v: v, 2),
    "kg/m3": (lambda v: v, 0),
    "Pa": (lambda v: v, 0),
    "kPa": (lambda v: v / KPA, 1),
    "bar": (lambda v: v / BAR, 2),
    "mbar": (lambda v: v / MBAR, 1),
    "MPa": (lambda v: v / MPA, 2),
    "N": (lambda v: v, 0),
    "kN": (lambda v: v / 1e3, 1),
    "kN/m": (lambda v: v / 1e3, 1),
    "kN/m3": (lambda v: v / 1e3, 1),
    "kJ": (lambda v: v / 1e3, 1),
    "kJ/mol": (lambda v: v / 1e3, 1),
    "kJ/kg": (lambda v: v / 1e3, 0),
    "s": (lambda v: v, 0),
    "min": (lambda v: v / MINUTE, 1),
    "h": (lambda v: v / HOUR, 1),
    "degC": (lambda v: v - ZERO_CELSIUS, 0),
    "deg": (math.degrees, 1),
    "clock h": (lambda v: v, 1),
    "m/s": (lambda v: v, 2),
    "l/s": (lambda v: v / LITRE, 2),
    "l/h": (lambda v: v * HOUR / LITRE, 2),
    "m3/a": (lambda v: v * 365.25 * 24 * HOUR, 0),
    "m2/s": (lambda v: v, 8),
    "1/min": (lambda v: v * MINUTE, 3),
}
"""Units in which a traced number may be shown."""


def shown(value: float, unit: str) -> str:
    """Write an SI value in the unit in which it is shown, with that unit's decimals.

    Args:
        value: Value [SI].
        unit: A key of `SHOWN`.

    Returns:
        The number alone, with a true minus sign.

    Raises:
        KeyError: The unit is not one that is shown.
    """
    convert, decimals = SHOWN[unit]
    return f"{convert(value):.{decimals}f}".replace("-", "−")


def kelvin(celsius: float) -> float:
    """Degrees Celsius to kelvin."""
    return celsius + ZERO_CELSIUS


def celsius(kelvin_value: float) -> float:
    """Kelvin to degrees Celsius."""
    return kelvin_value - ZERO_CELSIUS


def hydrostatic(head: float) -> float:
    """Pressure of a head of water [Pa] from the head [m]."""
    return WATER_DENSITY * GRAVITY * head


def clock_angle(clock: float) -> float:
    """Angle from the crown, clockwise in flow view [rad], from a clock position [h]."""
    return (clock % 12.0) * math.pi / 6.0


def clock_text(clock: float | None) -> str:
    """A clock position as it is said: `1`, `10½`, `12`; `–` where it is not known."""
    if clock is None:
        return "–"
    halves = round(clock * 2.0) % 24
    hour = 12 if halves < 2 else halves // 2
    return f"{hour}½" if halves % 2 else f"{hour}"

"""Numbers with their units, metric or US customary, for pages."""

from enum import StrEnum

from teewright.units import FOOT, HOUR, INCH, PSI, SHOWN, US_GALLON

KILOGRAM_IN_POUNDS = 1.0 / 0.45359237
"""Exact, international pound of 1959."""
POUND_FORCE = 4.4482216152605
"""[N], exact; NIST SP 811, app. B.8, as are the two below."""
FOOT_POUND = POUND_FORCE * FOOT
"""[J]"""
BTU_A_POUND = 2326.0
"""[J/kg], of the international table, exact."""


class System(StrEnum):
    """Units in which a reader wants numbers."""

    METRIC = "metric"
    US = "us"


# unit shown in metric -> (SI value -> value shown, unit, decimals)
_US: dict[str, tuple[float, float, str, int]] = {
    "mm": (1.0 / INCH, 0.0, "in", 2),
    "m": (1.0 / FOOT, 0.0, "ft", 1),
    "m2": (1.0 / FOOT**2, 0.0, "ft²", 2),
    "l": (1.0 / US_GALLON, 0.0, "gal", 2),
    "m3": (1.0 / US_GALLON, 0.0, "gal", 0),
    "kg": (KILOGRAM_IN_POUNDS, 0.0, "lb", 2),
    "bar": (1.0 / PSI, 0.0, "psi", 1),
    "mbar": (1.0 / PSI, 0.0, "psi", 3),
    "kPa": (1.0 / PSI, 0.0, "psi", 1),
    "Pa": (1.0 / PSI, 0.0, "psi", 3),
    "MPa": (1.0 / PSI, 0.0, "psi", 0),
    "N": (1.0 / POUND_FORCE, 0.0, "lbf", 0),
    "kN": (1.0 / POUND_FORCE, 0.0, "lbf", 0),
    "kN/m": (INCH / POUND_FORCE, 0.0, "lbf/in", 1),
    "kN/m3": (FOOT**3 / POUND_FORCE, 0.0, "lbf/ft³", 1),
    "kg/m3": (KILOGRAM_IN_POUNDS * FOOT**3, 0.0, "lb/ft³", 1),
    "kJ": (1.0 / FOOT_POUND, 0.0, "ft·lbf", 0),
    "kJ/kg": (1.0 / BTU_A_POUND, 0.0, "Btu/lb", 0),
    "m/s": (1.0 / FOOT, 0.0, "ft/s", 2),
    "m2/s": (1.0 / FOOT**2, 0.0, "ft²/s", 7),
    "m3/a": (365.25 * 24.0 * HOUR / US_GALLON, 0.0, "gal/a", 0),
    "l/s": (60.0 / US_GALLON, 0.0, "gal/min", 1),
    "l/h": (3600.0 / US_GALLON, 0.0, "gal/h", 2),
    "degC": (1.8, -459.67, "°F", 0),
    "K": (1.8, 0.0, "°F", 0),
}
"""(factor, offset) from SI, unit and decimals; `K` is a difference of temperatures.

An activation energy [kJ/mol] has no other unit in use anywhere and stays.
"""
_SIGNS = {
    "degC": "°C", "deg": "°", "m2": "m²", "m3": "m³", "-": "", "no": "", "m3/a": "m³/a",
    "kg/m3": "kg/m³", "kN/m3": "kN/m³", "m2/s": "m²/s",
}  # fmt: skip


def quantity(
    value: float | None, unit: str, system: System = System.METRIC, *, digits: int | None = None
) -> str:
    """A number with its unit.

    Args:
        value: [SI], or None where it is not known.
        unit: Metric unit, a key of `teewright.units.SHOWN`.
        system: Units that the reader wants; quantities without a US unit stay metric.
        digits: Decimals, or None for those of the unit.

    Returns:
        Number, a no-break space and the unit; `not known` for None.
    """
    if value is None:
        return "not known"
    if system is System.US and unit in _US:
        factor, offset, name, decimals = _US[unit]
        number = f"{factor * value + offset:.{decimals if digits is None else digits}f}"
        return f"{number.replace('-', '−')}\u00a0{name}"
    convert, usual = SHOWN[unit]
    number = f"{convert(value):.{usual if digits is None else digits}f}".replace("-", "−")
    name = _SIGNS.get(unit, unit)
    if name == "°":
        return f"{number}°"
    return f"{number}\u00a0{name}" if name else number


def fahrenheit(kelvin: float) -> float:
    """Kelvin to degrees Fahrenheit."""
    factor, offset, _, _ = _US["degC"]
    return factor * kelvin + offset

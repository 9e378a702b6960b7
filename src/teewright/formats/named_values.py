"""Values as a user types them, the unit in the name, to the SI values of the log."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from teewright.errors import InputError
from teewright.units import (
    BAR,
    FOOT,
    INCH,
    KPA,
    LITRE,
    MBAR,
    MINUTE,
    MM,
    PSI,
    US_GALLON,
    ZERO_CELSIUS,
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value that must carry a unit.

    Attributes:
        units: Unit as typed -> (factor, offset) to SI.
        low: Least value [SI].
        high: Largest value [SI].
    """

    units: dict[str, tuple[float, float]]
    low: float
    high: float


_VOLUME = {
    "l": (LITRE, 0.0), "ml": (LITRE / 1e3, 0.0), "m3": (1.0, 0.0), "gal": (US_GALLON, 0.0),
    "ft3": (FOOT**3, 0.0),
}  # fmt: skip
QUANTITIES: dict[str, Quantity] = {
    "pressure": Quantity(
        {"bar": (BAR, 0.0), "mbar": (MBAR, 0.0), "kpa": (KPA, 0.0), "pa": (1.0, 0.0),
         "psi": (PSI, 0.0)}, 0.0, 2e7,
    ),
    "temperature": Quantity({"c": (1.0, ZERO_CELSIUS)}, 213.15, 673.15),
    "volume": Quantity(_VOLUME, 0.0, 100.0),
    "elapsed": Quantity({"s": (1.0, 0.0), "min": (MINUTE, 0.0)}, 0.0, 1e6),
    "mass": Quantity({"kg": (1.0, 0.0)}, 0.0, 1e4),
    "test_volume": Quantity(_VOLUME, 0.0, 100.0),
    "seal_distance": Quantity(
        {"m": (1.0, 0.0), "mm": (MM, 0.0), "ft": (FOOT, 0.0), "in": (INCH, 0.0)}, 0.0, 1e3
    ),
}  # fmt: skip
"""Every quantity that the log knows, by name."""
LONGEST = 500
"""Longest text of a value [characters]."""


def named_values(pairs: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """`pressure_bar=0.65` to `("pressure", "65000.0")`; other names keep their text.

    Args:
        pairs: `NAME=VALUE` each.

    Raises:
        InputError: No `=`, a number without a unit in its name, not a number or out of range,
            or a text that cannot be printed.
    """
    return tuple(_named_value(pair) for pair in pairs)


def _named_value(pair: str) -> tuple[str, str]:
    name, mark, text = (part.strip() for part in pair.partition("="))
    if not mark or not name:
        raise InputError("is no value", field="--set", value=pair, allowed="NAME=VALUE")
    stem, _, unit = name.rpartition("_")
    if name in QUANTITIES:
        stem, unit = name, ""
    if stem not in QUANTITIES:
        return name, _plain(name, text)
    quantity = QUANTITIES[stem]
    if unit not in quantity.units:
        units = ", ".join(f"{stem}_{u}" for u in quantity.units)
        raise InputError("has no unit that is known", field=name, value=text, allowed=units)
    return stem, repr(_number(name, text, quantity, unit))


def _plain(name: str, text: str) -> str:
    if not text.isprintable() or len(text) > LONGEST:
        allowed = f"at most {LONGEST} printable characters"
        raise InputError("is no text", field=name, value=text, allowed=allowed)
    return text


def _number(name: str, text: str, quantity: Quantity, unit: str) -> float:
    factor, offset = quantity.units[unit]
    low, high = ((limit - offset) / factor for limit in (quantity.low, quantity.high))
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        allowed = f"a number from {low:g} to {high:g}"
        raise InputError("is not allowed", field=name, value=text, allowed=allowed)
    return value * factor + offset

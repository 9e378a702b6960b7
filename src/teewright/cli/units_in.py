"""Values typed by a user, the unit in the name, to the SI values of the log."""

from collections.abc import Sequence

from teewright.errors import InputError
from teewright.units import BAR, KPA, LITRE, MBAR, MINUTE, MM, PSI, ZERO_CELSIUS

# suffix of the name as typed -> (factor, offset) to SI
UNITS: dict[str, tuple[float, float]] = {
    "bar": (BAR, 0.0),
    "mbar": (MBAR, 0.0),
    "kpa": (KPA, 0.0),
    "pa": (1.0, 0.0),
    "psi": (PSI, 0.0),
    "c": (1.0, ZERO_CELSIUS),
    "l": (LITRE, 0.0),
    "ml": (LITRE / 1e3, 0.0),
    "s": (1.0, 0.0),
    "min": (MINUTE, 0.0),
    "kg": (1.0, 0.0),
    "mm": (MM, 0.0),
    "m": (1.0, 0.0),
    "m3": (1.0, 0.0),
}
NUMBERS = (
    "pressure", "temperature", "volume", "elapsed", "mass", "test_volume", "seal_distance",
)  # fmt: skip
"""Values that must carry a unit."""


def named_values(pairs: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """`pressure_bar=0.65` to `("pressure", "65000.0")`; other names keep their text.

    Args:
        pairs: `NAME=VALUE` each.

    Raises:
        InputError: No `=`, a number without a unit in its name, or not a number.
    """
    return tuple(_named_value(pair) for pair in pairs)


def _named_value(pair: str) -> tuple[str, str]:
    name, mark, text = pair.partition("=")
    name = name.strip()
    if not mark or not name:
        raise InputError("is no value", field="--set", value=pair, allowed="NAME=VALUE")
    quantity, _, unit = name.rpartition("_")
    if name in NUMBERS or (quantity in NUMBERS and unit not in UNITS):
        units = ", ".join(f"{quantity or name}_{u}" for u in UNITS)
        raise InputError("has no unit", field=name, value=text, allowed=units)
    if quantity not in NUMBERS:
        return name, text.strip()
    factor, offset = UNITS[unit]
    try:
        return quantity, repr(float(text) * factor + offset)
    except ValueError as error:
        raise InputError(
            "is not a number", field=name, value=text, allowed="a number, e.g. 0.65"
        ) from error

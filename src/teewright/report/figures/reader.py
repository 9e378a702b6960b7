"""How a figure is read: in which units, and how wide its place is.

A printed sheet is metric and has the width of the paper; a page may ask for other units and, for
a hand-held screen, for a narrow figure whose letters stay as large as those of a wide one.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from teewright.report import letters
from teewright.units import BAR, LITRE, MBAR, celsius, shown

NARROW = 88.0
"""Width of a narrow figure [mm]."""
_STEPS = (1.0, 2.0, 5.0)


def _metric(value: float, unit: str) -> str:
    text = shown(value, unit)
    text = text.removesuffix(".00") if unit == "MPa" else text
    return text if unit == "-" else f"{text} {unit}"


@dataclass(frozen=True, slots=True)
class Axis:
    """Unit of an axis of readings.

    Attributes:
        one: One unit [SI].
        name: Of the unit.
        decimals: With which a reading is told.
    """

    one: float
    name: str
    decimals: int


@dataclass(frozen=True, slots=True)
class Units:
    """Units of a figure.

    Attributes:
        rise: One unit of an axis of heights [m].
        rise_name: Its name.
        degrees: A temperature [K] as it is told.
        degrees_name: Unit of that.
        write: A value [SI] with the metric unit in which it is shown -> number and unit.
        gauge: Metric unit of readings (`bar`, `mbar`, `l`) -> the axis on which they are drawn.
    """

    rise: float
    rise_name: str
    degrees: Callable[[float], float]
    degrees_name: str
    write: Callable[[float, str], str]
    gauge: Mapping[str, Axis]


METRIC = Units(
    1.0,
    "m",
    celsius,
    "°C",
    _metric,
    MappingProxyType(
        {"bar": Axis(BAR, "bar", 2), "mbar": Axis(MBAR, "mbar", 1), "l": Axis(LITRE, "l", 2)}
    ),
)


def step_of(most: float, count: float = 5.0) -> float:
    """Distance of the ticks of an axis: 1, 2 or 5 times a power of ten.

    Args:
        most: Length of the axis, above 0.
        count: Ticks at most.
    """
    tens = 10.0 ** math.floor(math.log10(most / count))
    return next((k * tens for k in _STEPS if most / (k * tens) <= count), 10.0 * tens)


def decimals_of(step: float) -> int:
    """Decimals that tell the ticks of an axis apart."""
    return max(0, -math.floor(math.log10(step) + 1e-9))


def wide(words: str, weight: int = 400) -> float:
    """Width of a text of a figure [mm]."""
    return letters.width(words, 8.0, weight)

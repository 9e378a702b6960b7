"""Readings of a gauge or a measuring vessel, checked before they are judged."""

from collections.abc import Sequence
from math import isfinite

from teewright.errors import InputError

Readings = tuple[tuple[float, float], ...]


def checked(readings: Sequence[tuple[float, float]], *, field: str, unit: str) -> Readings:
    """Readings as they may be judged, counted from the first.

    Args:
        readings: (time [s], value) pairs.
        field: Name of the value, for the message.
        unit: SI unit of the value, for the message.

    Returns:
        The same pairs with the first time moved to 0.

    Raises:
        InputError: A time or value that is not finite, a negative value, or times that do
            not ascend.
    """
    for index, (time, value) in enumerate(readings):
        if not (isfinite(time) and isfinite(value) and value >= 0.0):
            raise InputError(
                f"is no reading (number {index + 1})",
                field=field,
                value=f"{time} s, {value} {unit}",
                allowed=f"a time in s and a value of 0 {unit} or more",
            )
        if index and time <= readings[index - 1][0]:
            raise InputError(
                f"is not later than the reading before it (number {index + 1})",
                field="time",
                value=f"{time} s",
                allowed=f"more than {readings[index - 1][0]} s",
            )
    start = readings[0][0] if readings else 0.0
    return tuple((time - start, value) for time, value in readings)


def too_few(readings: Readings) -> str:
    """Why fewer than two readings are not judged."""
    count = "1 reading" if len(readings) == 1 else f"{len(readings)} readings"
    return f"Not judged: {count}, at least 2 are needed."

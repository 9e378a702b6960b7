"""A temperature over time."""

import math
from dataclasses import dataclass
from itertools import pairwise

from teewright.errors import InputError


@dataclass(frozen=True, slots=True)
class Path:
    """A temperature over time: straight between its points, held before and after.

    Attributes:
        times: Ascending [s].
        temperatures: At the times [K].
    """

    times: tuple[float, ...]
    temperatures: tuple[float, ...]

    def __post_init__(self) -> None:
        rising = all(a < b for a, b in pairwise(self.times))
        equal = len(self.times) == len(self.temperatures)
        values = (*self.times, *self.temperatures)
        if not (self.times and equal and rising and all(map(math.isfinite, values))):
            raise InputError(
                "is no temperature over time",
                field="path",
                value=(self.times, self.temperatures),
                allowed="times ascending, one temperature each",
            )
        if min(self.temperatures) <= 0.0:
            raise InputError(
                "is not above zero", field="temperature", value=min(self.temperatures), allowed="K"
            )

    def shifted(self, warmer: float) -> "Path":
        """The same path, warmer by so much [K]."""
        return Path(self.times, tuple(T + warmer for T in self.temperatures))


def steady(temperature: float) -> Path:
    """A path that stays at one temperature [K]."""
    return Path((0.0,), (temperature,))

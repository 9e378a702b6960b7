"""Air of the hours of work: its warmest and coldest, and its path from one moment on."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from teewright.findings import Finding, FindingKind
from teewright.job.resolve import Inputs
from teewright.kit.values import ShiftRules
from teewright.network.conditions import Site
from teewright.resin.path import Path, steady
from teewright.units import HOUR, MINUTE

DAY = 24.0 * HOUR
_BEFORE, _AFTER = -1, 2
"""Days by which the path is repeated to either side: past the longest shift and hold."""

AirPath = tuple[tuple[float, float], ...]
"""(time after local midnight [s], temperature [K]) pairs over less than a day."""


@dataclass(frozen=True, slots=True)
class DayAir:
    """Temperatures of one day's air, pack and ground.

    Attributes:
        warmest: Of the air in the hours of the shifts [K].
        coldest: Of the air in the hours of the shifts [K].
        pack: Of the packs when mixed [K], or None where it is the air's.
        ground: Round the pipe [K].
    """

    warmest: float
    coldest: float
    pack: float | None
    ground: float

    @property
    def changes(self) -> bool:
        """Whether the air does not keep one temperature."""
        return self.warmest > self.coldest


def day_air(inputs: Inputs, site: Site, shifts: ShiftRules) -> DayAir:
    """The day's air on the safe side, before anybody knows when a batch is mixed.

    Args:
        inputs: Of the connection; its air is taken where no path is told.
        site: Weather.
        shifts: Hours in which shifts run.
    """
    weather = site.weather
    air, pipe = inputs.air.value, inputs.pipe.value
    if weather is None:
        return DayAir(air, air, None, pipe)
    low, high = (air, air) if not weather.air_path else extremes(weather.air_path, shifts)
    ground = pipe if weather.ground is None else weather.ground
    return DayAir(high, low, weather.pack, ground)


def extremes(path: AirPath, shifts: ShiftRules) -> tuple[float, float]:
    """Coldest and warmest air between start and end of a shift [K].

    Args:
        path: Of the air, repeated every day; straight between its points, over midnight too.
        shifts: Start and length.
    """
    since = repeated(path, shifts.start)
    inside = [T for t, T in zip(since.times, since.temperatures, strict=True)
              if 0.0 <= t <= shifts.length]  # fmt: skip
    found = (at(since, 0.0), at(since, shifts.length), *inside)
    return min(found), max(found)


def path_from(site: Site, inputs: Inputs, moment: datetime) -> Path:
    """Air from a moment of local time on; the one temperature of the day where none is told.

    Args:
        site: Weather.
        inputs: Of the connection.
        moment: Time 0 of the path.
    """
    weather = site.weather
    if weather is None or not weather.air_path:
        return steady(inputs.air.value)
    midnight = datetime.combine(moment.date(), datetime.min.time(), moment.tzinfo)
    return repeated(weather.air_path, (moment - midnight).total_seconds())


def repeated(path: AirPath, start: float) -> Path:
    """The path, repeated every day, told from a time after midnight [s] on."""
    points = [
        (t + DAY * day - start, T) for day in range(_BEFORE, _AFTER + 1) for t, T in path
    ]  # fmt: skip
    return Path(tuple(t for t, _ in points), tuple(T for _, T in points))


def at(path: Path, time: float) -> float:
    """Temperature at a time [K]."""
    return float(np.interp(time, path.times, path.temperatures))


def short_path(site: Site, shifts: ShiftRules) -> tuple[Finding, ...]:
    """A path of the air that does not reach over the hours of the shifts."""
    weather = site.weather
    if weather is None or not weather.air_path:
        return ()
    first, last = weather.air_path[0][0], weather.air_path[-1][0]
    end = shifts.start + shifts.length
    days = (DAY * day for day in range(_BEFORE, _AFTER + 1))
    told = sum(max(0.0, min(end, last + d) - max(shifts.start, first + d)) for d in days)
    missing = shifts.length - told
    if missing < MINUTE:
        return ()
    return (
        Finding(
            FindingKind.DOUBT,
            "air-path-short",
            f"the path of the air leaves {missing / HOUR:.1f} h of the shifts out: there it is "
            "taken to run straight from its last time to its first of the next day",
            value=f"{missing / HOUR:.1f} h",
        ),
    )

"""Readings of leak tests, gathered from the log for `teewright.proof` to judge."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from teewright.errors import InputError
from teewright.site.corrections import correction_time, of_installation
from teewright.site.fields import number
from teewright.site.order import steps
from teewright.site.values import Event, EventKind

TAKEN = "taken"
"""Value of a reading of a logger: when it was taken, ISO 8601 with offset."""


def taken_at(event: Event) -> datetime:
    """When a reading was taken: as its logger tells, else when it was logged."""
    try:
        return correction_time(dict(event.data)[TAKEN])
    except (KeyError, InputError):
        return event.at


@dataclass(frozen=True, slots=True)
class LeakReadings:
    """Readings of one leak test.

    Attributes:
        label: `test` of the readings' data, `"1"` where none was given.
        method: `method` of the readings' data, the first that was given, or `""`.
        pressures: (time from the first reading [s], gauge pressure [Pa]) pairs.
        volumes: (time from the first reading [s], water added since the start [m3]) pairs.
        test_volume: Air volume between the seals, `test_volume` of the data [m3], or None.
        section_length: Distance between the seals, `seal_distance` of the data [m], or None.
    """

    label: str
    method: str
    pressures: tuple[tuple[float, float], ...]
    volumes: tuple[tuple[float, float], ...]
    test_volume: float | None = None
    section_length: float | None = None


def leak_readings(installation: str, events: Iterable[Event]) -> tuple[LeakReadings, ...]:
    """Leak tests of an installation, corrections applied.

    A reading may carry `elapsed` [s] where the gauge kept its own time; otherwise its time is
    that of the event. Readings with another `test` label are another test.

    Args:
        installation: Connection id, `#`, attempt.
        events: The log, in its order.

    Returns:
        In the order of their first readings; the last is the one that counts.
    """
    tests: dict[str, list[Event]] = {}
    for event in steps(of_installation(events, installation)):
        if event.kind is EventKind.TEST_READING:
            tests.setdefault(dict(event.data).get("test", "1"), []).append(event)
    return tuple(_gathered(label, readings) for label, readings in tests.items())


def _gathered(label: str, readings: list[Event]) -> LeakReadings:
    methods = [method for event in readings if (method := dict(event.data).get("method"))]
    return LeakReadings(
        label=label,
        method=methods[0] if methods else "",
        pressures=_pairs(readings, "pressure"),
        volumes=_pairs(readings, "volume"),
        test_volume=_given(readings, "test_volume"),
        section_length=_given(readings, "seal_distance"),
    )


def _given(readings: list[Event], name: str) -> float | None:
    """The first value of that name that is a number."""
    values = (number(dict(event.data).get(name, "")) for event in readings)
    return next((value for value in values if value is not None), None)


def _pairs(readings: list[Event], name: str) -> tuple[tuple[float, float], ...]:
    pairs: list[tuple[float, float]] = []
    for event in readings:
        data = dict(event.data)
        value = number(data.get(name, ""))
        if value is not None:
            elapsed = number(data.get("elapsed", ""))
            if elapsed is None:
                elapsed = (event.at - readings[0].at).total_seconds()
            pairs.append((elapsed, value))
    return tuple(pairs)

"""Leak test with water, EN 1610 method W: allowances and the judgement of readings."""

from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum
from math import isfinite, pi

from teewright.errors import InputError, RangeError
from teewright.proof.readings import Readings, checked, too_few
from teewright.proof.values import LeakTest
from teewright.trace import Origin, TraceRow
from teewright.units import KPA, LITRE, MINUTE

LAW = "EN 1610:2015 method W"
TEST_TIME = 30.0 * MINUTE
"""Test time [s]."""
TIME_TOLERANCE = 1.0 * MINUTE
"""Allowed either way [s]; read in a secondary source."""
PRESSURES = (10.0 * KPA, 50.0 * KPA)
"""Test pressures [Pa]; read in a secondary source."""
PRESSURE_SWING = 1.0 * KPA
"""How closely the pressure is kept by topping up [Pa]; value from memory."""
SINGLE_LENGTH = 1.0
"""Length of pipe that counts as wetted for a single joint or connection [m]; Stein 2001, sec.
4.5.1.4.1, on EN 1610:1997."""
_ROUND_OFF = 1.0 + 1e-9
Verdict = tuple[bool | None, int, str]
"""Whether it passed, the index of the reading that decides, and the reason."""


class WaterPart(StrEnum):
    """What is tested."""

    PIPE = "pipe"
    PIPE_AND_MANHOLES = "pipe and manholes"
    MANHOLE = "manhole"


PER_AREA = {
    WaterPart.PIPE: 0.15 * LITRE,
    WaterPart.PIPE_AND_MANHOLES: 0.20 * LITRE,
    WaterPart.MANHOLE: 0.40 * LITRE,
}
"""Water that may be added in 30 min per wetted inner surface [m3/m2]; EN 1610:2015, read in a
secondary source."""


def wetted_area(diameter: float, length: float = SINGLE_LENGTH) -> float:
    """Wetted inner surface of a full pipe [m2]: `pi D L`.

    Args:
        diameter: Inner diameter [m].
        length: Length, 1 m for a single joint or connection [m].

    Raises:
        InputError: One of them is not above 0.
    """
    for field, value in (("diameter", diameter), ("length", length)):
        if not (isfinite(value) and value > 0.0):
            raise InputError("is not above 0", field=field, value=value, allowed="more than 0")
    return pi * diameter * length


def allowance(area: float, part: WaterPart = WaterPart.PIPE) -> float:
    """Water that may be added in the test time [m3].

    Args:
        area: Wetted inner surface [m2].
        part: What is tested.
    """
    return PER_AREA[part] * area


def judge_water(
    readings: Sequence[tuple[float, float]],
    *,
    area: float,
    pressure: float,
    part: WaterPart = WaterPart.PIPE,
    swing: float = 0.0,
) -> LeakTest:
    """Judge a water test from its readings.

    The test fails as soon as more water than allowed was added within the test time; it
    passes when the first reading after 29 min or later is not above the allowance. Where
    neither is certain, it is not judged and the reason is given.

    Args:
        readings: (time [s], water added since the start [m3]) pairs, times ascending.
        area: Wetted inner surface [m2].
        pressure: Test pressure, 10 to 50 kPa [Pa].
        part: What is tested.
        swing: Largest difference from the test pressure while it was kept [Pa].

    Raises:
        InputError: Readings that are none, or an area that is not above 0.
        RangeError: The pressure is outside the range of the standard.
    """
    low, high = PRESSURES
    if not low <= pressure <= high:
        raise RangeError("pressure", pressure, low=low, high=high, unit="Pa", law=LAW)
    if not (isfinite(area) and area > 0.0):
        raise InputError("is not above 0", field="area", value=area, allowed="more than 0 m2")
    used = checked(readings, field="volume", unit="m3")
    limit = allowance(area, part)
    passed, deciding, reason = _verdict(used, limit, swing)
    test = LeakTest(
        method="W",
        passed=passed,
        required_time=TEST_TIME,
        observed_time=used[deciding][0] if used else 0.0,
        limit=limit,
        measured=used[deciding][1] - used[0][1] if used else 0.0,
        reason=reason,
        trace=(),
    )
    return replace(test, trace=_trace(test, area, pressure, part))


def _verdict(used: Readings, limit: float, swing: float) -> Verdict:
    if len(used) < 2:
        return None, 0, too_few(used)
    last = len(used) - 1
    end = next((i for i, (t, _) in enumerate(used) if t >= TEST_TIME - TIME_TOLERANCE), None)
    within = range(1, (last if end is None else end) + 1)
    return (
        _failure(used, within, limit)
        or _unsteady(used, within, swing)
        or _end_verdict(used, end, limit)
    )


def _failure(used: Readings, within: range, limit: float) -> Verdict | None:
    """Too much water within the test time is certain, however long the readings last."""
    for index in within:
        time, added = used[index][0], used[index][1] - used[0][1]
        if added > limit * _ROUND_OFF and time <= TEST_TIME + TIME_TOLERANCE:
            found = f"{added / LITRE:.3f} l added after {time / MINUTE:.0f} min"
            return False, index, f"{found}, {limit / LITRE:.3f} l allowed."
    return None


def _unsteady(used: Readings, within: range, swing: float) -> Verdict | None:
    for index in within:
        if used[index][1] < used[index - 1][1]:
            return None, index, f"Not judged: the water added falls at {used[index][0]:.0f} s."
    if swing > PRESSURE_SWING:
        kept = f"{swing / KPA:.1f} kPa off, {PRESSURE_SWING / KPA:.0f} kPa allowed"
        return None, within[-1], f"Not judged: the pressure was {kept}."
    return None


def _end_verdict(used: Readings, end: int | None, limit: float) -> Verdict:
    if end is None:
        lasted = f"{used[-1][0] / MINUTE:.1f} min of {TEST_TIME / MINUTE:.0f} min"
        return None, len(used) - 1, f"Not judged: the readings last only {lasted}."
    time, added = used[end][0], used[end][1] - used[0][1]
    if added > limit * _ROUND_OFF:
        gap = f"between {used[end - 1][0]:.0f} s and {time:.0f} s"
        return None, end, f"Not judged: no reading at 30 min, only {gap}."
    found = f"{added / LITRE:.3f} l added in {time / MINUTE:.0f} min"
    return True, end, f"{found}, {limit / LITRE:.3f} l allowed."


def _trace(test: LeakTest, area: float, pressure: float, part: WaterPart) -> tuple[TraceRow, ...]:
    rate = f"{PER_AREA[part] / LITRE:.2f} l/m2"
    return (
        TraceRow("wetted surface", "A", area, "m2", origin=Origin.INPUT),
        TraceRow("test pressure", "p", pressure, "kPa", origin=Origin.INPUT),
        TraceRow("water allowed", "V_a", test.limit, "l", formula=f"{rate} · A", source=LAW),
        TraceRow(
            "time required", "t_t", test.required_time, "min", source=LAW, origin=Origin.TABLE
        ),
        TraceRow("time observed", "t_o", test.observed_time, "min", origin=Origin.INPUT),
        TraceRow("water added", "V_m", test.measured, "l", origin=Origin.INPUT),
    )

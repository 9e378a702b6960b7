"""Leak test with air, EN 1610 method L: readings judged.

A failed air test does not condemn a pipe: in doubt the water test decides
(`teewright.proof.en1610_water`).
"""

from collections.abc import Sequence
from dataclasses import replace

from teewright.errors import InputError
from teewright.proof.en1610 import (
    LAW,
    AirMethod,
    air_method,
    formula_time,
    kp,
    required_time,
    single_time,
)
from teewright.proof.readings import Readings, checked
from teewright.proof.values import LeakTest
from teewright.trace import Origin, TraceRow
from teewright.units import MBAR

START_TOLERANCE = 3.0 * MBAR
"""Largest difference of the first reading from the test pressure [Pa]; German federal guidance
BFR Abwasser on EN 1610, read in a secondary source."""
GAUGE_STEP = 0.1 * MBAR
"""Rise between readings that a gauge may show by itself [Pa]; common practice, no source."""
_ROUND_OFF = 1e-6  # of sums of readings [s] and [Pa]
Verdict = tuple[bool | None, int, str]
"""Whether it passed, the index of the reading that decides, and the reason."""


def judge_air(
    readings: Sequence[tuple[float, float]],
    *,
    diameter: float,
    method: str,
    dry_concrete: bool = False,
    test_volume: float | None = None,
    section_length: float | None = None,
    start_tolerance: float = START_TOLERANCE,
    gauge_step: float = GAUGE_STEP,
) -> LeakTest:
    """Judge an air test from its readings.

    The first reading is the start of the test, after the time of settling. The test fails as
    soon as a reading within the test time is down by more than the drop allowed; it passes
    when the first reading at or after the test time is not. Where neither is certain, it is
    not judged and the reason is given.

    Args:
        readings: (time [s], gauge pressure [Pa]) pairs, times ascending.
        diameter: Inner diameter, 0.1 to 1.0 [m].
        method: `LA` to `LD`.
        dry_concrete: Whether the pipe is of concrete and dry.
        test_volume: Air volume between the seals of a single connection [m3], with
            `section_length`; None for a whole pipe.
        section_length: Distance between those seals [m].
        start_tolerance: Largest difference of the first reading from p0 [Pa].
        gauge_step: Rise that the gauge may show by itself [Pa].

    Raises:
        InputError: Readings that are none, no such method, or only one of volume and length.
        RangeError: The diameter is outside the table of the standard.
    """
    chosen = air_method(method)
    used = checked(readings, field="pressure", unit="Pa")
    if test_volume is None and section_length is None:
        needed = required_time(diameter, method, dry_concrete=dry_concrete)
    elif test_volume is not None and section_length is not None:
        needed = single_time(
            diameter,
            method,
            test_volume=test_volume,
            section_length=section_length,
            dry_concrete=dry_concrete,
        )
    else:
        raise InputError(
            "is given alone", field="test_volume or section_length", allowed="both or neither"
        )
    passed, deciding, reason = _verdict(used, chosen, needed, start_tolerance, gauge_step)
    measured = used[0][1] - used[deciding][1] if used else 0.0
    test = LeakTest(
        method=method,
        passed=passed,
        required_time=needed,
        observed_time=used[deciding][0] if used else 0.0,
        limit=chosen.drop,
        measured=measured,
        reason=reason,
        trace=(),
    )
    trace = _trace(test, chosen, diameter, dry_concrete=dry_concrete)
    if test_volume is not None and section_length is not None:
        trace = _with_volume(trace, test_volume, section_length)
    return replace(test, trace=trace)


def _verdict(
    used: Readings, method: AirMethod, needed: float, start_tolerance: float, gauge_step: float
) -> Verdict:
    if len(used) < 2:
        return None, 0, f"Not judged: {len(used)} readings, at least 2 are needed."
    start, last = used[0][1], len(used) - 1
    if abs(start - method.pressure) > start_tolerance + _ROUND_OFF:
        return None, last, _start_reason(start, method, start_tolerance)
    end = next((i for i, (time, _) in enumerate(used) if time >= needed - _ROUND_OFF), None)
    within = range(1, (last if end is None else end) + 1)
    return (
        _failure(used, within, method, needed)
        or _rise(used, within, gauge_step)
        or _end_verdict(used, end, method, needed)
    )


def _failure(used: Readings, within: range, method: AirMethod, needed: float) -> Verdict | None:
    """A drop too large within the test time is certain, however long the readings last."""
    for index in within:
        time, drop = used[index][0], used[0][1] - used[index][1]
        if drop > method.drop + _ROUND_OFF and time <= needed + _ROUND_OFF:
            return False, index, _failed_reason(drop, time, method)
    return None


def _rise(used: Readings, within: range, gauge_step: float) -> Verdict | None:
    """A pressure that rises is fed, or warmed: the drop says nothing then."""
    for index in within:
        if used[index][1] > used[index - 1][1] + gauge_step + _ROUND_OFF:
            return None, index, f"Not judged: the pressure rises at {used[index][0]:.0f} s."
    return None


def _end_verdict(used: Readings, end: int | None, method: AirMethod, needed: float) -> Verdict:
    if end is None:
        lasted = f"{used[-1][0]:.0f} s of {needed:.0f} s"
        return None, len(used) - 1, f"Not judged: the readings last only {lasted}."
    time, drop = used[end][0], used[0][1] - used[end][1]
    if drop > method.drop + _ROUND_OFF:
        gap = f"between {used[end - 1][0]:.0f} s and {time:.0f} s"
        return None, end, f"Not judged: no reading at the test time of {needed:.0f} s, only {gap}."
    allowed = f"{method.drop / MBAR:.1f} mbar allowed"
    return True, end, f"Drop of {drop / MBAR:.1f} mbar in {time:.0f} s, {allowed}."


def _start_reason(start: float, method: AirMethod, tolerance: float) -> str:
    window = f"{method.pressure / MBAR:.0f} ± {tolerance / MBAR:.0f} mbar"
    return f"Not judged: starts at {start / MBAR:.1f} mbar, {method.name} at {window}."


def _failed_reason(drop: float, time: float, method: AirMethod) -> str:
    allowed = f"{method.drop / MBAR:.1f} mbar allowed"
    found = f"Drop of {drop / MBAR:.1f} mbar after {time:.0f} s, {allowed}"
    return f"{found}; in doubt a water test decides."


def _trace(
    test: LeakTest, method: AirMethod, diameter: float, *, dry_concrete: bool
) -> tuple[TraceRow, ...]:
    constant = kp(diameter, dry_concrete=dry_concrete)
    raw = formula_time(diameter, method.name, dry_concrete=dry_concrete)
    numerator = 16 if dry_concrete else 12
    return (
        TraceRow("inner diameter", "D", diameter, "mm", origin=Origin.INPUT),
        TraceRow("test pressure", "p_0", method.pressure, "mbar", source=LAW, origin=Origin.TABLE),
        TraceRow("drop allowed", "Δp", method.drop, "mbar", source=LAW, origin=Origin.TABLE),
        TraceRow(
            "constant Kp",
            "K_p",
            constant,
            "1/min",
            formula=f"{numerator} / DN ≤ 0.058",
            source=LAW,
        ),
        TraceRow("time by formula", "t_f", raw, "s", formula="ln(p0 / (p0 − Δp)) / Kp", source=LAW),
        TraceRow("time required", "t_t", test.required_time, "s", formula="rounded, or as printed"),
        TraceRow("time observed", "t_o", test.observed_time, "s", origin=Origin.INPUT),
        TraceRow("drop measured", "Δp_m", test.measured, "mbar", origin=Origin.INPUT),
    )


def _with_volume(
    trace: tuple[TraceRow, ...], test_volume: float, section_length: float
) -> tuple[TraceRow, ...]:
    """The rows of a single connection, whose time is scaled and not rounded."""
    scaled = replace(
        trace[5],
        formula="t_f V_t / (π/4 D² L)",
        source="Stein 2001, F. 4.5.1.4.2.1-1, after Kaufmann 1997",
    )
    given = (
        TraceRow("volume under test", "V_t", test_volume, "l", origin=Origin.INPUT),
        TraceRow("distance between seals", "L", section_length, "m", origin=Origin.INPUT),
    )
    return (*trace[:5], *given, scaled, *trace[6:])

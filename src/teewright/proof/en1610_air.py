"""Leak test with air, EN 1610 method L: readings judged.

A failed air test does not condemn a pipe: in doubt the water test decides
(`teewright.proof.en1610_water`).
"""

from collections.abc import Sequence
from dataclasses import replace

from teewright.proof.air import GAUGE_STEP, AirTest, Space, judged, trace
from teewright.proof.en1610 import LAW, air_method, formula_time, kp, required_time, single_time
from teewright.proof.readings import checked
from teewright.proof.values import LeakTest
from teewright.trace import TraceRow
from teewright.units import MBAR

START_TOLERANCE = 3.0 * MBAR
"""Largest difference of the first reading from the test pressure [Pa]; German federal guidance
BFR Abwasser on EN 1610, read in a secondary source."""


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
    """Judge an air test from its readings, as `teewright.proof.air` does.

    Args:
        readings: (time [s], gauge pressure [Pa]) pairs, times ascending; the first is the start.
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
    space = Space.of(test_volume, section_length)
    raw = formula_time(diameter, method, dry_concrete=dry_concrete)
    limits = AirTest(
        method=method,
        pressure=chosen.pressure,
        drop=chosen.drop,
        required_time=_required(diameter, method, space, dry_concrete=dry_concrete),
        start_tolerance=start_tolerance,
        gauge_step=gauge_step,
        after_failure="; in doubt a water test decides",
    )
    test = judged(used, limits)
    time = _time_rows(diameter, raw, limits.required_time, dry_concrete=dry_concrete)
    rows = trace(test, limits, time, diameter=diameter, space=space, source=LAW)
    return replace(test, trace=rows)


def _required(diameter: float, method: str, space: Space | None, *, dry_concrete: bool) -> float:
    if space is None:
        return required_time(diameter, method, dry_concrete=dry_concrete)
    return single_time(
        diameter,
        method,
        test_volume=space.volume,
        section_length=space.length,
        dry_concrete=dry_concrete,
    )


def _time_rows(
    diameter: float, raw: float, needed: float, *, dry_concrete: bool
) -> tuple[TraceRow, ...]:
    constant = kp(diameter, dry_concrete=dry_concrete)
    formula = f"{16 if dry_concrete else 12} / DN ≤ 0.058"
    return (
        TraceRow("constant Kp", "K_p", constant, "1/min", formula=formula, source=LAW),
        TraceRow("time by formula", "t_f", raw, "s", formula="ln(p0 / (p0 − Δp)) / Kp", source=LAW),
        TraceRow("time required", "t_t", needed, "s", formula="rounded, or as printed"),
    )

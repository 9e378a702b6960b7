"""Low-pressure leak test with air, ASTM F1417: readings judged.

For plastic pipe, which a lined main is from within. Water outside the pipe works against the
test; the standard's addition for it was not read, so none is made: a test that was started
higher is not judged.
"""

from collections.abc import Sequence
from dataclasses import replace

from teewright.proof.air import AirTest, Space, judged, trace
from teewright.proof.f1417 import (
    DROPS,
    LARGEST_PRESSURE,
    LAW,
    START,
    least_time,
    length_factor,
    length_of_least_time,
)
from teewright.proof.readings import Readings, checked
from teewright.proof.values import LeakTest
from teewright.trace import TraceRow
from teewright.units import MBAR, PSI

METHODS = {"F1417": DROPS[1], "F1417-HALF": DROPS[0]}
"""Drop of pressure of each method [Pa]."""
START_TOLERANCE = 0.05 * PSI
"""Largest difference of the first reading from 3.5 psi [Pa]: half a division of a gauge that
shows tenths; common practice, no source."""
GAUGE_STEP = 0.01 * PSI
"""Rise between readings that a gauge may show by itself [Pa]; common practice, no source."""
_MEMORY = f"{LAW}; from memory, agrees with its Table 2"


def judge_f1417(
    readings: Sequence[tuple[float, float]],
    *,
    diameter: float,
    method: str = "F1417",
    test_volume: float | None = None,
    section_length: float | None = None,
) -> LeakTest:
    """Judge a low-pressure air test from its readings.

    The pipe is filled above 3.5 psi and settles; the time counts from the first reading at
    3.5 psi. Without a volume the time is the least one, that of a pipe up to
    `teewright.proof.f1417.length_of_least_time`.

    Args:
        readings: (time [s], gauge pressure [Pa]) pairs, times ascending.
        diameter: Inner diameter, 4 to 33 inches [m].
        method: `F1417` for a drop of 1.0 psi, `F1417-HALF` for one of 0.5 psi.
        test_volume: Air volume between the seals of a single connection [m3], with
            `section_length`.
        section_length: Distance between those seals [m].

    Raises:
        InputError: Readings that are none, or only one of volume and length.
        RangeError: The diameter is outside the rows of the standard that were read.
    """
    used, began = _from_start(checked(readings, field="pressure", unit="Pa"))
    space = Space.of(test_volume, section_length)
    length = length_of_least_time(diameter) if space is None else space.length
    raw = least_time(diameter, length, drop=METHODS[method])
    limits = AirTest(
        method=method,
        pressure=START,
        drop=METHODS[method],
        required_time=raw if space is None else space.scaled(raw, diameter),
        start_tolerance=START_TOLERANCE,
        gauge_step=GAUGE_STEP,
    )
    test = _held_below(judged(used, limits), readings)
    time = _time_rows(limits, raw, length_factor(diameter, length))
    rows = trace(test, limits, time, diameter=diameter, space=space, source=LAW)
    return replace(test, trace=rows, began=began)


def _from_start(used: Readings) -> tuple[Readings, float]:
    """Readings from the first at 3.5 psi on, and when that was; all where there is none."""
    for index, (began, pressure) in enumerate(used):
        if pressure <= START + START_TOLERANCE:
            return tuple((time - began, value) for time, value in used[index:]), began
    return used, 0.0


def _held_below(test: LeakTest, readings: Sequence[tuple[float, float]]) -> LeakTest:
    """A test that went above what the standard allows in the pipe is none."""
    highest = max((pressure for _, pressure in readings), default=0.0)
    if highest <= LARGEST_PRESSURE:
        return test
    most = f"{LARGEST_PRESSURE / MBAR:.0f} mbar must not be exceeded in the pipe"
    return replace(test, passed=None, reason=f"Not judged: {highest / MBAR:.0f} mbar, {most}.")


def _time_rows(limits: AirTest, raw: float, factor: float) -> tuple[TraceRow, ...]:
    half = "" if limits.drop == DROPS[1] else "half of "
    formula = f"{half}0.085 D K_L / 0.0015, D in inches"
    return (
        TraceRow(
            "factor of the length",
            "K_L",
            factor,
            "-",
            formula="0.000419 D L ≥ 1, in inches and feet",
            source=_MEMORY,
        ),
        TraceRow("time by formula", "t_f", raw, "s", formula=formula, source=_MEMORY),
        TraceRow("time required", "t_t", limits.required_time, "s", formula="t_f"),
    )

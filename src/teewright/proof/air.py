"""Readings of a leak test with air, judged: what the methods of all standards have in common."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

from teewright.errors import InputError
from teewright.proof.readings import Readings, too_few
from teewright.proof.values import LeakTest
from teewright.trace import Origin, TraceRow
from teewright.units import MBAR

GAUGE_STEP = 0.1 * MBAR
"""Rise between readings that a gauge may show by itself [Pa]; common practice, no source."""
_ROUND_OFF = 1e-6  # of sums of readings [s] and [Pa]
Verdict = tuple[bool | None, int, str]
"""Whether it passed, the index of the reading that decides, and the reason."""


@dataclass(frozen=True, slots=True)
class AirTest:
    """What a test with air is held to.

    Attributes:
        method: Its name.
        pressure: Test pressure p0 [Pa].
        drop: Largest drop of pressure [Pa].
        required_time: Test time [s].
        start_tolerance: Largest difference of the first reading from p0 [Pa].
        gauge_step: Rise that the gauge may show by itself [Pa].
        after_failure: What the standard says of a test that failed, or `""`.
    """

    method: str
    pressure: float
    drop: float
    required_time: float
    start_tolerance: float
    gauge_step: float = GAUGE_STEP
    after_failure: str = ""


@dataclass(frozen=True, slots=True)
class Space:
    """The space between the seals of a single connection.

    Attributes:
        volume: Air volume under test [m3].
        length: Distance between the seals [m].

    Raises:
        InputError: One is not above 0.
    """

    volume: float
    length: float

    def __post_init__(self) -> None:
        """Refuse what is no space."""
        for field, value in (("test_volume", self.volume), ("section_length", self.length)):
            if not value > 0.0:
                raise InputError("is not above 0", field=field, value=value, allowed="more than 0")

    @classmethod
    def of(cls, volume: float | None, length: float | None) -> "Space | None":
        """The space, or None for a whole pipe.

        Raises:
            InputError: Only one is given, or one is not above 0.
        """
        if volume is None and length is None:
            return None
        if volume is None or length is None:
            raise InputError(
                "is given alone", field="test_volume or section_length", allowed="both or neither"
            )
        return cls(volume, length)

    def scaled(self, time: float, diameter: float) -> float:
        """A test time of the pipe between the seals [s], for the volume that is under test.

        `t = t_pipe V_test / V_section`: the same loss lowers the pressure of less air sooner.
        Source: Stein, Instandhaltung von Kanalisationen, 2001, F. 4.5.1.4.2.1-1, after Kaufmann
        1997, given there for EN 1610. The time is short, so the standard's rounding does not apply.

        Args:
            time: Of the pipe [s].
            diameter: Its inner diameter [m].
        """
        return time * self.volume / (pi / 4.0 * diameter**2 * self.length)

    def rows(self, time: TraceRow) -> tuple[TraceRow, ...]:
        """The space and the time required, which `time` gives for a whole pipe, in their place."""
        source = "Stein 2001, F. 4.5.1.4.2.1-1, after Kaufmann 1997, there for EN 1610"
        return (
            TraceRow("volume under test", "V_t", self.volume, "l", origin=Origin.INPUT),
            TraceRow("distance between seals", "L", self.length, "m", origin=Origin.INPUT),
            TraceRow(
                time.quantity, time.symbol, time.value, time.shown_in,
                formula="t_f V_t / (π/4 D² L)", source=source,
            ),
        )  # fmt: skip


def judged(used: Readings, test: AirTest) -> LeakTest:
    """Judge readings that were checked.

    The first reading is the start of the test, after the time of settling. The test fails as
    soon as a reading within the test time is down by more than the drop allowed; it passes
    when the first reading at or after the test time is not. Where neither is certain, it is
    not judged and the reason is given.

    Args:
        used: (time [s], gauge pressure [Pa]) pairs from the start.
        test: What they are held to.

    Returns:
        The test, its trace still to come.
    """
    passed, deciding, reason = _verdict(used, test)
    return LeakTest(
        method=test.method,
        passed=passed,
        required_time=test.required_time,
        observed_time=used[deciding][0] if used else 0.0,
        limit=test.drop,
        measured=used[0][1] - used[deciding][1] if used else 0.0,
        reason=reason,
        trace=(),
    )


def trace(
    test: LeakTest,
    limits: AirTest,
    time: Sequence[TraceRow],
    *,
    diameter: float,
    space: Space | None,
    source: str,
) -> tuple[TraceRow, ...]:
    """Numbers of a test in checking order.

    Args:
        test: As it was judged.
        limits: What it was held to.
        time: Rows that lead to the time required of a whole pipe, which is the last.
        diameter: Inner diameter [m].
        space: Between the seals, or None for a whole pipe.
        source: Standard of pressure and drop.
    """
    table = Origin.TABLE
    *before, last = time
    return (
        TraceRow("inner diameter", "D", diameter, "mm", origin=Origin.INPUT),
        TraceRow("test pressure", "p_0", limits.pressure, "mbar", source=source, origin=table),
        TraceRow("drop allowed", "Δp", limits.drop, "mbar", source=source, origin=table),
        *before,
        *((last,) if space is None else space.rows(last)),
        TraceRow("time observed", "t_o", test.observed_time, "s", origin=Origin.INPUT),
        TraceRow("drop measured", "Δp_m", test.measured, "mbar", origin=Origin.INPUT),
    )


def _verdict(used: Readings, test: AirTest) -> Verdict:
    if len(used) < 2:
        return None, 0, too_few(used)
    start, last = used[0][1], len(used) - 1
    if abs(start - test.pressure) > test.start_tolerance + _ROUND_OFF:
        return None, last, _start_reason(start, test)
    end = next((i for i, (t, _) in enumerate(used) if t >= test.required_time - _ROUND_OFF), None)
    within = range(1, (last if end is None else end) + 1)
    return (
        _failure(used, within, test)
        or _rise(used, within, test.gauge_step)
        or _end_verdict(used, end, test)
    )


def _failure(used: Readings, within: range, test: AirTest) -> Verdict | None:
    """A drop too large within the test time is certain, however long the readings last."""
    for index in within:
        time, drop = used[index][0], used[0][1] - used[index][1]
        if drop > test.drop + _ROUND_OFF and time <= test.required_time + _ROUND_OFF:
            found = f"Drop of {drop / MBAR:.1f} mbar after {time:.0f} s, {_allowed(test)}"
            return False, index, f"{found}{test.after_failure}."
    return None


def _rise(used: Readings, within: range, gauge_step: float) -> Verdict | None:
    """A pressure that rises is fed, or warmed: the drop says nothing then."""
    for index in within:
        if used[index][1] > used[index - 1][1] + gauge_step + _ROUND_OFF:
            return None, index, f"Not judged: the pressure rises at {used[index][0]:.0f} s."
    return None


def _end_verdict(used: Readings, end: int | None, test: AirTest) -> Verdict:
    needed = test.required_time
    if end is None:
        lasted = f"{used[-1][0]:.0f} s of {needed:.0f} s"
        return None, len(used) - 1, f"Not judged: the readings last only {lasted}."
    time, drop = used[end][0], used[0][1] - used[end][1]
    if drop > test.drop + _ROUND_OFF:
        gap = f"between {used[end - 1][0]:.0f} s and {time:.0f} s"
        return None, end, f"Not judged: no reading at the test time of {needed:.0f} s, only {gap}."
    return True, end, f"Drop of {drop / MBAR:.1f} mbar in {time:.0f} s, {_allowed(test)}."


def _allowed(test: AirTest) -> str:
    return f"{test.drop / MBAR:.1f} mbar allowed"


def _start_reason(start: float, test: AirTest) -> str:
    window = f"{test.pressure / MBAR:.0f} ± {test.start_tolerance / MBAR:.0f} mbar"
    return f"Not judged: starts at {start / MBAR:.1f} mbar, {test.method} at {window}."

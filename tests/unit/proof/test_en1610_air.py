import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, RangeError
from teewright.proof.en1610 import METHODS, single_time
from teewright.proof.en1610_air import judge_air
from teewright.proof.values import LeakTest

Pairs = list[tuple[float, float]]
TIGHT: Pairs = [(0, 10_000), (60, 9_800), (120, 9_600), (180, 9_400)]


def judge(readings: Pairs) -> LeakTest:
    return judge_air(readings, diameter=0.2, method="LC")


def test_a_tight_pipe_passes() -> None:
    test = judge(TIGHT)
    assert test.passed is True
    assert (test.required_time, test.observed_time) == (180.0, 180.0)
    assert (test.limit, test.measured) == (1500.0, 600.0)
    assert test.reason == "Drop of 6.0 mbar in 180 s, 15.0 mbar allowed."


def test_the_limit_itself_passes_and_a_little_more_fails() -> None:
    assert judge([(0, 10_000), (180, 8_500)]).passed is True
    over = judge([(0, 10_000), (180, 8_499)])
    assert over.passed is False
    assert "in doubt a water test decides" in over.reason


def test_a_drop_too_large_fails_even_if_the_readings_end_early() -> None:
    test = judge([(0, 10_000), (40, 8_000)])
    assert test.passed is False
    assert (test.observed_time, test.measured) == (40.0, 2000.0)


def test_drops_after_the_test_time_do_not_count() -> None:
    assert judge([*TIGHT, (600, 2_000)]).passed is True


@pytest.mark.parametrize(
    ("readings", "reason"),
    [
        ([], "0 readings"),
        ([(0, 10_000)], "1 reading,"),
        ([(0, 10_000), (179, 9_900)], "last only 179 s of 180 s"),
        ([(0, 9_600), (180, 9_500)], "starts at 96.0 mbar"),
        ([(0, 10_400), (180, 9_500)], "starts at 104.0 mbar"),
        ([(0, 10_000), (100, 9_500), (180, 9_900)], "rises at 180 s"),
        ([(0, 10_000), (100, 9_000), (900, 8_000)], "no reading at the test time"),
    ],
)
def test_what_cannot_be_judged_says_why(readings: Pairs, reason: str) -> None:
    test = judge(readings)
    assert test.passed is None
    assert test.reason.startswith("Not judged: ")
    assert reason in test.reason


def test_a_clock_that_does_not_start_at_0_changes_nothing() -> None:
    moved = judge([(time + 1_000.0, pressure) for time, pressure in TIGHT])
    assert moved == judge(TIGHT)


def test_tolerances_can_be_set() -> None:
    off = [(0.0, 9_600.0), (180.0, 9_500.0)]
    assert judge_air(off, diameter=0.2, method="LC", start_tolerance=500.0).passed is True
    rising = [(0.0, 10_000.0), (90.0, 9_900.0), (180.0, 9_950.0)]
    assert judge_air(rising, diameter=0.2, method="LC").passed is None
    assert judge_air(rising, diameter=0.2, method="LC", gauge_step=100.0).passed is True


def test_a_single_connection_is_held_to_its_own_time() -> None:
    needed = single_time(0.2, "LC", test_volume=0.010, section_length=1.0)
    test = judge_air(
        [(0, 10_000), (54, 9_000)],
        diameter=0.2,
        method="LC",
        test_volume=0.010,
        section_length=1.0,
    )
    assert test.passed is True
    assert test.required_time == pytest.approx(needed)
    assert {"V_t", "L"} <= {row.symbol for row in test.trace}


def test_the_trace_agrees_with_the_verdict() -> None:
    rows = {row.symbol: row.value for row in judge(TIGHT).trace}
    assert rows["p_0"] * (1.0 - math.exp(-rows["K_p"] * rows["t_f"])) == pytest.approx(rows["Δp"])
    assert (rows["t_t"], rows["t_o"], rows["Δp_m"]) == (180.0, 180.0, 600.0)


def test_refusals() -> None:
    with pytest.raises(InputError, match="not later"):
        judge([(0, 10_000), (0, 9_000)])
    with pytest.raises(InputError, match="no reading"):
        judge([(0, 10_000), (60, math.nan)])
    with pytest.raises(InputError, match="no reading"):
        judge([(0, -10)])
    with pytest.raises(InputError, match="both or neither"):
        judge_air(TIGHT, diameter=0.2, method="LC", test_volume=0.01)
    with pytest.raises(InputError, match="no air method"):
        judge_air(TIGHT, diameter=0.2, method="W")
    with pytest.raises(RangeError):
        judge_air(TIGHT, diameter=2.0, method="LC")


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(sorted(METHODS)),
    st.floats(0.1, 1.0),
    st.floats(0.05, 3.0),
    st.integers(2, 40),
)
def test_decay_slower_than_allowed_passes_and_faster_fails(
    method: str, diameter: float, factor: float, count: int
) -> None:
    """A pressure that decays with `factor` times the constant that just meets the limit."""
    chosen = METHODS[method]
    needed = judge_air([], diameter=diameter, method=method).required_time
    critical = -math.log(1.0 - chosen.drop / chosen.pressure) / needed
    readings = [
        (
            needed * i / (count - 1),
            chosen.pressure * math.exp(-factor * critical * needed * i / (count - 1)),
        )
        for i in range(count)
    ]
    verdict = judge_air(readings, diameter=diameter, method=method).passed
    if abs(factor - 1.0) > 1e-6:
        assert verdict is (factor < 1.0)

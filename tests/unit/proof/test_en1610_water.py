import math

import pytest

from teewright.errors import InputError, RangeError
from teewright.proof.en1610_water import WaterPart, allowance, judge_water, wetted_area
from teewright.proof.values import LeakTest

Pairs = list[tuple[float, float]]
AREA = wetted_area(0.2)
LIMIT = allowance(AREA)


def judge(readings: Pairs, swing: float = 0.0) -> LeakTest:
    return judge_water(readings, area=AREA, pressure=20_000.0, swing=swing)


def test_allowance_grows_with_surface_and_part() -> None:
    assert allowance(wetted_area(0.2, 30.0)) == pytest.approx(30.0 * LIMIT)
    assert wetted_area(0.2) == pytest.approx(math.pi * 0.2)
    assert allowance(1.0) < allowance(1.0, WaterPart.PIPE_AND_MANHOLES)
    assert allowance(1.0, WaterPart.PIPE_AND_MANHOLES) * 2 == allowance(1.0, WaterPart.MANHOLE)


def test_the_limit_itself_passes_and_a_little_more_fails() -> None:
    assert judge([(0, 0), (1800, LIMIT)]).passed is True
    over = judge([(0, 0), (1800, LIMIT * 1.001)])
    assert over.passed is False
    assert over.reason == "0.094 l added after 30 min, 0.094 l allowed."


def test_water_in_the_vessel_before_the_start_does_not_count() -> None:
    test = judge([(0, 0.5), (900, 0.5), (1800, 0.5 + LIMIT / 2)])
    assert test.passed is True
    assert test.measured == pytest.approx(LIMIT / 2)


def test_too_much_fails_early() -> None:
    test = judge([(0, 0), (300, 2 * LIMIT)])
    assert test.passed is False
    assert test.observed_time == 300.0


def test_a_minute_less_or_more_is_allowed() -> None:
    assert judge([(0, 0), (1740, LIMIT / 2)]).passed is True
    assert judge([(0, 0), (1860, LIMIT * 1.1)]).passed is False


@pytest.mark.parametrize(
    ("readings", "swing", "reason"),
    [
        ([(0, 0)], 0.0, "1 reading,"),
        ([(0, 0), (1739, 0)], 0.0, "last only 29.0 min of 30 min"),
        ([(0, 0), (900, LIMIT / 2), (1800, LIMIT / 3)], 0.0, "falls at 1800 s"),
        ([(0, 0), (1800, LIMIT / 3)], 1_200.0, "1.2 kPa off"),
        ([(0, 0), (900, 0), (3600, 2 * LIMIT)], 0.0, "no reading at 30 min"),
    ],
)
def test_what_cannot_be_judged_says_why(readings: Pairs, swing: float, reason: str) -> None:
    test = judge(readings, swing)
    assert test.passed is None
    assert reason in test.reason


def test_the_trace_holds_the_numbers_of_the_verdict() -> None:
    test = judge([(0, 0), (1800, LIMIT / 2)])
    rows = {row.symbol: row.value for row in test.trace}
    assert (rows["V_a"], rows["V_m"]) == (test.limit, test.measured)
    assert rows["V_a"] == pytest.approx(0.15e-3 * rows["A"])


def test_refusals() -> None:
    for pressure in (9_000.0, 51_000.0, math.nan):
        with pytest.raises(RangeError, match="pressure"):
            judge_water([], area=AREA, pressure=pressure)
    for area in (0.0, -1.0, math.inf):
        with pytest.raises(InputError, match="area"):
            judge_water([], area=area, pressure=20_000.0)
    with pytest.raises(InputError, match="diameter"):
        wetted_area(0.0)

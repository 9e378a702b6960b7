"""Daily windows laid over a shift."""

from dataclasses import replace

from teewright.programme.windows import common, stretches
from unit.programme.scenes import RULES

HOUR = 3600
DAY_SHIFT = replace(RULES, start=7.0 * HOUR, length=10.0 * HOUR)
NIGHT_SHIFT = replace(RULES, start=20.0 * HOUR, length=10.0 * HOUR)


def test_window_is_told_from_the_start_of_the_shift() -> None:
    assert stretches(((8.0 * HOUR, 12.0 * HOUR),), DAY_SHIFT) == ((1 * HOUR, 5 * HOUR),)


def test_window_is_clipped_to_the_shift() -> None:
    assert stretches(((0.0, 24.0 * HOUR),), DAY_SHIFT) == ((0, 10 * HOUR),)


def test_windows_that_touch_are_one_across_midnight() -> None:
    hours = tuple((h * 3600.0, (h + 1) * 3600.0) for h in (22, 23, 0, 1))
    assert stretches(hours, NIGHT_SHIFT) == ((2 * HOUR, 6 * HOUR),)


def test_end_past_midnight_comes_from_the_day_before_too() -> None:
    window = ((22.0 * HOUR, 30.0 * HOUR),)
    assert stretches(window, NIGHT_SHIFT) == ((2 * HOUR, 10 * HOUR),)
    early = replace(DAY_SHIFT, start=4.0 * HOUR)
    assert stretches(window, early) == ((0, 2 * HOUR),)


def test_windows_are_rounded_inwards() -> None:
    assert stretches(((8.0 * HOUR + 0.4, 9.0 * HOUR + 0.4),), DAY_SHIFT) == ((3601, 7200),)


def test_empty_and_reversed_windows_open_nothing() -> None:
    assert stretches((), DAY_SHIFT) == ()
    assert stretches(((9.0 * HOUR, 8.0 * HOUR),), DAY_SHIFT) == ()


def test_common_keeps_what_lies_in_both() -> None:
    assert common(((0, 10), (20, 30)), ((5, 25),)) == ((5, 10), (20, 25))
    assert common(((0, 10),), ((10, 20),)) == ()

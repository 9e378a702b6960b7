from dataclasses import replace
from datetime import timedelta

import pytest

from teewright.site.chain import seal
from teewright.site.clock import deadlines, installations, state, states
from teewright.site.values import EventKind as K
from unit.site.story import LIMITS, START, USUAL, and_then, chained, correction, draft, usual

ONE = "A-B/01#1"


def at(seconds: float) -> timedelta:
    return timedelta(seconds=seconds)


def test_deadlines_count_from_mixing() -> None:
    assert deadlines((), LIMITS) is None
    due = deadlines(usual(1), LIMITS)
    assert due is not None
    assert due.inflate_by == START + at(1800)
    assert due.release_from == START + at(7200)
    later = deadlines(usual(6), LIMITS)
    assert later == due


def test_a_corrected_mixing_time_moves_the_deadlines_by_as_much() -> None:
    events = usual(2)
    moved = and_then(events, correction(events[0], 400, at="2025-05-12T08:55:00+02:00"))
    due = deadlines(moved, LIMITS)
    assert due is not None
    assert due.release_from == START - at(300) + at(7200)


def test_usual_work_breaks_nothing_and_ends_finished() -> None:
    shown = state(ONE, usual(), LIMITS)
    assert shown.breaches == ()
    assert shown.finished
    assert not shown.aborted
    assert shown.step is K.INSPECTED
    assert shown.next_action == "Nothing: finished."


@pytest.mark.parametrize(
    ("done", "step", "next_action"),
    [
        (0, None, "Mix the batch."),
        (1, K.MIXED, "Soak the collar and dress the packer; full pressure by 09:30."),
        (2, K.WET_OUT, "Lower the packer; full pressure by 09:30."),
        (3, K.LOWERED, "Bring the packer to the connection; full pressure by 09:30."),
        (4, K.IN_PLACE, "Inflate to full pressure by 09:30."),
        (5, K.AT_PRESSURE, "Hold the pressure; release from 11:00."),
        (6, K.AT_PRESSURE, "Hold the pressure; release from 11:00."),
        (7, K.RELEASED, "Pull the packer out."),
        (8, K.OUT, "Test for leaks, then inspect."),
        (10, K.TEST_READING, "Inspect the collar."),
    ],
)
def test_each_step_says_what_comes_next(done: int, step: K | None, next_action: str) -> None:
    shown = state(ONE, usual(done), LIMITS)
    assert (shown.step, shown.next_action, shown.finished) == (step, next_action, False)


def test_inspected_before_the_test_is_not_finished() -> None:
    shown = state(ONE, and_then(usual(8), draft(K.INSPECTED, 7600)), LIMITS)
    assert not shown.finished
    assert shown.next_action == "Test for leaks."


def test_shown_minutes_are_on_the_safe_side() -> None:
    uneven = replace(LIMITS, latest_inflation=1859.0, release=7200.5)
    assert state(ONE, usual(4), uneven).next_action == "Inflate to full pressure by 09:30."
    assert state(ONE, usual(5), uneven).next_action == "Hold the pressure; release from 11:01."


def test_a_release_on_the_next_day_says_the_day() -> None:
    long_hold = replace(LIMITS, release=16 * 3600.0)
    shown = state(ONE, usual(5), long_hold).next_action
    assert shown == "Hold the pressure; release from 01:00 on 2025-05-13."


def test_exactly_on_the_limit_is_no_breach() -> None:
    on_time = replace(LIMITS, latest_inflation=1500.0, release=7200.0)
    assert state(ONE, usual(), on_time).breaches == ()


def test_late_inflation_and_early_release_are_breaches() -> None:
    tight = replace(LIMITS, latest_inflation=1380.0, release=7290.0)
    assert state(ONE, usual(), tight).breaches == (
        "Full pressure at 09:25:00, 2 min after the latest, 09:23:00.",
        "Released at 11:00:00, 1 min 30 s before the earliest, 11:01:30.",
    )


def test_pressure_outside_the_window_is_a_breach() -> None:
    low = and_then(usual(5), draft(K.READING, 2000, {"pressure": "59999"}))
    both = and_then(low, draft(K.READING, 2100, {"pressure": "90001"}))
    breaches = state(ONE, both, LIMITS).breaches
    assert len(breaches) == 2
    assert "below the window 0.60 to 0.90 bar" in breaches[0]
    assert "above the window" in breaches[1]
    edges = and_then(
        usual(5),
        draft(K.READING, 2000, {"pressure": "60000"}),
        draft(K.READING, 2100, {"pressure": "90000"}),
    )
    assert state(ONE, edges, LIMITS).breaches == ()


def test_a_corrected_reading_breaks_nothing_more() -> None:
    wrong = and_then(usual(5), draft(K.READING, 2000, {"pressure": "740"}))
    assert state(ONE, wrong, LIMITS).breaches
    mended = and_then(wrong, correction(wrong[-1], 2050, pressure="74000"))
    assert state(ONE, mended, LIMITS).breaches == ()


def test_readings_that_were_not_admitted_are_told() -> None:
    odd = and_then(usual(5), draft(K.READING, 2000), draft(K.READING, 2100, {"pressure": "much"}))
    assert state(ONE, odd, LIMITS).breaches == (
        "A reading has no pressure.",
        "A reading has 'much' where a pressure in Pa belongs.",
    )


def test_a_log_out_of_order_is_told() -> None:
    events = chained([draft(K.MIXED), draft(K.RELEASED, 100)])
    breaches = state(ONE, events, LIMITS).breaches
    assert breaches[0] == "released was logged after mixed."
    assert breaches[1].startswith("Released at 09:01:40")


def test_giving_up_ends_it() -> None:
    shown = state(ONE, and_then(usual(4), draft(K.ABORTED, 1300)), LIMITS)
    assert shown.aborted
    assert shown.finished
    assert shown.step is K.ABORTED
    assert shown.next_action == "Nothing: given up."


def test_a_note_before_mixing_is_no_step() -> None:
    shown = state(ONE, chained([draft(K.NOTE, 0, {"text": "rain"})]), LIMITS)
    assert (shown.step, shown.inflate_by) == (None, None)


def test_a_clock_that_runs_ahead_is_told() -> None:
    first = draft(K.MIXED)
    ahead = seal(first, recorded=first.at - timedelta(minutes=7))
    assert state(ONE, (ahead,), LIMITS).breaches == ("The clock of tablet-1 ran 7 min ahead.",)
    slightly = seal(first, recorded=first.at - timedelta(seconds=30))
    assert state(ONE, (slightly,), LIMITS).breaches == ()


def test_states_of_a_mixed_log() -> None:
    other = usual(3, installation="A-B/02#1")
    log = (*usual(1), *other)
    assert installations(log) == (ONE, "A-B/02#1")
    both = states(log, {"A-B/02#1": LIMITS, ONE: LIMITS})
    assert [shown.installation for shown in both] == [ONE, "A-B/02#1"]
    assert both[0] == state(ONE, usual(1), LIMITS)
    assert states(log, {}) == ()


def test_events_are_in_the_order_of_work() -> None:
    assert [event.kind for event in usual()] == [kind for kind, _, _ in USUAL]


def test_a_repeat_is_told_and_is_no_breach() -> None:
    again = replace(draft(K.MIXED, 40, name="m2"), device="tablet-2")
    shown = state(ONE, and_then(usual(2), again), LIMITS)
    assert shown.breaches == ()
    assert shown.repeats == ("mixed was logged again at 09:00:40 by tablet-2.",)
    assert shown.inflate_by == START + at(1800)
    assert shown.next_action == "Lower the packer; full pressure by 09:30."


def test_the_pressure_of_a_repeat_is_looked_at_all_the_same() -> None:
    again = replace(draft(K.AT_PRESSURE, 1505, {"pressure": "95000"}), device="tablet-2")
    late = replace(again, at=START + at(1900))
    assert "above the window" in state(ONE, and_then(usual(5), again), LIMITS).breaches[0]
    assert len(state(ONE, and_then(usual(5), late), LIMITS).breaches) == 1  # of pressure, not late


def test_work_logged_after_giving_up_does_not_begin_it_anew() -> None:
    after = replace(draft(K.WET_OUT, 600), device="tablet-2")
    shown = state(ONE, and_then(usual(1), draft(K.ABORTED, 400), after), LIMITS)
    assert shown.aborted
    assert shown.next_action == "Nothing: given up."
    assert shown.step is K.ABORTED
    assert shown.breaches == ("wet-out was logged after aborted.",)

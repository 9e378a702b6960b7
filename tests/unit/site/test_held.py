from dataclasses import replace

import pytest

from teewright.site.clock import state
from teewright.site.held import held_to, otherwise, told_at_mixing
from teewright.site.values import Event, Limits
from unit.site.story import LIMITS, USUAL, and_then, chained, correction, draft

ONE = "A-B/01#1"
TOLD = Limits(
    latest_inflation=1500.0, release=9000.0, pressure_low=60_000.0, pressure_high=80_000.0
)


def told(**data: str) -> tuple[Event, ...]:
    """Usual work whose mixing carries limits."""
    kinds = [(kind, after, data if n == 0 else more) for n, (kind, after, more) in enumerate(USUAL)]
    return chained(
        draft(kind, after, more, sequence=n) for n, (kind, after, more) in enumerate(kinds, 1)
    )


def written(limits: Limits) -> dict[str, str]:
    return {name: repr(getattr(limits, name)) for name in Limits.__slots__}


def test_what_was_told_outdoes_the_present_design() -> None:
    assert held_to(told(**written(TOLD)), LIMITS) == TOLD
    assert held_to(told(), LIMITS) == LIMITS
    assert held_to((), LIMITS) == LIMITS
    only = held_to(told(release="9000"), LIMITS)
    assert only == replace(LIMITS, release=9000.0)


@pytest.mark.parametrize("text", ["", "much", "nan", "inf", "-1", "0"])
def test_what_cannot_be_read_as_a_limit_is_not_taken(text: str) -> None:
    assert held_to(told(latest_inflation=text), LIMITS) == LIMITS


def test_a_window_the_wrong_way_round_is_not_taken() -> None:
    assert held_to(told(pressure_low="90000", pressure_high="60000"), LIMITS) == LIMITS


def test_a_corrected_mixing_tells_the_corrected_limits() -> None:
    events = told(**written(TOLD))
    mended = and_then(events, correction(events[0], 9000, release="7200"))
    assert held_to(mended, LIMITS) == replace(TOLD, release=7200.0)


def test_work_is_judged_by_what_was_told_and_the_difference_is_said() -> None:
    # released at 7200 s: in time for the present design, 30 min too early for what was told
    found = state(ONE, told(**written(TOLD)), LIMITS)
    assert found.breaches == ("Released at 11:00:00, 30 min before the earliest, 11:30:00.",)
    assert found.differs == (
        "Mixed for full pressure within 25 min; the present design says 30 min.",
        "Mixed for release after 150 min; the present design says 120 min.",
        "Mixed for a pressure of 0.60 to 0.80 bar; the present design says 0.60 to 0.90 bar.",
    )


def test_what_the_present_design_alone_calls_broken_is_said_and_does_not_count() -> None:
    present = replace(LIMITS, latest_inflation=1200.0)
    found = state(ONE, told(**written(LIMITS)), present)
    assert found.breaches == ()
    assert found.differs == (
        "Mixed for full pressure within 30 min; the present design says 20 min.",
        "By the present design: Full pressure at 09:25:00, 5 min after the latest, 09:20:00.",
    )


def test_the_same_limits_differ_in_nothing() -> None:
    assert otherwise(LIMITS, LIMITS) == ()
    assert state(ONE, told(**written(LIMITS)), LIMITS).differs == ()


def test_where_nothing_is_designed_any_more_what_was_told_counts() -> None:
    assert told_at_mixing(told(**written(TOLD))) == TOLD
    shown = state(ONE, told(**written(TOLD)), None)
    assert shown.finished
    assert shown.release_from == state(ONE, told(**written(TOLD)), LIMITS).release_from
    assert shown.breaches == state(ONE, told(**written(TOLD)), TOLD).breaches
    (said,) = shown.differs
    assert "No collar is designed here any more" in said


def test_limits_that_nobody_told_are_a_breach_and_not_a_silence() -> None:
    assert told_at_mixing(told(release="9000")) is None
    shown = state(ONE, told(), None)
    assert shown.finished
    assert (shown.inflate_by, shown.release_from) == (None, None)
    (said,) = shown.breaches
    assert "none were logged when it was mixed" in said
    early = state(ONE, told()[:3], None)
    assert early.next_action == "Finish it by the limits that were told at the manhole."
    assert state(ONE, (), None).next_action == "Mix the batch."
    assert state(ONE, (), None).breaches == ()

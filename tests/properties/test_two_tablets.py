"""Two tablets at one manhole: in whatever order their entries arrive, the state is the same."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.site.chain import GENESIS, Draft, seal
from teewright.site.clock import state
from teewright.site.order import disorder, repeats, steps
from teewright.site.values import Event, EventKind, Limits

START = datetime(2025, 5, 12, 7, 0, tzinfo=UTC)
LIMITS = Limits(latest_inflation=1800.0, release=7200.0, pressure_low=6e4, pressure_high=9e4)
NAME = "A-B/01#1"
WORK = (
    EventKind.MIXED, EventKind.WET_OUT, EventKind.LOWERED, EventKind.IN_PLACE,
    EventKind.AT_PRESSURE, EventKind.READING, EventKind.READING, EventKind.RELEASED,
    EventKind.OUT, EventKind.TEST_READING, EventKind.INSPECTED,
)  # fmt: skip


def _draft(device: str, number: int, kind: EventKind, at: datetime) -> Draft:
    pressed = kind in {EventKind.READING, EventKind.TEST_READING}
    data = (("pressure", "70000"),) if pressed else ()
    return Draft(f"{device}-{number}", NAME, kind, at, device, number, "crew", data)


@st.composite
def shared_work(draw: st.DrawFn) -> tuple[list[Draft], list[Draft]]:
    """The usual work, each step logged by one tablet or, seconds apart, by both."""
    one: list[Draft] = []
    two: list[Draft] = []
    now = START
    for kind in WORK[: draw(st.integers(0, len(WORK)))]:
        now += timedelta(seconds=draw(st.integers(60, 900)))
        who = draw(st.sampled_from(("one", "two", "both")))
        later = now + timedelta(seconds=draw(st.integers(1, 20)))
        if who != "two":
            one.append(_draft("one", len(one) + 1, kind, now))
        if who != "one":
            two.append(_draft("two", len(two) + 1, kind, later if who == "both" else now))
    return one, two


def _arrived(one: list[Draft], two: list[Draft], turns: list[bool]) -> tuple[Event, ...]:
    waiting = {True: list(one), False: list(two)}
    events: list[Event] = []
    for turn in [*turns, *([True] * len(one)), *([False] * len(two))]:
        if waiting[turn]:
            draft = waiting[turn].pop(0)
            previous = events[-1].hash if events else GENESIS
            events.append(seal(draft, recorded=draft.at + timedelta(hours=9), previous=previous))
    return tuple(events)


@settings(max_examples=150, deadline=None)
@given(shared_work(), st.lists(st.booleans(), max_size=30), st.lists(st.booleans(), max_size=30))
def test_the_order_of_arrival_does_not_matter(
    work: tuple[list[Draft], list[Draft]], first: list[bool], second: list[bool]
) -> None:
    here, there = (_arrived(*work, turns) for turns in (first, second))
    assert len(here) == len(work[0]) + len(work[1])
    assert [e.id for e in steps(here)] == [e.id for e in steps(there)]
    assert disorder(here) == ""
    assert state(NAME, here, LIMITS) == state(NAME, there, LIMITS)


@settings(max_examples=100, deadline=None)
@given(shared_work(), st.lists(st.booleans(), max_size=30))
def test_what_both_logged_counts_once(
    work: tuple[list[Draft], list[Draft]], turns: list[bool]
) -> None:
    events = _arrived(*work, turns)
    once = [e for e in steps(events) if e.kind not in {EventKind.READING, EventKind.TEST_READING}]
    assert len({e.kind for e in once if e.kind is not EventKind.INSPECTED}) == len(
        [e for e in once if e.kind is not EventKind.INSPECTED]
    )
    assert {e.id for e in (*steps(events), *repeats(events))} == {e.id for e in events}
    alone = [replace(e, device="one") for e in steps(events)]
    assert disorder(alone) == ""

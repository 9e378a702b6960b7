"""Properties of the log: any work that is admitted, whatever was done, corrected or resent."""

import tempfile
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, TamperedError
from teewright.site.chain import GENESIS, Draft, draft_of, seal, verify
from teewright.site.clock import deadlines, state
from teewright.site.corrections import effective, of_installation
from teewright.site.order import admit, disorder, next_actions
from teewright.site.values import Event, EventKind, Limits
from teewright.store.project import Project

START = datetime(2025, 5, 12, 7, 0, tzinfo=UTC)
LIMITS = Limits(latest_inflation=1800.0, release=7200.0, pressure_low=6e4, pressure_high=9e4)
NAMES = ("A-B/01#1", "A-B/02#1")
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


@st.composite
def logs(draw: st.DrawFn) -> tuple[Event, ...]:
    """A log of two installations, each event one of those that may come next."""
    events: list[Event] = []
    now = START
    for number in range(draw(st.integers(0, 25))):
        name = draw(st.sampled_from(NAMES))
        kind = draw(st.sampled_from(next_actions(name, events)))
        now += timedelta(seconds=draw(st.integers(0, 2000)))
        draft = Draft(
            id=f"id-{number}",
            installation=name,
            kind=kind,
            at=now,
            device=draw(st.sampled_from(("t1", "t2"))),
            sequence=number + 1,
            person="p" + draw(texts),
            data=draw(data_for(kind, of_installation(events, name))),
        )
        try:
            admit(events, draft)
        except InputError:
            assert kind is EventKind.CORRECTED  # the one kind whose data decide
            continue
        previous = events[-1].hash if events else GENESIS
        events.append(seal(draft, recorded=now, previous=previous))
    return tuple(events)


def data_for(
    kind: EventKind, own: tuple[Event, ...]
) -> st.SearchStrategy[tuple[tuple[str, str], ...]]:
    pressures = st.integers(0, 200_000).map(lambda p: (("pressure", str(p)),))
    if kind in {EventKind.READING, EventKind.TEST_READING}:
        return pressures
    if kind is EventKind.CORRECTED:
        targets = st.sampled_from([event.id for event in own])
        change = st.one_of(
            st.just(("void", "yes")),
            st.integers(0, 20_000).map(
                lambda s: ("at", (START + timedelta(seconds=s)).isoformat())
            ),
            texts.map(lambda text: ("remark", text)),
        )
        return st.tuples(targets.map(lambda target: ("event", target)), change)
    return st.one_of(st.just(()), texts.map(lambda text: (("remark", text),)))


@settings(max_examples=60, deadline=None)
@given(logs())
def test_an_admitted_log_verifies_and_is_in_order(events: tuple[Event, ...]) -> None:
    verify(events, head=events[-1].hash if events else GENESIS)
    for name in NAMES:
        assert disorder(of_installation(events, name)) == ""
        assert EventKind.NOTE in next_actions(name, events)


@settings(max_examples=60, deadline=None)
@given(logs(), st.data())
def test_any_change_of_the_past_is_found(events: tuple[Event, ...], data: st.DataObject) -> None:
    if not events:
        return
    index = data.draw(st.integers(0, len(events) - 1))
    old = events[index]
    changed = data.draw(
        st.sampled_from(
            [
                replace(old, person=old.person + "."),
                replace(old, at=old.at + timedelta(microseconds=1)),
                replace(old, recorded=old.recorded - timedelta(microseconds=1)),
                replace(old, data=(*old.data, ("x", ""))),
                replace(old, sequence=old.sequence + 1),
                replace(old, hash=old.hash[::-1] if old.hash != old.hash[::-1] else GENESIS),
            ]
        )
    )
    with pytest.raises(TamperedError):
        verify((*events[:index], changed, *events[index + 1 :]))
    with pytest.raises(TamperedError):
        verify((*events[:index], *events[index + 1 :]), head=events[-1].hash)


@settings(max_examples=60, deadline=None)
@given(logs())
def test_state_hangs_on_its_own_events_alone(events: tuple[Event, ...]) -> None:
    for name in NAMES:
        own = of_installation(events, name)
        others = [event for event in events if event.installation != name]
        assert state(name, events, LIMITS) == state(name, own, LIMITS)
        assert state(name, (*others, *own), LIMITS) == state(name, (*own, *others), LIMITS)


@settings(max_examples=60, deadline=None)
@given(logs())
def test_counted_events_are_those_of_the_log(events: tuple[Event, ...]) -> None:
    counted = effective(events)
    assert len({event.id for event in counted}) == len(counted)
    assert {event.id for event in counted} <= {event.id for event in events}
    assert all(event.kind is not EventKind.CORRECTED for event in counted)
    assert effective(counted) == counted


@settings(max_examples=60, deadline=None)
@given(logs(), st.integers(-100_000, 100_000))
def test_all_times_moved_move_the_deadlines_and_nothing_else(
    events: tuple[Event, ...], seconds: int
) -> None:
    plain = [e for e in events if e.kind is not EventKind.CORRECTED]
    by = timedelta(seconds=seconds)
    moved = [replace(e, at=e.at + by, recorded=e.recorded + by) for e in plain]
    for name in NAMES:
        before = deadlines(of_installation(plain, name), LIMITS)
        after = deadlines(of_installation(moved, name), LIMITS)
        assert (before is None) == (after is None)
        if before is not None and after is not None:
            assert after.release_from - before.release_from == by
        here, there = state(name, plain, LIMITS), state(name, moved, LIMITS)
        assert len(here.breaches) == len(there.breaches)
        assert (here.step, here.finished) == (there.step, there.finished)


@settings(max_examples=15, deadline=None)
@given(logs(), st.randoms(use_true_random=False))
def test_a_stored_log_is_the_same_however_often_it_was_sent(
    events: tuple[Event, ...], chance: Random
) -> None:
    with tempfile.TemporaryDirectory() as folder, Project.create(Path(folder) / "job") as project:
        for index, event in enumerate(events):
            project.append(event)
            again = events[chance.randint(0, index)]
            assert project.record(draft_of(again)) == again
        assert project.events() == events

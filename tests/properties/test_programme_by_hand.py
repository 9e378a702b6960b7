"""Random small jobs, moved by hand and planned again: what must never happen does not."""

from datetime import date, datetime, time, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from properties.test_programme import FIRST, HOUR, crews, rules, wishes
from teewright.kit.values import Crew, ShiftRules
from teewright.programme.check import check
from teewright.programme.fixing import Keep, replan
from teewright.programme.moving import Move, move
from teewright.programme.optimise import plan
from teewright.programme.values import Installation, Programme, Visit

ALL_WEEK = (1, 2, 3, 4, 5, 6, 7)
MENDED = {"step", "release", "one-batch", "set-up", "once", "place", "order", "bound"}
"""Rules that a move never breaks, whatever is wished: what the hands cannot do gives way."""


def planned(
    asked: tuple[Installation, ...], crews: tuple[Crew, ...], rules: ShiftRules
) -> Programme:
    return plan(asked, crews=crews, shifts=rules, first_day=FIRST, days=ALL_WEEK, seconds=0.5)


def visits(programme: Programme) -> dict[str, Visit]:
    return {v.connection_id: v for s in programme.shifts for v in s.visits}


def days(programme: Programme) -> dict[str, tuple[str, date]]:
    return {v.connection_id: (s.crew, s.day) for s in programme.shifts for v in s.visits}


@settings(max_examples=60, deadline=None)
@given(data=st.data(), rules=rules(), asked=wishes(), crews=crews)
def test_a_move_is_done_and_gives_way_only_where_hands_must(
    data: st.DataObject, rules: ShiftRules, asked: tuple[Installation, ...], crews: tuple[Crew, ...]
) -> None:
    programme = planned(asked, crews, rules)
    if not asked:
        return
    for _ in range(2):
        one = data.draw(st.sampled_from([i.connection_id for i in asked]))
        crew = data.draw(st.sampled_from([c.name for c in crews]))
        day = FIRST + timedelta(days=data.draw(st.integers(0, 2)))
        wished = data.draw(st.none() | st.integers(0, 130).map(lambda n: n * 300))
        start = datetime.combine(day, time()) + timedelta(seconds=rules.start)
        mix = None if wished is None else start + timedelta(seconds=wished)
        found = move(programme, Move(one, crew, day, mix), asked=asked, crews=crews, rules=rules)
        told = check(found, asked, crews=crews, shifts=rules, days=ALL_WEEK, first_day=FIRST)
        assert {b.rule for b in told} & MENDED == set()
        assert days(found)[one] == (crew, day)
        if mix is not None:
            assert visits(found)[one].mix >= mix
        elsewhere = {
            k: v
            for k, v in visits(programme).items()
            if k != one and days(programme)[k] != (crew, day)
        }
        assert {k: visits(found)[k] for k in elsewhere} == elsewhere
        programme = found


@settings(max_examples=60, deadline=None)
@given(data=st.data(), rules=rules(), asked=wishes(), crews=crews)
def test_what_is_held_is_never_pushed(
    data: st.DataObject, rules: ShiftRules, asked: tuple[Installation, ...], crews: tuple[Crew, ...]
) -> None:
    programme = planned(asked, crews, rules)
    before = visits(programme)
    if len(before) < 2:
        return
    one = data.draw(st.sampled_from(sorted(before)))
    held = data.draw(st.sets(st.sampled_from(sorted(before.keys() - {one}))))
    by = timedelta(minutes=5 * data.draw(st.integers(-40, 40)))
    crew, day = days(programme)[one]
    start = next(s.start for s in programme.shifts if (s.crew, s.day) == (crew, day))
    mix = max(start, before[one].mix + by)
    found = move(
        programme,
        Move(one, crew, day, mix),
        asked=asked,
        crews=crews,
        rules=rules,
        held=frozenset(held),
    )
    assert {k: visits(found)[k] for k in held} == {k: before[k] for k in held}
    told = check(found, asked, crews=crews, shifts=rules, days=ALL_WEEK, first_day=FIRST)
    assert "crew" not in {b.rule for b in told}


@settings(max_examples=60, deadline=None)
@given(data=st.data(), rules=rules(), asked=wishes(), crews=crews)
def test_planning_again_keeps_what_is_kept_and_every_rule(
    data: st.DataObject, rules: ShiftRules, asked: tuple[Installation, ...], crews: tuple[Crew, ...]
) -> None:
    programme = planned(asked, crews, rules)
    before = visits(programme)
    kept = frozenset(data.draw(st.sets(st.sampled_from(sorted(before)))) if before else ())
    hours = data.draw(st.none() | st.integers(0, 60))
    now = None
    if hours is not None and before:
        first = min(s.start for s in programme.shifts)
        now = first + timedelta(seconds=hours * HOUR / 2)
    found = replan(
        asked,
        programme,
        Keep(kept, now),
        crews=crews,
        shifts=rules,
        first_day=FIRST,
        days=ALL_WEEK,
        seconds=0.5,
    )
    assert {k: visits(found)[k] for k in kept} == {k: before[k] for k in kept}
    assert {k: days(found)[k] for k in kept} == {k: days(programme)[k] for k in kept}
    told = check(found, asked, crews=crews, shifts=rules, days=ALL_WEEK, first_day=FIRST)
    assert told == ()
    if now is not None:
        assert all(v.mix > now for k, v in visits(found).items() if k not in kept)
    if not kept and now is None:
        assert found == programme

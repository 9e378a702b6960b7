"""Time bars: places on the scale found by hand."""

from dataclasses import replace
from datetime import timedelta

import pytest

from teewright.job.planning import Planning
from teewright.kit.values import Crew
from teewright.programme.check import Breach
from teewright.programme.moving import Move
from teewright.programme.optimise import plan
from teewright.programme.values import HoldWindow, Programme
from teewright.web.shift_blocks import Drawn
from teewright.web.shift_drawn import Look, drawn, rows
from teewright.web.shift_scale import no_flow_stop, no_street, scale_of
from unit.programme.scenes import BASE, CREW, MONDAY, RULES, WEEK, asked, clock

WEST = Crew("West", 2, ("P",))
ASKED = (asked("R/01"), asked("S/01", "S"))
PLANNING = Planning(ASKED, (CREW, WEST), RULES, MONDAY, WEEK)
# R/01 mixed 7:30, at pressure 8:05, released 9:10, tested 9:30; the shift is 7:00 to 17:00
PLANNED = plan(ASKED, crews=(CREW, WEST), shifts=RULES, first_day=MONDAY, days=WEEK, seconds=2.0)


def shown(
    programme: Programme = PLANNED, breaches: tuple[Breach, ...] = (), hours: float = 0.0
) -> Drawn:
    look = Look(frozenset({"R/01"}), frozenset(), frozenset({"S/01"}), breaches, clock(hours))
    return drawn(programme, PLANNING, look)


def test_the_scale_is_the_shift_in_whole_hours() -> None:
    scale = scale_of(PLANNED.shifts, RULES)
    assert (scale.low, scale.high) == (0.0, 36000.0)
    assert [hour for _, hour in scale.hours] == [f"{h:02d}" for h in range(7, 18)]
    assert scale.share(3600.0) == 10.0


def test_the_scale_grows_with_what_lies_outside_the_shift() -> None:
    early = PLANNING.move(PLANNED, Move("S/01", "East", MONDAY, clock(7.25)), frozenset())
    assert scale_of(early.shifts, RULES).low == -3600.0
    half = scale_of((), replace(RULES, start=7.5 * 3600.0))
    assert (half.low, half.high) == (-1800.0, 36000.0 + 1800.0)
    assert half.hours[0] == (0.0, "07")


@pytest.mark.parametrize(
    ("hours", "closed"),
    [
        (tuple(range(24)), ()),
        ((), ((0.0, 36000.0),)),
        ((8, 9, 12), ((0.0, 3600.0), (3 * 3600.0, 5 * 3600.0), (6 * 3600.0, 36000.0))),
    ],
)
def test_ground_is_hatched_where_the_main_must_flow(
    hours: tuple[int, ...], closed: tuple[tuple[float, float], ...]
) -> None:
    scale = scale_of((), RULES)
    assert no_flow_stop(replace(BASE, allowed_hours=hours), scale) == closed


def test_ground_is_open_where_a_hold_that_may_begin_can_still_last() -> None:
    """Begun from 8:00 to 9:00 it may last to 10:30; from 22:00 the day before, to 7:30."""
    holds = (HoldWindow(8 * 3600.0, 9 * 3600.0, 5400.0), HoldWindow(79200.0, 84600.0, 28800.0))
    closed = no_flow_stop(replace(BASE, holds=holds), scale_of((), RULES))
    assert closed == ((1800.0, 3600.0), (3.5 * 3600.0, 36000.0))
    assert no_flow_stop(replace(BASE, holds=()), scale_of((), RULES)) == ((0.0, 36000.0),)


def test_a_window_past_midnight_is_open_in_the_small_hours() -> None:
    """21:00 to 29:30 leaves the first hour of a night from 20:00, and 5:30 to 6:00 closed."""
    night = replace(RULES, start=20 * 3600.0)
    asked_for = replace(BASE, access=((21 * 3600.0, 29.5 * 3600.0),))
    closed = no_street(asked_for, scale_of((), night))
    assert closed == ((0.0, 3600.0), (9.5 * 3600.0, 36000.0))
    assert no_street(BASE, scale_of((), night)) == ()


def test_a_bar_stands_at_its_times() -> None:
    lanes = shown().days[0][1][0].lanes
    bar = next(b for lane in lanes for b in lane.bars if b.visit.connection_id == "R/01")
    assert bar.live == pytest.approx((5.0, 35 / 6), abs=1e-3)
    assert bar.hold == pytest.approx((65 / 6, 65 / 6), abs=1e-3)
    assert bar.latest == pytest.approx(15.0, abs=1e-3)
    assert bar.earliest == pytest.approx(130 / 6, abs=1e-3)
    assert (bar.state, bar.broken) == ("fixed", False)


def test_crews_without_a_shift_and_the_day_after_are_there_to_drop_on() -> None:
    found = shown()
    assert [(d, [(b.crew, b.shift is None) for b in blocks]) for d, blocks in found.days] == [
        (MONDAY, [("East", False), ("West", True)]),
        (MONDAY + timedelta(days=1), [("East", True), ("West", True)]),
    ]


def test_a_broken_rule_is_joined_to_its_bars() -> None:
    told = (Breach("run-once", "Both.", ("R/01", "S/01")), Breach("bound", "Whole.", ()))
    found = shown(breaches=told)
    block = found.days[0][1][0]
    assert block.told == told[:1]
    assert len(block.joints) == 2
    assert found.loose == told[1:]
    assert {row.bar.broken for row in rows(found)} == {True}


def test_bars_that_would_lie_on_each_other_get_rows_of_their_own() -> None:
    one = PLANNED.shifts[0]
    first = one.visits[0]
    both = tuple(replace(v, packer=first.packer) for v in one.visits)
    block = shown(replace(PLANNED, shifts=(replace(one, visits=both),))).days[0][1][0]
    assert [lane.name for lane in block.lanes] == [first.packer, ""]


def test_now_is_marked_only_where_it_is() -> None:
    assert [b.now for _, blocks in shown(hours=8.0).days for b in blocks] == [
        10.0,
        10.0,
        None,
        None,
    ]
    assert {b.now for _, blocks in shown(hours=6.9).days for b in blocks} == {None}

"""When a main may be blocked: by the flow of each hour, or by the level behind the packer.

Prepare takes 20, place 15 (inflation the last 5 of them) and finish 20 minutes; a batch must be
under pressure within 60 minutes and is hard after 100.
"""

import random
from dataclasses import replace

import pytest

from teewright.programme.alone import cycle_end, fits, refusal
from teewright.programme.blocked import Blocking, blocking
from teewright.programme.check import check
from teewright.programme.durations import job
from teewright.programme.fixing import Keep, replan
from teewright.programme.optimise import plan
from teewright.programme.sequence import ShiftModel
from teewright.programme.solving import Budget, solve
from teewright.programme.values import HoldWindow, Installation, Programme, Visit
from unit.programme.scenes import BASE, CREW, LONE, MINUTE, MONDAY, RULES, WEEK, asked, clock

HOUR = 3600.0


def window(first: float, last: float, longest: float) -> HoldWindow:
    """From one hour of the day to another, for so many minutes."""
    return HoldWindow(first * HOUR, last * HOUR, longest * MINUTE)


def planned(*installations: Installation) -> Programme:
    return plan(installations, crews=(LONE,), shifts=RULES, first_day=MONDAY, days=WEEK)


def told(programme: Programme, *installations: Installation) -> list[str]:
    found = check(programme, installations, crews=(LONE,), shifts=RULES, days=WEEK)
    return [f"{b.rule}: {b.text}" for b in found]


def only(programme: Programme) -> Visit:
    (shift,) = programme.shifts
    (visit,) = shift.visits
    return visit


# mixed at 7:30 after the set-up, it is in place at 8:00 and released at 9:10: 70 minutes
FIRST = planned(BASE)


def test_the_visit_is_as_by_hand() -> None:
    visit = only(FIRST)
    assert (visit.mix, visit.in_place, visit.release) == (clock(7.5), clock(8), clock(9 + 1 / 6))


@pytest.mark.parametrize(
    ("holds", "said"),
    [
        # begun in the last minute in which a hold may begin; the water allows it to run on
        ((window(7, 8, 70),), []),
        ((window(5, 7.9, 200), window(7.9, 8.5, 70)), []),
        # the window of the evening before lasts until the morning
        ((window(22, 32, 70),), []),
        ((window(7, 8, 69.5),), [("flow: R/01: the main is blocked for 70 min from 08:00, but the "
                                 "water behind the packer allows 69.5 min.")]),
        ((window(7, 7.99, 70),), [("flow: R/01: the water behind the packer allows no hold that "
                                  "begins at 08:00.")]),
        ((window(8.01, 20, 300),), [("flow: R/01: the water behind the packer allows no hold that "
                                    "begins at 08:00.")]),
        ((), ["flow: R/01: the water behind the packer allows no hold that begins at 08:00."]),
    ],
)  # fmt: skip
def test_a_hold_is_held_against_its_start_and_its_length(
    holds: tuple[HoldWindow, ...], said: list[str]
) -> None:
    assert told(FIRST, replace(BASE, holds=holds)) == said


def test_hours_alone_bar_what_the_level_allows_and_allow_what_it_bars() -> None:
    """7 and 8 h are allowed starts: by hours the hold may not run into 9 h."""
    start = replace(BASE, allowed_hours=(7, 8))
    assert told(FIRST, start) == [
        "flow: R/01: the main is blocked from 07:50 to 09:20, but may not be at 9 h."
    ]
    assert told(FIRST, replace(start, holds=(window(7, 9, 70),))) == []
    assert told(FIRST, replace(BASE, holds=(window(7, 9, 60),))) != []


def test_a_hold_begins_when_the_window_opens_and_ends_as_early_as_can_be() -> None:
    late = replace(BASE, holds=(window(10.5, 11, 70),))
    visit = only(planned(late))
    assert told(planned(late), late) == []
    # at 10:35 at pressure, an hour after mixing at 9:35: a minute of the grid is given away
    assert (visit.mix, visit.in_place) == (clock(9.6), clock(10 + 31 / 60))
    assert visit.release == clock(9.6 + 1 + 2 / 3)


def test_a_batch_waits_for_its_place_where_the_water_allows_less() -> None:
    """Placed at once the main is blocked for 70 minutes, placed last for 45."""
    short = replace(BASE, holds=(window(0, 24, 50),))
    visit = only(planned(short))
    assert visit.release - visit.in_place <= clock(50 / 60) - clock(0)
    assert told(planned(short), short) == []
    never = replace(BASE, holds=(window(0, 24, 44),))
    (refused,) = planned(never).unplanned
    assert refused.rule == "flow"
    assert "blocked for at least 45 min" in refused.text
    assert "allows, begun within a shift, at most 44 min" in refused.text


def test_the_crew_comes_back_in_time_where_a_hold_may_not_wait() -> None:
    """With hours alone it would finish its second collar first, as it does here with time."""
    pair = (asked("R/01"), asked("S/01", "S", "N"))
    tight = tuple(replace(one, holds=(window(0, 24, 70),)) for one in pair)
    found = plan(tight, crews=(CREW,), shifts=RULES, first_day=MONDAY, days=WEEK)
    assert check(found, tight, crews=(CREW,), shifts=RULES, days=WEEK) == ()
    held = [(v.release - v.in_place).total_seconds() for s in found.shifts for v in s.visits]
    assert len(held) == len(pair)
    assert max(held) <= 70 * MINUTE
    # the same times do not hold for a minute less
    less = tuple(replace(one, holds=(window(0, 24, max(held) / 60 - 1),)) for one in pair)
    assert {b.rule for b in check(found, less, crews=(CREW,), shifts=RULES, days=WEEK)} == {"flow"}


def test_what_stands_to_the_second_is_planned_around() -> None:
    odd = replace(asked("R/01"), distance=1.7)  # 17 s of way
    there = only(planned(odd))
    edge = (there.in_place - clock(0)).total_seconds() / HOUR
    held = (there.release - there.in_place).total_seconds() / MINUTE
    exact = (replace(odd, holds=(window(edge, edge + 1, held),)), asked("S/01", "S"))
    before = replace(planned(odd), unplanned=())
    found = replan(
        exact,
        before,
        Keep(frozenset({"R/01"}), None),
        crews=(LONE,),
        shifts=RULES,
        first_day=MONDAY,
        days=WEEK,
    )
    assert told(found, *exact) == []
    visits = {v.connection_id: v for s in found.shifts for v in s.visits}
    assert visits["R/01"] == there
    assert "S/01" in visits


def test_windows_that_differ_only_after_the_last_hold_are_one() -> None:
    """The shift ends at 17:00: the last release is at 16:25, the last hold begins at 15:40."""

    def laid(*holds: HoldWindow) -> tuple[Blocking, ...]:
        return blocking(replace(BASE, holds=holds), RULES, shortest=45 * 60, after=35 * 60)

    any_time = laid(window(0, 24, 300))
    assert any_time == (Blocking(0, 600 * 60, whole=False, longest=300 * 60),)
    assert laid(window(0, 13, 300), window(13, 15, 240), window(15, 16.5, 120)) == any_time
    assert laid(window(0, 13, 300), window(13, 15.6, 240)) != any_time
    assert laid(window(0, 13, 300), window(13, 24, 200)) != any_time
    assert laid() == ()


def some_windows(dice: random.Random) -> tuple[HoldWindow, ...]:
    found, at = [], dice.uniform(5.0, 9.0)
    for _ in range(dice.randint(1, 3)):
        last = at + dice.choice([0.1, 0.5, 2.0])
        found.append(window(at, last, dice.choice([44, 50, 69, 71, 120])))
        at = last + dice.choice([0.0, 0.3, 2.0])
    return tuple(found)


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("grid", [60, 1])
def test_a_shift_that_fits_alone_is_found_and_no_other(seed: int, grid: int) -> None:
    """The closed answer against the search."""
    dice = random.Random(seed)
    wish = replace(BASE, holds=some_windows(dice), distance=dice.uniform(0.0, 60.0))
    rules = replace(RULES, length=dice.choice([200, 260, 400]) * MINUTE)
    one = job(wish, rules)
    model = ShiftModel((one,), ("P", "Q"), rules, grid)
    end = model.end()
    model.model.minimize(end)
    solved = solve(model.model, Budget(20.0), 20.0)
    assert solved.proved
    assert fits(one, rules, grid) == (solved.solver is not None)
    if solved.solver is not None:
        ends = [
            found
            for street in one.access
            for main in one.blocking
            if 0 <= (found := cycle_end(one, street, main, rules, grid)) <= street[1]
        ]
        assert min(ends) == solved.solver.value(end) * grid


@pytest.mark.parametrize("seed", range(40))
def test_what_no_shift_holds_is_refused_and_the_rest_is_planned(seed: int) -> None:
    dice = random.Random(seed)
    wish = replace(BASE, holds=some_windows(dice), distance=dice.uniform(0.0, 60.0))
    found = planned(wish)
    assert told(found, wish) == []
    assert bool(found.unplanned) == (refusal(job(wish, RULES), (LONE,), RULES) is not None)

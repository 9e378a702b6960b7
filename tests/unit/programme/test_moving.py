"""Visits moved by hand, with times found by hand."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from teewright.errors import InputError, UnknownNameError
from teewright.kit.values import Crew
from teewright.programme.check import Breach, check
from teewright.programme.moving import Delay, Move, delays, move
from teewright.programme.optimise import plan
from teewright.programme.values import Installation, Programme, Visit
from unit.programme.scenes import CREW, MINUTE, MONDAY, RULES, WEEK, asked, clock

WEST = Crew("West", 2, ("P",))
TUESDAY = date(2024, 5, 7)
ASKED = (asked("R/01"), asked("S/01", "S"))
# R/01 mixed 7:30, at pressure 8:05, released 9:10, tested 9:30;
# S/01 mixed 8:05, at pressure 8:40, released 9:45, tested 10:05, cleared 10:20
PLANNED = plan(ASKED, crews=(CREW, WEST), shifts=RULES, first_day=MONDAY, days=WEEK, seconds=3.0)


def moved(
    wish: Move,
    programme: Programme = PLANNED,
    installations: tuple[Installation, ...] = ASKED,
    held: frozenset[str] = frozenset(),
) -> Programme:
    return move(programme, wish, asked=installations, crews=(CREW, WEST), rules=RULES, held=held)


def broken(programme: Programme, installations: tuple[Installation, ...] = ASKED) -> list[Breach]:
    return list(
        check(
            programme,
            installations,
            crews=(CREW, WEST),
            shifts=RULES,
            days=WEEK,
            first_day=MONDAY,
        )
    )


def visit(programme: Programme, key: str) -> Visit:
    return next(v for s in programme.shifts for v in s.visits if v.connection_id == key)


def test_the_plan_is_as_by_hand() -> None:
    assert [(v.connection_id, v.mix) for v in PLANNED.shifts[0].visits] == [
        ("R/01", clock(7.5)),
        ("S/01", clock(8 + 5 / 60)),
    ]


def test_the_crew_finishes_its_batch_before_it_mixes_the_next() -> None:
    """R/01 ten minutes later, at 7:40, is at pressure at 8:15: S/01 is mixed then."""
    found = moved(Move("R/01", "East", MONDAY, clock(7 + 40 / 60)))
    assert visit(found, "R/01").at_pressure == clock(8.25)
    assert visit(found, "S/01").mix == clock(8.25)
    assert delays(PLANNED, found, but="R/01") == (Delay("S/01", 600.0),)
    assert found.shifts[0].manholes == (("M", clock(7 + 10 / 60), clock(10.5)),)
    assert broken(found) == []


def test_what_is_not_in_the_way_does_not_move() -> None:
    """R/01 is tested by 9:30: S/01 mixed then leaves it alone."""
    found = moved(Move("S/01", "East", MONDAY, clock(9.5)))
    assert visit(found, "R/01") == visit(PLANNED, "R/01")
    assert visit(found, "S/01").mix == clock(9.5)
    assert broken(found) == []


def test_a_release_waits_until_a_living_batch_is_placed() -> None:
    """S/01 mixed at 9:05 is at pressure at 9:40: R/01, due for release at 9:10, is held on."""
    found = moved(Move("S/01", "East", MONDAY, clock(9 + 5 / 60)))
    assert visit(found, "S/01").at_pressure == clock(9 + 40 / 60)
    assert visit(found, "R/01").release == clock(9 + 40 / 60)
    assert delays(PLANNED, found, but="S/01") == (Delay("R/01", 1800.0),)
    assert broken(found) == []


def test_in_front_of_another_it_changes_the_order() -> None:
    found = moved(Move("S/01", "East", MONDAY, clock(7.5)))
    assert [v.connection_id for v in found.shifts[0].visits] == ["S/01", "R/01"]
    assert visit(found, "S/01").mix == clock(7.5)
    assert visit(found, "R/01").mix == clock(8 + 5 / 60)
    assert broken(found) == []


def test_before_the_shift_is_told_not_mended() -> None:
    found = moved(Move("R/01", "East", MONDAY, clock(7.25)))
    assert [(b.rule, b.about) for b in broken(found)] == [("shift", ("R/01",))]
    assert "06:45 to 07:15" in broken(found)[0].text


def test_another_crew_on_the_same_day_shares_no_manhole() -> None:
    """The shift of West is new; its only packer fits; manhole M belongs to both."""
    found = moved(Move("S/01", "West", MONDAY))
    assert [(s.number, s.crew) for s in found.shifts] == [(1, "East"), (2, "West")]
    assert visit(found, "S/01").mix == clock(7.5)
    assert visit(found, "S/01").packer == "P"
    assert visit(found, "R/01") == visit(PLANNED, "R/01")
    assert found.shifts[0].manholes == (("M", clock(7), clock(9.75)),)
    assert [b.text for b in broken(found)] == [f"Manhole M belongs to East and West on {MONDAY}."]
    assert (found.bound, found.proved) == (1, False)


def test_the_day_after_is_free() -> None:
    found = moved(Move("S/01", "East", TUESDAY))
    assert [s.day for s in found.shifts] == [MONDAY, TUESDAY]
    assert broken(found) == []


def test_a_shift_that_loses_its_last_visit_is_gone() -> None:
    found = moved(Move("R/01", "West", TUESDAY), moved(Move("S/01", "West", TUESDAY)))
    assert [(s.number, s.crew, s.day) for s in found.shifts] == [(1, "West", TUESDAY)]


def test_a_packer_that_is_not_on_the_van_is_told() -> None:
    wants = (ASKED[0], replace(ASKED[1], packers=("Q",)))
    found = moved(Move("S/01", "West", TUESDAY), installations=wants)
    assert {b.rule for b in broken(found, wants)} == {"packer-van"}


def test_two_in_one_run_at_once_are_told() -> None:
    """R/02 dropped while R/01 is held in the same run: both are in it."""
    wants = (*ASKED, asked("R/02"))
    first = replace(PLANNED, unplanned=())
    found = moved(Move("R/02", "East", MONDAY, clock(8 + 40 / 60)), first, wants)
    told = {b.rule: b for b in broken(found, wants)}
    assert set(told["run-once"].about) == {"R/01", "R/02"}


def test_a_collar_that_no_shift_could_hold_is_placed_all_the_same() -> None:
    """What was refused is planned where the user wants it, and its reason told as a breach."""
    hopeless = replace(asked("T/01", "T"), latest_inflation=30 * MINUTE)
    wants = (*ASKED, hopeless)
    before = plan(wants, crews=(CREW,), shifts=RULES, first_day=MONDAY, days=WEEK, seconds=3.0)
    assert [u.connection_id for u in before.unplanned] == ["T/01"]
    found = moved(Move("T/01", "East", TUESDAY), before, wants)
    assert found.unplanned == ()
    assert [(b.rule, b.about) for b in broken(found, wants)] == [("working-time", ("T/01",))]


def test_what_is_held_stays_and_the_moved_one_goes_round_it() -> None:
    """R/01 held is placed by 8:05 and finished 9:10 to 9:30: a batch mixed at 9:00 would not be
    placed before that, so it is mixed after it."""
    held = frozenset({"R/01"})
    found = moved(Move("S/01", "East", MONDAY, clock(9)), held=held)
    assert visit(found, "R/01") == visit(PLANNED, "R/01")
    assert visit(found, "S/01").mix == clock(9.5)
    assert broken(found) == []


def test_what_is_held_or_unknown_cannot_be_moved() -> None:
    with pytest.raises(InputError, match="has begun"):
        moved(Move("R/01", "East", MONDAY), held=frozenset({"R/01"}))
    with pytest.raises(UnknownNameError, match="is no crew"):
        moved(Move("R/01", "North", MONDAY))
    with pytest.raises(UnknownNameError, match="is not to be set"):
        moved(Move("X/01", "East", MONDAY))
    with pytest.raises(InputError, match="not within the day"):
        moved(Move("R/01", "East", MONDAY, clock(7) + timedelta(days=1)))

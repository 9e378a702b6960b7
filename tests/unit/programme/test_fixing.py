"""Planning again around what is kept, with results found by hand."""

from dataclasses import replace
from datetime import date, timedelta

from teewright.kit.values import Crew
from teewright.programme.check import check
from teewright.programme.fixing import Keep, replan
from teewright.programme.moving import Move, move
from teewright.programme.optimise import plan
from teewright.programme.values import Installation, Programme, Visit
from unit.programme.scenes import CREW, LONE, MINUTE, MONDAY, RULES, WEEK, asked, clock

TUESDAY = date(2024, 5, 7)
TIGHT = replace(RULES, length=285 * MINUTE)
"""Two collars of one packer in one run fill a shift."""
FOUR = tuple(asked(f"R/{k:02}") for k in range(4))


def planned(installations: tuple[Installation, ...], *crews: Crew) -> Programme:
    return plan(installations, crews=crews, shifts=TIGHT, first_day=MONDAY, days=WEEK, seconds=3.0)


def again(
    installations: tuple[Installation, ...], before: Programme, keep: Keep, *crews: Crew
) -> Programme:
    found = replan(
        installations,
        before,
        keep,
        crews=crews,
        shifts=TIGHT,
        first_day=MONDAY,
        days=WEEK,
        seconds=3.0,
    )
    rules = {"crews": crews, "shifts": TIGHT, "days": WEEK, "first_day": MONDAY}
    assert check(found, installations, **rules) == ()  # type: ignore[arg-type]
    return found


def visit(found: Programme, key: str) -> Visit:
    return next(v for s in found.shifts for v in s.visits if v.connection_id == key)


def day_of(found: Programme, key: str) -> date:
    return next(s.day for s in found.shifts for v in s.visits if v.connection_id == key)


def test_a_kept_visit_on_another_day_draws_its_share_there() -> None:
    """R/00 kept on Wednesday: three shifts, Monday and Tuesday and its own, are too many; its
    shift takes one more, and the other two go on Monday."""
    before = planned(FOUR, LONE)
    assert len(before.shifts) == 2
    late = move(
        before,
        Move("R/00", "Lone", date(2024, 5, 8)),
        asked=FOUR,
        crews=(LONE,),
        rules=TIGHT,
    )
    found = again(FOUR, late, Keep(frozenset({"R/00"})), LONE)
    assert visit(found, "R/00") == visit(late, "R/00")
    assert [(s.day, len(s.visits)) for s in found.shifts] == [(MONDAY, 2), (date(2024, 5, 8), 2)]


def test_the_run_of_a_kept_visit_belongs_to_its_crew_that_day() -> None:
    """East keeps a visit in R on Monday, with one packer: West may not work in R that day."""
    east, west = Crew("East", 2, ("P",)), Crew("West", 2, ("P",))
    before = planned(FOUR, east, west)
    kept = before.shifts[0].visits[0].connection_id
    found = again(FOUR, before, Keep(frozenset({kept})), east, west)
    crews = {s.crew for s in found.shifts if s.day == MONDAY}
    assert crews == {before.shifts[0].crew}
    assert visit(found, kept) == visit(before, kept)


def test_all_kept_changes_nothing_but_the_claim_of_proof() -> None:
    before = planned(FOUR, LONE)
    found = again(FOUR, before, Keep(frozenset(i.connection_id for i in FOUR)), LONE)
    assert found.shifts == before.shifts


def test_nothing_begins_before_now() -> None:
    """At noon on Monday one collar of the first shift is done; the others are due again: the
    shift is over at 11:45, so they begin on Tuesday."""
    before = planned(FOUR, LONE)
    done = before.shifts[0].visits[0].connection_id
    found = again(FOUR, before, Keep(frozenset({done}), now=clock(12)), LONE)
    assert [(s.day, len(s.visits)) for s in found.shifts] == [
        (MONDAY, 1),
        (TUESDAY, 2),
        (date(2024, 5, 8), 1),
    ]


def test_a_shift_under_way_takes_no_more_than_there_is_time_for() -> None:
    """The second collar of a shift needs to be mixed by 9:30; at 9:00 it still goes in, at 9:31
    no more."""
    before = planned(FOUR[:2], LONE)
    done = before.shifts[0].visits[0].connection_id
    other = before.shifts[0].visits[1].connection_id
    keep = frozenset({done})
    in_time = again(FOUR[:2], before, Keep(keep, now=clock(9)), LONE)
    assert day_of(in_time, other) == MONDAY
    late = clock(9.5) + timedelta(minutes=1)
    assert day_of(again(FOUR[:2], before, Keep(keep, now=late), LONE), other) == TUESDAY


def test_a_kept_breach_is_kept_and_nothing_is_added_to_it() -> None:
    """Two collars at once on one packer: the shift stands as it is, the rest goes elsewhere."""
    before = planned(FOUR, LONE)
    first, second = (v.connection_id for v in before.shifts[0].visits)
    clash = move(
        before,
        Move(second, "Lone", MONDAY, visit(before, first).at_pressure),
        asked=FOUR,
        crews=(LONE,),
        rules=TIGHT,
    )
    found = replan(
        FOUR,
        clash,
        Keep(frozenset({first, second})),
        crews=(LONE,),
        shifts=TIGHT,
        first_day=MONDAY,
        days=WEEK,
        seconds=2.0,
    )
    assert found.shifts[0] == clash.shifts[0]
    told = check(found, FOUR, crews=(LONE,), shifts=TIGHT, days=WEEK)
    assert {b.rule for b in told} == {"packer-once", "run-once"}


def test_twin_packers_keep_their_numbers() -> None:
    twin = Crew("Twin", 3, ("P", "P"))
    wants = (asked("R/01"), asked("S/01", "S"), asked("T/01", "T"))
    before = plan(wants, crews=(twin,), shifts=RULES, first_day=MONDAY, days=WEEK, seconds=3.0)
    kept = next(v for v in before.shifts[0].visits if v.packer == "P #2")
    found = replan(
        wants,
        before,
        Keep(frozenset({kept.connection_id})),
        crews=(twin,),
        shifts=RULES,
        first_day=MONDAY,
        days=WEEK,
        seconds=2.0,
    )
    assert visit(found, kept.connection_id) == kept
    assert check(found, wants, crews=(twin,), shifts=RULES, days=WEEK) == ()
    assert len(found.shifts) == 1


def test_without_anything_kept_it_is_the_plan() -> None:
    wants = (*FOUR, asked("S/01", "S", "N"))
    before = planned(wants, CREW)
    assert again(wants, before, Keep(frozenset()), CREW) == before

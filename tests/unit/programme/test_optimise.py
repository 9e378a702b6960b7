"""Programmes whose optimum is known by hand."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from teewright.errors import InputError
from teewright.kit.values import Crew, ShiftRules
from teewright.programme.check import check
from teewright.programme.optimise import plan
from teewright.programme.values import Installation, Programme, Visit
from unit.programme.scenes import BASE, CREW, LONE, MINUTE, MONDAY, RULES, WEEK, asked, clock


def planned(
    installations: tuple[Installation, ...],
    *crews: Crew,
    rules: ShiftRules = RULES,
    last_day: date | None = None,
    seconds: float = 3.0,
) -> Programme:
    found = plan(
        installations,
        crews=crews,
        shifts=rules,
        first_day=MONDAY,
        days=WEEK,
        last_day=last_day,
        seconds=seconds,
    )
    breaches = check(
        found,
        installations,
        crews=crews,
        shifts=rules,
        days=WEEK,
        first_day=MONDAY,
        last_day=last_day,
    )
    assert breaches == ()
    return found


def minutes(found: Programme, shift: int = 0) -> float:
    """From the start of a shift to its last clearing."""
    one = found.shifts[shift]
    return (max(end for _, _, end in one.manholes) - one.start) / timedelta(minutes=1)


def visit(found: Programme, key: str) -> Visit:
    return next(v for s in found.shifts for v in s.visits if v.connection_id == key)


def refused(found: Programme) -> dict[str, str]:
    return {u.connection_id: u.rule for u in found.unplanned}


def test_nothing_to_plan_is_an_empty_programme() -> None:
    assert planned((), CREW) == Programme((), (), 0, proved=True)


def test_no_crew_refuses_everything() -> None:
    assert refused(planned((BASE,))) == {"R/01": "packer"}


# set-up 30, prepare 20, place 15, finish 20, clear 15; release 100 after mixing
@pytest.mark.parametrize(
    ("installations", "crew", "end"),
    [
        # 30 + 100 + 20 + 15
        ((asked("R/01"),), CREW, 165),
        # second mixed at 65 when the first is at pressure: 65 + 100 + 20 + 15
        ((asked("R/01"), asked("S/01", "S")), CREW, 200),
        # the run is free at 150; mixed 105, so that it is at pressure 60 later, at 165
        ((asked("R/01"), asked("R/02")), CREW, 240),
        # the only packer is free at 150: 150 + 100 + 20 + 15
        ((asked("R/01"), asked("R/02")), LONE, 285),
        # second mixed at 115 after move and set-up; back to the first 170-190, cleared 205,
        # back to the second 225-245, cleared 260
        ((asked("R/01"), asked("S/01", "S", "N")), CREW, 260),
    ],
)
def test_shift_ends_as_early_as_by_hand(
    installations: tuple[Installation, ...], crew: Crew, end: float
) -> None:
    found = planned(installations, crew)
    assert len(found.shifts) == 1
    assert found.proved
    assert minutes(found) == end


def test_as_many_shifts_as_by_hand() -> None:
    """A shift of 285 min holds two collars of one packer in one run, so five need three."""
    installations = tuple(asked(f"R/{k:02}") for k in range(5))
    found = planned(installations, LONE, rules=replace(RULES, length=285 * MINUTE))
    assert sorted(len(s.visits) for s in found.shifts) == [1, 2, 2]
    assert (found.bound, found.proved) == (3, True)


def test_one_second_less_costs_a_shift() -> None:
    installations = (asked("R/01"), asked("R/02"))
    found = planned(installations, LONE, rules=replace(RULES, length=285 * MINUTE - 1))
    assert (len(found.shifts), found.bound) == (2, 2)


def test_most_collars_of_a_shift() -> None:
    installations = tuple(asked(f"{r}/01", r) for r in "RSTU")
    found = planned(installations, CREW, rules=replace(RULES, max_collars=2))
    assert [len(s.visits) for s in found.shifts] == [2, 2]


def test_two_crews_halve_the_days_but_not_the_shifts() -> None:
    installations = tuple(asked(f"{r}{k}", r, f"M{r}") for r in "RS" for k in range(4))
    tight = replace(RULES, length=285 * MINUTE)
    one = planned(installations, LONE, rules=tight)
    two = planned(installations, LONE, Crew("West", 2, ("P",)), rules=tight)
    assert len(one.shifts) == len(two.shifts) == 4
    assert (one.shifts[-1].day - MONDAY).days == 3
    assert (two.shifts[-1].day - MONDAY).days == 1


def test_week_end_is_left_out() -> None:
    installations = tuple(asked(f"R/{k:02}") for k in range(6))
    found = planned(installations, LONE, rules=replace(RULES, length=165 * MINUTE))
    assert [s.day.isoweekday() for s in found.shifts] == [1, 2, 3, 4, 5, 1]


def test_packer_goes_only_where_it_fits() -> None:
    big = replace(asked("R/01"), packers=("Q",))
    small = replace(asked("S/01", "S"), packers=("P",))
    found = planned((big, small), CREW)
    assert visit(found, "R/01").packer == "Q"
    assert visit(found, "S/01").packer == "P"


def test_packers_of_one_name_are_numbered() -> None:
    twin = Crew("Twin", 3, ("P", "P"))
    found = planned((asked("R/01"), asked("S/01", "S")), twin)
    assert {v.packer for v in found.shifts[0].visits} == {"P #1", "P #2"}
    assert minutes(found) == 200


def test_each_crew_gets_what_its_van_can_do() -> None:
    crews = (Crew("Small", 2, ("P",)), Crew("Big", 2, ("Q",)))
    wants = tuple(
        replace(asked(f"{run}/01", run, f"M{run}"), packers=(packer,))
        for run, packer in (("R", "P"), ("S", "Q"))
    )
    found = planned(wants, *crews)
    assert {(s.crew, s.visits[0].packer) for s in found.shifts} == {("Small", "P"), ("Big", "Q")}
    assert {s.day for s in found.shifts} == {MONDAY}


def test_not_before_is_kept_and_waits_for_a_day_of_work() -> None:
    late = replace(BASE, not_before=date(2024, 5, 11))
    assert planned((late,), CREW).shifts[0].day == date(2024, 5, 13)


def test_night_shift_runs_past_midnight() -> None:
    """Blocking from 23 h to 5 h, street from 22 h to 30 h: set-up 22:00, lowering at 23:00."""
    night = replace(RULES, start=20 * 3600.0)
    by_night = replace(
        BASE,
        allowed_hours=(23, 0, 1, 2, 3, 4),
        access=((22 * 3600.0, 30 * 3600.0),),
    )
    found = planned((by_night,), CREW, rules=night)
    seen = visit(found, "R/01")
    assert found.shifts[0].day == MONDAY
    assert seen.lower == clock(23)
    assert seen.out.date() == date(2024, 5, 7)
    # lowered at once when the hour comes; mixed as early as its working time allows (60 - 15)
    assert seen.mix == clock(22.5)


def test_window_of_the_small_hours_is_met_by_the_shift_of_the_day_before() -> None:
    night = replace(RULES, start=20 * 3600.0)
    early = replace(BASE, access=((1 * 3600.0, 5 * 3600.0),))
    found = planned((early,), CREW, rules=night)
    assert found.shifts[0].manholes[0][1] == clock(25)


@pytest.mark.parametrize(
    ("change", "rule", "number"),
    [
        ({"packers": ("X",)}, "packer", "X"),
        ({"latest_inflation": 34 * MINUTE}, "working-time", "34 min"),
        ({"distance": 500.0}, "working-time", "118.3 min"),
        ({"release": 540 * MINUTE}, "shift-length", "605 min"),
        ({"access": ((8 * 3600.0, 10 * 3600.0),)}, "access", "120 min"),
        ({"allowed_hours": (9, 12)}, "flow", "60 min"),
        ({"allowed_hours": ()}, "flow", "0 min"),
        # two hours of street after the blocking begins: each alone would do
        (
            {"access": ((7 * 3600.0, 10 * 3600.0),), "allowed_hours": (9, 10, 11)},
            "flow",
            "no start fits",
        ),
    ],
)
def test_refusal_names_the_rule_and_the_numbers(
    change: dict[str, object], rule: str, number: str
) -> None:
    hopeless = replace(BASE, connection_id="R/99", **change)  # type: ignore[arg-type]
    found = planned((BASE, hopeless), CREW)
    assert refused(found) == {"R/99": rule}
    assert number in found.unplanned[0].text
    assert [v.connection_id for s in found.shifts for v in s.visits] == ["R/01"]


def test_working_time_met_to_the_second_is_enough() -> None:
    exact = replace(BASE, latest_inflation=35 * MINUTE)
    assert refused(planned((exact,), CREW)) == {}
    assert refused(planned((replace(exact, latest_inflation=35 * MINUTE - 1),), CREW)) == {
        "R/01": "working-time"
    }


def test_seconds_are_planned_where_minutes_would_bar() -> None:
    """Travel of 30 s each way: 165 min and a half fill a shift that a whole minute would not."""
    near = replace(BASE, distance=3.0)
    found = planned((near,), CREW, rules=replace(RULES, length=165.5 * MINUTE))
    assert refused(found) == {}
    assert minutes(found) == 165.5


def test_last_day_leaves_out_what_no_shift_has_room_for() -> None:
    installations = tuple(asked(f"R/{k:02}") for k in range(5))
    tight = replace(RULES, length=285 * MINUTE)
    found = planned(installations, LONE, rules=tight, last_day=date(2024, 5, 7))
    assert [len(s.visits) for s in found.shifts] == [2, 2]
    assert list(refused(found).values()) == ["last-day"]


def test_ready_after_the_last_day_is_named() -> None:
    late = replace(asked("R/02"), not_before=date(2024, 5, 8))
    found = planned((BASE, late), CREW, last_day=date(2024, 5, 7))
    assert refused(found) == {"R/02": "last-day"}


def test_same_input_gives_the_same_programme() -> None:
    installations = tuple(asked(f"{r}{k}", r, f"M{r}") for r in "RST" for k in range(3))
    assert planned(installations, CREW, seconds=2.0) == planned(installations, CREW, seconds=2.0)


def test_progress_is_told() -> None:
    told: list[str] = []
    plan(
        (BASE,),
        crews=(CREW,),
        shifts=RULES,
        first_day=MONDAY,
        days=WEEK,
        progress=told.append,
    )
    assert told[0] == "1 of 1 installations fit a shift"
    assert told[-1] == "ordering shift 1 of 1"


@pytest.mark.parametrize(
    ("rules", "days", "installations", "name"),
    [
        (replace(RULES, length=0.0), WEEK, (BASE,), "length"),
        (replace(RULES, length=90000.0), WEEK, (BASE,), "length"),
        (replace(RULES, start=-1.0), WEEK, (BASE,), "start"),
        (replace(RULES, travel_speed=0.0), WEEK, (BASE,), "travel_speed"),
        (RULES, (), (BASE,), "days"),
        (RULES, (0,), (BASE,), "days"),
        (RULES, WEEK, (BASE, BASE), "connection"),
    ],
)
def test_what_cannot_be_planned_with_is_refused(
    rules: ShiftRules, days: tuple[int, ...], installations: tuple[Installation, ...], name: str
) -> None:
    with pytest.raises(InputError, match=name):
        plan(installations, crews=(CREW,), shifts=rules, first_day=MONDAY, days=days)

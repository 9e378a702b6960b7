"""Every rule, broken on purpose in a programme that keeps them all, is found."""

import ast
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

import teewright
from teewright.kit.values import Crew
from teewright.programme.check import check
from teewright.programme.values import Installation, Programme, Shift, Unplanned, Visit
from unit.programme.scenes import ANY_HOUR, CREW, MINUTE, MONDAY, RULES, WEEK, asked, clock

WEST = Crew("West", 2, ("P", "P"))
ASKED = (
    replace(
        asked("R/01"),
        distance=12.0,
        access=((7 * 3600.0, 12 * 3600.0),),
        allowed_hours=(7, 8, 9, 10),
    ),
    asked("S/01", "S", "N"),
    replace(asked("T/01", "T", "O"), packers=("P",)),
    replace(asked("U/01", "U", "O"), packers=("P",)),
    replace(asked("V/01"), latest_inflation=20 * MINUTE),
)


def at(minutes: float) -> datetime:
    return clock(7) + timedelta(minutes=minutes)


def visit(asked_for: Installation, packer: str, mix: float, release: float) -> Visit:
    """A visit by hand: prepare 20, place 15 and travel, finish 20 and travel."""
    travel = asked_for.distance / 6.0
    return Visit(
        connection_id=asked_for.connection_id,
        run_id=asked_for.run_id,
        manhole=asked_for.manhole,
        packer=packer,
        mix=at(mix),
        wet_out=at(mix + 20),
        lower=at(mix + 20),
        in_place=at(mix + 30 + travel),
        at_pressure=at(mix + 35 + travel),
        latest_pressure=at(mix + 60),
        release=at(release),
        earliest_release=at(mix + 100),
        out=at(release + 10 + travel),
        tested=at(release + 20 + travel),
    )


# East goes from M to N while the packer holds, and back; West works at O with both its packers
EAST = Shift(
    number=1,
    crew="East",
    day=MONDAY,
    start=at(0),
    end=at(600),
    visits=(visit(ASKED[0], "P", 30, 172), visit(ASKED[1], "Q", 117, 232)),
    manholes=(("M", at(0), at(209)), ("N", at(87), at(269))),
)
WEST_SHIFT = Shift(
    number=2,
    crew="West",
    day=MONDAY,
    start=at(0),
    end=at(600),
    visits=(visit(ASKED[2], "P #1", 30, 130), visit(ASKED[3], "P #2", 65, 165)),
    manholes=(("O", at(0), at(200)),),
)
GOOD = Programme(
    (EAST, WEST_SHIFT),
    (Unplanned("V/01", "working-time", "35 min of 20 min."),),
    2,
    proved=True,
)


def broken(programme: Programme, **more: Any) -> set[str]:
    given: dict[str, Any] = {
        "crews": (CREW, WEST),
        "shifts": RULES,
        "days": WEEK,
        "first_day": MONDAY,
        "last_day": date(2024, 5, 10),
    }
    asked_for = more.pop("asked_for", ASKED)
    return {b.rule for b in check(programme, asked_for, **(given | more))}


def test_the_programme_by_hand_keeps_every_rule() -> None:
    assert broken(GOOD) == set()


def of_visit(shift: int, index: int, **changes: Any) -> Callable[[], Programme]:
    """The programme with one visit changed."""

    def changed() -> Programme:
        one = GOOD.shifts[shift]
        visits = list(one.visits)
        visits[index] = replace(visits[index], **changes)
        return of_shift(shift, visits=tuple(visits))()

    return changed


def of_shift(shift: int, **changes: Any) -> Callable[[], Programme]:
    """The programme with one shift changed."""

    def changed() -> Programme:
        shifts = list(GOOD.shifts)
        shifts[shift] = replace(shifts[shift], **changes)
        return replace(GOOD, shifts=tuple(shifts))

    return changed


def moved_a_day(shift: Shift, days: int) -> Shift:
    """A whole shift on another day."""
    by = timedelta(days=days)
    moments = {
        name: getattr(shift.visits[0], name) for name in Visit.__slots__ if name not in _NAMES
    }
    return replace(
        shift,
        day=shift.day + by,
        start=shift.start + by,
        end=shift.end + by,
        visits=tuple(
            replace(v, **{name: getattr(v, name) + by for name in moments}) for v in shift.visits
        ),
        manholes=tuple((n, a + by, b + by) for n, a, b in shift.manholes),
    )


_NAMES = ("connection_id", "run_id", "manhole", "packer")

MUTATIONS: dict[str, tuple[str, Callable[[], Programme]]] = {
    "left out": ("once", of_shift(0, visits=EAST.visits[:1], manholes=EAST.manholes[:1])),
    "twice": ("once", of_shift(1, visits=(*WEST_SHIFT.visits, EAST.visits[0]))),
    "planned and refused": (
        "once",
        lambda: replace(GOOD, unplanned=(*GOOD.unplanned, Unplanned("R/01", "flow", ""))),
    ),
    "stranger": ("once", of_visit(0, 0, connection_id="X/01")),
    "wrong run": ("place", of_visit(0, 0, run_id="S")),
    "wetted out too soon": ("step", of_visit(0, 0, wet_out=at(49))),
    "lowered before wetted out": ("step", of_visit(0, 0, lower=at(49))),
    "travel too fast": ("step", of_visit(0, 0, in_place=at(61))),
    "inflated too fast": ("step", of_visit(0, 0, at_pressure=at(66))),
    "released before pressure": ("step", of_visit(0, 0, release=at(66))),
    "pulled too fast": ("step", of_visit(0, 0, out=at(183))),
    "tested too fast": ("step", of_visit(0, 0, tested=at(193))),
    "batch too old": (
        "working-time",
        of_visit(0, 0, in_place=at(86), at_pressure=at(91), latest_pressure=at(91)),
    ),
    "deadline too late": ("working-time", of_visit(0, 0, latest_pressure=at(91))),
    "own deadline missed": ("working-time", of_visit(0, 0, latest_pressure=at(66))),
    "released too soon": ("release", of_visit(1, 0, release=at(129))),
    "earliest release too soon": ("release", of_visit(0, 0, earliest_release=at(129))),
    "own earliest release missed": ("release", of_visit(0, 0, earliest_release=at(173))),
    "no time to move": ("crew", of_visit(0, 0, release=at(171))),
    "two things at once": ("crew", of_visit(1, 1, mix=at(64), wet_out=at(84))),
    "set up elsewhere meanwhile": (
        "one-batch",
        of_shift(0, manholes=(("M", at(0), at(209)), ("N", at(50), at(269)))),
    ),
    "mixed before the last is in place": ("one-batch", of_visit(1, 1, mix=at(60))),
    "mixed during set-up": ("set-up", of_shift(1, manholes=(("O", at(1), at(200)),))),
    "cleared before tested": ("set-up", of_shift(1, manholes=(("O", at(0), at(199)),))),
    "never set up": ("set-up", of_shift(1, manholes=())),
    "set up for nothing": (
        "set-up",
        of_shift(1, manholes=(*WEST_SHIFT.manholes, ("Z", at(400), at(500)))),
    ),
    "packer does not fit": ("packer-fit", of_visit(1, 0, packer="Q")),
    "packer not on the van": ("packer-van", of_visit(1, 0, packer="P #3")),
    "packer carries two": ("packer-once", of_visit(1, 0, packer="P #2")),
    "run holds two": (
        "run-once",
        of_visit(1, 0, run_id="U"),
    ),
    "two crews in a run": ("one-crew", of_visit(1, 0, run_id="R")),
    "shift starts late": ("shift", of_shift(0, start=at(-1))),
    "shift too long": ("shift", of_shift(0, end=at(601))),
    "outside the shift": ("shift", of_shift(0, end=at(268))),
    "week-end": (
        "weekday",
        lambda: replace(GOOD, shifts=(EAST, moved_a_day(WEST_SHIFT, 5))),
    ),
    "before the first day": (
        "days",
        lambda: replace(GOOD, shifts=(moved_a_day(EAST, -3), WEST_SHIFT)),
    ),
    "after the last day": (
        "days",
        lambda: replace(GOOD, shifts=(EAST, moved_a_day(WEST_SHIFT, 7))),
    ),
    "not ready": (
        "not-before",
        lambda: replace(GOOD, shifts=(moved_a_day(EAST, -3), WEST_SHIFT)),
    ),
    "unknown crew": ("crew-known", of_shift(1, crew="North")),
    "crew works twice a day": ("crew-day", of_shift(1, crew="East")),
    "shifts out of order": ("order", lambda: replace(GOOD, shifts=(WEST_SHIFT, EAST))),
    "visits out of order": ("order", of_shift(0, visits=EAST.visits[::-1])),
    "manholes out of order": ("order", of_shift(0, manholes=EAST.manholes[::-1])),
    "empty shift": ("max-collars", of_shift(1, visits=(), manholes=())),
    "bound above the shifts": ("bound", lambda: replace(GOOD, bound=3)),
    "proved though it is not": ("bound", lambda: replace(GOOD, bound=1)),
    "refused though it fits": (
        "refusal",
        lambda: replace(GOOD, unplanned=(Unplanned("V/01", "packer", ""),)),
    ),
}


@pytest.mark.parametrize("name", MUTATIONS)
def test_broken_rule_is_found(name: str) -> None:
    rule, mutated = MUTATIONS[name]
    assert rule in broken(mutated())


@pytest.mark.parametrize(
    ("rule", "changes"),
    [
        ("access", {"access": ((7 * 3600.0, 10.4 * 3600.0),)}),
        ("access", {"access": ((7.1 * 3600.0, 12 * 3600.0),)}),
        ("access", {"access": ((7 * 3600.0, 9 * 3600.0), (9.1 * 3600.0, 12 * 3600.0))}),
        ("flow", {"allowed_hours": (7, 8, 9)}),
        ("flow", {"allowed_hours": (8, 9, 10)}),
        ("flow", {"allowed_hours": (7, 9, 10)}),
        ("step", {"distance": 13.0}),
        ("not-before", {"not_before": date(2024, 5, 7)}),
        ("working-time", {"latest_inflation": 36.9 * MINUTE}),
        ("release", {"release": 142.1 * MINUTE}),
        ("packer-fit", {"packers": ("Q",)}),
    ],
)
def test_stricter_wish_is_found_broken(rule: str, changes: dict[str, Any]) -> None:
    """The wish is made a little harder than the programme allows for."""
    harder = (replace(ASKED[0], **changes), *ASKED[1:])
    assert rule in broken(GOOD, asked_for=harder)


@pytest.mark.parametrize(
    "changes",
    [
        # one window takes over from another, in the night before or the day itself
        {"access": ((7 * 3600.0, 9 * 3600.0), (9 * 3600.0, 12 * 3600.0))},
        {"access": ((20 * 3600.0, 36 * 3600.0),)},
        {"access": ()},
        {"allowed_hours": ANY_HOUR},
    ],
)
def test_wider_wish_is_kept(changes: dict[str, Any]) -> None:
    wider = (replace(ASKED[0], **changes), *ASKED[1:])
    assert broken(GOOD, asked_for=wider) == set()


def test_fewer_collars_allowed_is_found_broken() -> None:
    assert broken(GOOD, shifts=replace(RULES, max_collars=1)) == {"max-collars"}


@pytest.mark.parametrize(
    ("field", "rule"),
    [
        ("set_up", "set-up"),
        ("clear", "set-up"),
        ("move", "crew"),
        ("mix", "step"),
        ("wet_out", "step"),
        ("lower", "step"),
        ("position", "step"),
        ("inflate", "step"),
        ("remove", "step"),
        ("test", "step"),
    ],
)
def test_every_duration_is_held(field: str, rule: str) -> None:
    longer = replace(RULES, **{field: getattr(RULES, field) + 1.0})
    assert rule in broken(GOOD, shifts=longer)


def imported(module: str, seen: set[str]) -> set[str]:
    """Modules of the package that a module imports, at any depth and wherever it does so."""
    if module in seen:
        return seen
    root = Path(teewright.__file__).parent.parent
    path = root.joinpath(*module.split(".")).with_suffix(".py")
    if not path.exists():
        return seen
    seen.add(module)
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("teewright"):
            imported(str(node.module), seen)
            for name in node.names:  # a module of a package, or a name that is no file
                imported(f"{node.module}.{name.name}", seen)
        elif isinstance(node, ast.Import):
            for name in node.names:
                if name.name.startswith("teewright"):
                    imported(name.name, seen)
    return seen


def test_checker_and_optimiser_share_values_alone() -> None:
    checker = imported("teewright.programme.check", set())
    optimiser = imported("teewright.programme.optimise", set())
    assert "teewright.programme.check" not in optimiser
    assert "teewright.programme.sequence" in optimiser
    assert "teewright.programme.rules.flow" in checker
    # `kit.cure` holds values too: readings of a resin, in units of the foundation
    shared = {m.removeprefix("teewright.") for m in checker & optimiser}
    assert shared <= {"programme.values", "kit.values", "kit.cure", "units", "errors"}

"""A programme that the user moved: kept, undone step by step, dropped where it fits no more."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from teewright.bench import by_hand
from teewright.bench.by_hand import NAME, hand_made, present
from teewright.errors import InputError
from teewright.job.planning import Planning
from teewright.kit.values import Crew
from teewright.programme.moving import Move
from teewright.programme.optimise import plan
from teewright.programme.values import Programme
from teewright.store.project import Project
from unit.programme.scenes import CREW, MONDAY, RULES, WEEK, asked, clock

PLANNING = Planning((asked("R/01"), asked("S/01", "S")), (CREW,), RULES, MONDAY, WEEK)
COMPUTED = plan(
    PLANNING.installations, crews=(CREW,), shifts=RULES, first_day=MONDAY, days=WEEK, seconds=2.0
)


def moved(hours: float) -> Programme:
    return PLANNING.move(COMPUTED, Move("S/01", "East", MONDAY, clock(hours)), frozenset())


@pytest.fixture
def project(tmp_path: Path) -> Iterator[Project]:
    with Project.create(tmp_path / "job.tee") as made:
        yield made


def keep(project: Project, programme: Programme, *, on: int) -> int:
    return by_hand.keep(project, hand_made(programme, frozenset({"S/01"}), PLANNING, on), on=on)


def in_force(project: Project, planning: Planning = PLANNING) -> Programme | None:
    hand = present(project, planning).hand
    return hand.programme if hand else None


def test_what_is_kept_is_in_force_to_the_second(project: Project) -> None:
    assert present(project, PLANNING) == by_hand.Present(None, 0, "")
    keep(project, moved(10), on=0)
    there = present(project, PLANNING)
    assert there.hand is not None
    assert there.hand.programme == moved(10)
    assert (there.version, there.hand.fixed, there.dropped) == (1, ("S/01",), "")


def test_undo_goes_back_decision_by_decision(project: Project) -> None:
    """Three decisions, then undo, a fourth, and undo down to the computed programme."""
    on = keep(project, moved(9.5), on=0)
    on = keep(project, moved(10), on=on)
    on = keep(project, moved(11), on=on)
    on = by_hand.undo(project, on=on)
    assert in_force(project) == moved(10)
    on = keep(project, moved(12), on=on)
    on = by_hand.undo(project, on=on)
    assert in_force(project) == moved(10)
    on = by_hand.undo(project, on=on)
    assert in_force(project) == moved(9.5)
    on = by_hand.undo(project, on=on)
    assert (in_force(project), on) == (None, 0)
    with pytest.raises(InputError, match="nothing to undo"):
        by_hand.undo(project, on=0)


def test_after_it_was_dropped_it_begins_anew(project: Project) -> None:
    on = keep(project, moved(10), on=0)
    by_hand.drop(project, on=on)
    assert in_force(project) is None
    on = keep(project, moved(11), on=0)
    assert in_force(project) == moved(11)
    assert by_hand.undo(project, on=on) == 0
    assert in_force(project) is None


def test_two_that_decide_at_once_do_not_overwrite_each_other(project: Project) -> None:
    keep(project, moved(10), on=0)
    with pytest.raises(InputError, match="changed by someone else"):
        keep(project, moved(11), on=0)
    with pytest.raises(InputError, match="changed by someone else"):
        by_hand.undo(project, on=7)
    assert in_force(project) == moved(10)


@pytest.mark.parametrize(
    ("planning", "why"),
    [
        (replace(PLANNING, installations=PLANNING.installations[:1]), "S/01 is no longer"),
        (
            replace(PLANNING, installations=(*PLANNING.installations, asked("T/01", "T"))),
            "T/01 is to be set now",
        ),
        (
            replace(
                PLANNING,
                installations=tuple(replace(i, release=4321.0) for i in PLANNING.installations),
            ),
            "R/01 and 1 more are now set with other times",
        ),
        (replace(PLANNING, crews=(Crew("West", 2, ("P",)),)), "Crews, rules"),
        (replace(PLANNING, rules=replace(RULES, move=99.0)), "Crews, rules"),
        (replace(PLANNING, days=(1,)), "days of work"),
    ],
)
def test_what_was_made_for_something_else_is_not_used_and_says_why(
    project: Project, planning: Planning, why: str
) -> None:
    keep(project, moved(10), on=0)
    there = present(project, planning)
    assert there.hand is None
    assert why in there.dropped
    assert there.dropped.endswith(".")
    assert present(project, PLANNING).hand is not None


def test_one_of_another_version_is_not_used(project: Project) -> None:
    project.add_document("option", NAME, b'{"programme": {}}')
    there = present(project, PLANNING)
    assert there.hand is None
    assert "another version" in there.dropped
    by_hand.drop(project, on=1)
    assert present(project, PLANNING).version == 0

import math
from dataclasses import replace

import pytest

from teewright.errors import InputError, RangeError
from teewright.units import SHOWN
from teewright.wall.collar import collar_wall
from teewright.wall.opening import ELLIPSE, LOOSE, PLATE, opening_check
from teewright.wall.values import Opening, PartCheck
from wall_cases import CASE, OPENING, RULES, WALL


def check(opening: Opening) -> PartCheck:
    return opening_check(opening, 0.3, WALL, RULES)


def test_a_square_branch_is_a_round_plate() -> None:
    found = check(OPENING)
    needed = {case.name: case.needed for case in (*found.cases, *found.beside)}
    assert found.governing == PLATE
    # 28.4 kPa on 75 mm with 15.5 MPa over 2
    assert needed[PLATE] == pytest.approx(0.075 * math.sqrt(0.75 * 9810.0 * 2.9 * 2.0 / 15.5e6))
    assert needed[ELLIPSE] == pytest.approx(needed[PLATE])
    assert needed[LOOSE] > needed[PLATE]


def test_a_slanting_branch_opens_a_longer_hole() -> None:
    square, slanting = check(OPENING), check(replace(OPENING, angle=math.radians(45.0)))
    assert slanting.required / square.required == pytest.approx(math.sqrt(2.0))
    needed = {case.name: case.needed for case in slanting.beside}
    assert square.required < needed[ELLIPSE] < slanting.required


def test_a_broken_edge_widens_the_hole() -> None:
    whole, broken = check(OPENING), check(replace(OPENING, broken=0.015))
    assert broken.required / whole.required == pytest.approx(180.0 / 150.0)


def test_the_greater_of_both_pressures_counts() -> None:
    outside = check(OPENING)
    assert check(replace(OPENING, inside=2.0)) == replace(
        outside, trace=check(replace(OPENING, inside=2.0)).trace
    )
    both = check(replace(OPENING, inside=4.0 * OPENING.head))
    assert both.required == pytest.approx(2.0 * outside.required)


def test_a_wall_as_thick_as_needed_stands_just_the_pressure() -> None:
    found = check(replace(OPENING, provided=check(OPENING).required))
    assert found.cases[0].stands == pytest.approx(9810.0 * OPENING.head)
    assert found.utilisation == pytest.approx(1.0)


def test_the_assumption_is_told() -> None:
    found = check(replace(OPENING, angle=math.radians(25.0)))
    assert "cautious assumption" in found.cases[0].source
    assert any("cautious assumption" in note for note in found.notes)
    assert any("stand-in" in note for note in found.notes)
    assert any("longer than the main is wide" in note for note in found.notes)
    assert not any("longer than" in note for note in check(OPENING).notes)
    assert all(row.shown_in in SHOWN for row in found.trace)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(RangeError, match="head inside"):
        check(replace(OPENING, inside=-1.0))
    with pytest.raises(RangeError, match="branch angle"):
        check(replace(OPENING, angle=0.1))
    with pytest.raises(RangeError, match="safety factor"):
        opening_check(OPENING, 0.3, WALL, replace(RULES, safety_factor=0.9))


def test_the_whole_collar_tells_its_worst_part_and_asks_for_review() -> None:
    found = collar_wall(CASE)
    assert [part.name for part in found.parts] == ["main", "branch"]
    assert found.utilisation == max(part.utilisation for part in found.parts)
    assert found.worst is found.parts[0]
    assert found.governing_part == "main"
    assert found.notes[-1] == "Wall: for review by a qualified engineer under the local code."


def test_a_plate_over_an_open_branch_does_not_govern() -> None:
    slanting = replace(CASE, opening=replace(OPENING, angle=math.radians(45.0)))
    found = collar_wall(slanting)
    assert found.beside.utilisation > 1.0 > found.utilisation
    assert found.governing_part == "main"
    told = [note for note in found.notes if "closed-off branch" in note]
    assert len(told) == 1
    assert f"needs {1e3 * found.beside.required:.2f} mm" in told[0]
    assert not any("opening's wall" in note for note in found.notes)


def test_rows_of_each_part_bear_its_name() -> None:
    names = [row.quantity for row in collar_wall(CASE).trace]
    assert len(names) == len(set(names))


def test_two_parts_of_one_name_are_refused() -> None:
    with pytest.raises(InputError, match="names two parts"):
        collar_wall(replace(CASE, branch=replace(CASE.branch, name="main")))

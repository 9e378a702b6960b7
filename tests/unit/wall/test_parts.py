from dataclasses import replace

import pytest

from teewright.errors import RangeError
from teewright.trace import Origin
from teewright.units import SHOWN
from teewright.wall.cases import (
    BARE,
    BENDING,
    BUCKLING,
    GLOCK_MEAN,
    GLOCK_OUTER,
    HANDLING,
    MINIMUM,
    SOIL,
    SPAN,
)
from teewright.wall.f1216 import span_thickness, x1_1_thickness, x1_2_thickness
from teewright.wall.parts import part_check
from teewright.wall.values import LEAST, Case, PartCheck
from wall_cases import BRANCH, GROUND, MAIN, RULES, WALL


def by_name(found: PartCheck) -> dict[str, Case]:
    return {case.name: case for case in (*found.cases, *found.beside)}


def test_each_case_is_its_own_law_and_the_greatest_governs() -> None:
    found = part_check(replace(MAIN, missing=0.02), WALL, RULES)
    P, D, E_L, s_L = 9810.0 * MAIN.head, MAIN.diameter, 862e6, 15.5e6
    by_law = {
        BUCKLING: x1_1_thickness(
            P, D, E_L, poisson=0.3, ovality=0.02, safety_factor=2.0, enhancement=7.0
        ),
        BENDING: x1_2_thickness(P, D, s_L, ovality=0.02, safety_factor=2.0),
        SPAN: span_thickness(P, D, 0.02, s_L, safety_factor=2.0),
        MINIMUM: LEAST,
    }
    assert {case.name: case.needed for case in found.cases} == by_law
    assert (found.governing, found.required) == (BUCKLING, by_law[BUCKLING])
    assert found.utilisation == found.required / MAIN.provided


def test_a_flat_pipe_is_governed_by_bending() -> None:
    assert part_check(replace(MAIN, ovality=0.08, head=8.0), WALL, RULES).governing == BENDING


@pytest.mark.parametrize("head", [0.0, -2.0])
def test_without_groundwater_the_least_wall_is_left(head: float) -> None:
    found = part_check(replace(MAIN, head=head), WALL, RULES)
    assert (found.governing, found.required) == (MINIMUM, LEAST)
    assert by_name(found)[BUCKLING].needed == 0.0


def test_more_creep_needs_more_wall() -> None:
    more = part_check(MAIN, replace(WALL, long_term=0.3), RULES)
    assert more.required > part_check(MAIN, WALL, RULES).required


def test_a_cover_that_is_computed_says_how() -> None:
    given, found = (
        part_check(replace(MAIN, ground=replace(GROUND, cover_formula=f)), WALL, RULES)
        for f in ("", "c + D_h")
    )
    rows = [{r.symbol: r for r in part.trace}["c"] for part in (given, found)]
    assert [r.origin for r in rows] == [Origin.INPUT, Origin.COMPUTED]
    assert [r.formula for r in rows] == ["", "c + D_h"]


def test_a_host_that_has_given_up_asks_for_soil_and_stiffness_too() -> None:
    partly, fully = (part_check(replace(MAIN, ground=g), WALL, RULES) for g in (None, GROUND))
    assert SOIL not in by_name(partly)
    assert {SOIL, HANDLING} <= set(by_name(fully))
    assert fully.governing == SOIL
    # X1.1 and X1.2 must still be met
    assert by_name(fully)[BUCKLING] == by_name(partly)[BUCKLING]
    assert by_name(fully)[BENDING] == by_name(partly)[BENDING]


@pytest.mark.parametrize("name", [BUCKLING, BENDING, GLOCK_MEAN, GLOCK_OUTER, BARE])
def test_a_wall_as_thick_as_needed_stands_just_the_water(name: str) -> None:
    needed = by_name(part_check(MAIN, WALL, RULES))[name].needed
    stands = by_name(part_check(replace(MAIN, provided=needed), WALL, RULES))[name].stands
    assert stands == pytest.approx(9810.0 * MAIN.head)


def test_a_wall_as_thick_as_needed_stands_just_the_ground() -> None:
    part = replace(MAIN, ground=GROUND)
    needed = by_name(part_check(part, WALL, RULES))[SOIL].needed
    found = part_check(replace(part, provided=needed), WALL, RULES)
    load = next(row.value for row in found.trace if row.symbol == "q_t")
    assert by_name(found)[SOIL].stands == pytest.approx(load)
    # 2.7 m of water over the crown of 3 m of soil: R_w is 1 - 0.33 * 0.9
    assert load == pytest.approx(9810.0 * 2.7 + 19e3 * 3.0 * (1.0 - 0.33 * 0.9) + 5e3)


def test_water_below_the_crown_is_none_on_it() -> None:
    found = part_check(replace(MAIN, ground=GROUND, head=0.2), WALL, RULES)
    load = next(row.value for row in found.trace if row.symbol == "q_t")
    assert load == pytest.approx(19e3 * 3.0 + 5e3)


def test_the_branch_is_narrower_and_needs_less() -> None:
    found = part_check(BRANCH, WALL, RULES)
    assert found.governing == MINIMUM
    assert by_name(found)[BUCKLING].needed < by_name(part_check(MAIN, WALL, RULES))[BUCKLING].needed


def test_a_stiff_branch_is_told_what_glock_asks_for() -> None:
    # a narrow branch deep under water needs a wall of DR below 28: K = 7 promises too much
    deep = replace(BRANCH, head=40.0, provided=0.008, ovality=0.0)
    found = part_check(deep, WALL, RULES)
    assert by_name(found)[GLOCK_MEAN].needed > by_name(found)[BUCKLING].needed
    assert any("Glock" in note for note in found.notes)
    assert not any("Glock" in note for note in part_check(MAIN, WALL, RULES).notes)


def test_a_wall_too_thin_is_told() -> None:
    found = part_check(replace(MAIN, provided=0.005), WALL, RULES)
    assert found.utilisation > 1.0
    assert any("less than the 5.14 mm" in note for note in found.notes)


def test_a_hole_that_is_no_plate_is_left_to_the_engineer() -> None:
    wide, small = (part_check(replace(MAIN, missing=d), WALL, RULES) for d in (0.15, 0.02))
    assert by_name(wide)[SPAN].needed == 0.0
    assert any("too wide for a plate" in note for note in wide.notes)
    assert not any("too wide" in note for note in small.notes)
    assert by_name(small)[SPAN].needed > 0.0


def test_strength_may_creep_by_a_share_of_its_own() -> None:
    weaker = part_check(MAIN, replace(WALL, strength_share=0.3), RULES)
    same = part_check(MAIN, WALL, RULES)
    assert by_name(weaker)[BENDING].needed > by_name(same)[BENDING].needed
    assert by_name(weaker)[BUCKLING] == by_name(same)[BUCKLING]
    with pytest.raises(RangeError, match="long-term share"):
        part_check(MAIN, replace(WALL, strength_share=1.2), RULES)


def test_the_trace_can_be_shown() -> None:
    found = part_check(replace(MAIN, ground=GROUND, missing=0.02), WALL, RULES)
    assert all(row.shown_in in SHOWN for row in found.trace)
    assert all(row.source for row in found.trace if row.symbol.startswith("t_G"))
    needed = next(row.value for row in found.trace if row.symbol == "t_n")
    assert needed == found.required


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(RangeError, match="groundwater over the invert"):
        part_check(replace(MAIN, head=51.0), WALL, RULES)
    with pytest.raises(RangeError, match="installed thickness"):
        part_check(replace(MAIN, provided=0.0), WALL, RULES)
    with pytest.raises(RangeError, match="soil over the crown"):
        part_check(replace(MAIN, ground=replace(GROUND, cover=-1.0)), WALL, RULES)

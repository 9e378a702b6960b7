import math
from dataclasses import replace

import pytest

from teewright.collar.values import Edge
from teewright.job.assessing import assess_survey
from teewright.job.designing import design_job
from teewright.job.resolve import Inputs, resolve
from teewright.job.values import Design
from teewright.job.walls import case_of, ranges_of, seals, tight_of, walls_of
from teewright.wall.sensitivity import INPUTS
from unit.job import world

NAME = "T01-T02/03"


@pytest.fixture(scope="module")
def design() -> Design:
    site, survey = world.site(), world.survey()
    few = replace(survey, connections=tuple(c for c in survey.connections if c.id == NAME))
    (found,) = design_job(few, site, world.kit(), assess_survey(survey, site)).designs
    return found


def inputs() -> Inputs:
    survey = world.survey()
    connection = next(c for c in survey.connections if c.id == NAME)
    return resolve(survey, world.site(), connection)


def given(value: float, name: str) -> Inputs:
    known = inputs()
    return replace(known, **{name: replace(getattr(known, name), value=value)})


def test_main_and_branch_are_checked_with_their_own_bores() -> None:
    known = inputs()
    case = case_of(known, world.kit(), 0.004)
    assert (case.main.diameter, case.branch.diameter) == (
        known.lined_diameter,
        known.branch_diameter.value,
    )
    assert (case.main.ovality, case.branch.ovality) == (known.ovality.value, 0.0)
    assert {case.main.head, case.branch.head, case.opening.head} == {known.head.value}


def test_the_design_tells_the_part_that_governs(design: Design) -> None:
    walls = design.walls
    assert walls is not None
    assert design.governing_wall is max(walls.parts, key=lambda p: p.utilisation)
    assert design.wall_governs == f"{walls.governing_part}: {walls.governing}"
    main = walls.parts[0]
    assert (main.required, main.provided) == (design.wall.required, design.wall.provided)
    assert tuple((c.name, c.needed) for c in main.cases) == design.wall.cases
    assert design.tornado is not None
    assert design.tornado.utilisation == walls.utilisation


def test_where_the_branch_governs_its_own_ovality_is_moved() -> None:
    known = inputs()
    case = case_of(known, world.kit(), 0.004)
    keys = {r.key for r in ranges_of(case, known, "branch")}
    assert keys == {"head", "thickness", "modulus", "branch_ovality"}


def test_in_deep_water_a_branch_wider_than_the_main_governs(design: Design) -> None:
    deep = given(8.0, "head")
    wide = replace(
        deep,
        branch_diameter=replace(deep.branch_diameter, value=1.6 * deep.lined_diameter),
        ovality=replace(deep.ovality, value=0.0),
    )
    kit = world.with_rules(tight_length_main=0.0, tight_length_branch=0.0)
    found = walls_of(wide, kit, design.collar, thickness=0.004)
    assert found.walls.governing_part == "branch"
    assert found.tornado.utilisation == found.walls.parts[1].utilisation


def test_each_range_holds_what_is_checked_and_says_what_it_rests_on() -> None:
    known = inputs()
    case = case_of(known, world.kit(), 0.004)
    ranges = {r.key: r for r in ranges_of(case, known, "main")}
    assert set(ranges) == {"head", "thickness", "modulus", "ovality"}
    for key, found in ranges.items():
        assert found.low <= INPUTS[key].read(case) <= found.high
        assert "engineer's choice" in found.evidence
    surface = known.cover.value + known.host_diameter.value
    assert ranges["head"].high == max(surface, known.head.value)


def test_more_ovality_than_the_law_knows_is_not_charted() -> None:
    oval = given(0.095, "ovality")
    ranges = {r.key: r for r in ranges_of(case_of(oval, world.kit(), 0.004), oval, "main")}
    assert ranges["ovality"].high == 0.10


def test_the_seal_of_a_square_branch_by_hand(design: Design) -> None:
    square = given(math.radians(90.0), "angle")
    lands = (
        Edge("upstream", 0.2, 0.19, 0.21),
        Edge("downstream", 0.2, 0.18, 0.21),
        Edge("branch", 0.1, 0.09, 0.11),
    )
    collar = replace(design.collar, landing=replace(design.collar.landing, edges=lands))
    d, rho = square.branch_diameter.value, square.fillet.value
    assert seals(square, collar) == pytest.approx((0.18 - d / 2.0 - rho, 0.09 - rho))


def test_a_leaning_branch_has_its_shortest_seal_at_the_crotch(design: Design) -> None:
    square = seals(given(math.radians(90.0), "angle"), design.collar)
    leaning = seals(given(math.radians(50.0), "angle"), design.collar)
    assert leaning[0] < square[0]
    assert leaning[1] < square[1]


def test_a_seal_shorter_than_wanted_is_told(design: Design) -> None:
    known = inputs()
    rules = replace(world.kit().rules, tight_length_main=0.9, tight_evidence="a trial")
    found = tight_of(known, rules, design.collar)
    assert found is not None
    assert found.governing == "flange"
    assert found.utilisation == pytest.approx(0.9 / seals(known, design.collar)[0])
    assert any("shorter than the 900 mm" in note for note in found.notes)


def test_a_short_seal_is_for_the_engineer_to_review() -> None:
    site, survey = world.site(), world.survey()
    few = replace(survey, connections=tuple(c for c in survey.connections if c.id == NAME))
    kit = world.with_rules(tight_length_main=0.9)
    (found,) = design_job(few, site, kit, assess_survey(survey, site)).designs
    assert any("shorter than the 900 mm" in sentence for sentence in found.review)


def test_where_no_seal_is_wanted_none_is_judged(design: Design) -> None:
    kit = world.with_rules(tight_length_main=0.0, tight_length_branch=0.0)
    assert walls_of(inputs(), kit, design.collar, thickness=0.004).tight is None

import json
import math
from dataclasses import replace

import pytest

from teewright.collar.values import Edge
from teewright.errors import InputError
from teewright.formats.json_values import dump, load
from teewright.job.assessing import assess_survey
from teewright.job.designing import design_job
from teewright.job.resolve import Inputs, resolve
from teewright.job.values import Design
from teewright.job.wall_case import InPlace, branch_cover, case_of, in_place, taken
from teewright.job.walls import ranges_of, seals, tight_of, walls_of
from teewright.trace import Origin
from teewright.wall.sensitivity import INPUTS
from unit.job import world

NAME = "T01-T02/03"
EVEN = InPlace(0.004, 0.004, 0.004)


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
    case = case_of(known, world.kit(), EVEN)
    assert (case.main.diameter, case.branch.diameter) == (
        known.lined_diameter,
        known.branch_diameter.value,
    )
    assert (case.main.ovality, case.branch.ovality) == (known.ovality.value, 0.0)
    assert {case.main.head, case.branch.head, case.opening.head} == {known.head.value}


def test_the_design_tells_the_part_that_governs(design: Design) -> None:
    walls = design.walls
    assert design.governing_wall is max(walls.parts, key=lambda p: p.utilisation)
    assert design.wall_governs == f"{walls.governing_part}: {walls.governing}"
    assert [part.name for part in walls.parts] == ["main", "branch"]
    assert design.wall is walls.parts[0]
    assert design.tornado is not None
    assert design.tornado.utilisation == walls.utilisation


def test_a_design_kept_before_is_read_or_made_anew(design: Design) -> None:
    kept = json.loads(dump(design))
    # a project of before told the main once more
    older = json.dumps({**kept, "wall": {"head": 3.0, "required": 0.004}})
    assert load(older, Design, file="old.tee") == design
    # and one from before main and branch were told has nothing to show of them
    del kept["walls"]
    with pytest.raises(InputError, match="walls"):
        load(json.dumps(kept), Design, file="old.tee")


def test_where_the_branch_governs_its_own_ovality_is_moved() -> None:
    known = inputs()
    case = case_of(known, world.kit(), EVEN)
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
    case = case_of(known, world.kit(), EVEN)
    ranges = {r.key: r for r in ranges_of(case, known, "main")}
    assert set(ranges) == {"head", "thickness", "modulus", "ovality"}
    for key, found in ranges.items():
        assert found.low <= INPUTS[key].read(case) <= found.high
        assert "engineer's choice" in found.evidence
    surface = known.cover.value + known.host_diameter.value
    assert ranges["head"].high == max(surface, known.head.value)


def test_more_ovality_than_the_law_knows_is_not_charted() -> None:
    oval = given(0.095, "ovality")
    ranges = {r.key: r for r in ranges_of(case_of(oval, world.kit(), EVEN), oval, "main")}
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


def test_a_part_has_its_own_thinnest_place(design: Design) -> None:
    landing = design.collar.landing
    assert len(landing.thin) == 3
    found = in_place(landing, 0.004)
    parts = found.main, found.opening, found.branch
    scale = 0.004 / landing.thickness[0]
    assert parts == pytest.approx([scale * thin for thin in landing.thin])
    # the edge counts with both: one of the parts is as thin as the whole, or thinner
    assert min(parts) <= 0.004
    case = case_of(inputs(), world.kit(), found)
    provided = case.main.provided, case.opening.provided, case.branch.provided
    assert provided == parts


def test_where_parts_are_not_told_the_thinnest_place_counts_everywhere(design: Design) -> None:
    assert in_place(replace(design.collar.landing, thin=()), 0.004) == EVEN


FALLEN = {"fully_deteriorated": True, "soil_modulus": 7e6, "traffic": 10e3}


def test_a_host_that_has_given_up_leaves_the_ground_to_main_and_branch() -> None:
    sound, fallen = inputs(), replace(inputs(), **FALLEN)  # type: ignore[arg-type]
    kit = world.kit()
    assert case_of(sound, kit, EVEN).main.ground is None
    case = case_of(fallen, kit, EVEN)
    main, branch = case.main.ground, case.branch.ground
    assert main is not None
    assert branch is not None
    heavier = max(kit.rules.soil_weight, kit.rules.soil_weight_saturated)
    assert (main.soil_modulus, main.traffic, main.soil_weight) == (7e6, 10e3, heavier)
    assert (branch.soil_modulus, branch.traffic, branch.soil_weight) == (7e6, 10e3, heavier)
    assert main.cover == fallen.cover.value
    # both crowns lie under one surface
    surface = fallen.cover.value + fallen.host_diameter.value
    assert branch.cover + case.branch.diameter == pytest.approx(surface)


def test_wheels_press_on_main_and_branch_through_the_ground_over_each(design: Design) -> None:
    # H-20: two wheels of 16000 lb, 72 in apart (Moser, p. 35)
    wheels = {"wheel_load": 71.2e3, "wheels_beside": (1.8288,), "traffic": 0.0}
    high = replace(inputs().branch_rise, value=0.15)
    fallen = replace(inputs(), **{**FALLEN, **wheels}, branch_rise=high)  # type: ignore[arg-type]
    case = case_of(fallen, world.kit(), EVEN)
    grounds = case.main.ground, case.branch.ground
    for ground in grounds:
        assert ground is not None
        z = ground.cover
        by_hand = 71.2e3 * 3.0 / (2.0 * math.pi * z**2) * (1.0 + (1.0 + (1.8288 / z) ** 2) ** -2.5)
        assert ground.traffic == pytest.approx(by_hand)
    assert grounds[0] is not None
    assert grounds[1] is not None
    assert grounds[0].cover != grounds[1].cover
    found = walls_of(fallen, world.kit(), design.collar, thickness=0.004)
    rows = {r.symbol: r for r in found.walls.parts[0].trace}
    assert rows["Q_w"].value == 71.2e3
    assert rows["W_s"].origin is Origin.COMPUTED
    assert rows["W_s"].value == grounds[0].traffic
    by_rows = rows["F_w"].value * 3.0 * rows["Q_w"].value * (1.0 + rows["f_w"].value)
    assert rows["W_s"].value == pytest.approx(by_rows / (2.0 * math.pi * rows["c"].value ** 2))
    assert "1.8288 m" in rows["f_w"].formula


def test_the_modulus_of_the_soil_is_charted_where_it_carries(design: Design) -> None:
    fallen = replace(inputs(), **FALLEN)  # type: ignore[arg-type]
    found = walls_of(fallen, world.kit(), design.collar, thickness=0.004)
    bar = next(b for b in found.tornado.bars if b.key == "soil_modulus")
    assert (bar.low, bar.high) == (3.5e6, 14e6)
    assert bar.at_low >= found.walls.utilisation >= bar.at_high
    named = {c.name for c in found.walls.parts[1].cases}
    assert {"buckling under soil, traffic and water", "least stiffness"} <= named


def test_a_branch_that_joins_higher_has_less_water_and_soil() -> None:
    low = inputs()
    high = replace(low, branch_rise=replace(low.branch_rise, value=0.08))
    oval = replace(high, branch_ovality=replace(high.branch_ovality, value=0.03))
    case = case_of(oval, world.kit(), EVEN)
    assert case.branch.head == pytest.approx(low.head.value - 0.08)
    assert case.branch.ovality == 0.03
    assert branch_cover(low) - branch_cover(high) == pytest.approx(0.08)
    assert case.main == case_of(low, world.kit(), EVEN).main


def test_what_is_taken_for_granted_follows_what_is_declared() -> None:
    known = inputs()
    told = replace(known, deterioration_told=True)
    fallen = replace(told, **FALLEN)  # type: ignore[arg-type]
    untold, partly, fully, mixed = (
        " ".join(taken(each, parts_told=True))
        for each in ([known], [told], [fallen], [known, fallen])
    )
    assert "nothing else is declared" in untold
    assert "nothing else is declared" not in partly
    assert "declared to carry soil" in partly
    assert "groundwater alone" not in fully
    assert "neither the liner nor the old pipe helps" in fully
    assert "nothing else is declared" in mixed
    assert "fully deteriorated" in mixed
    assert "Every part" in taken([known], parts_told=False)[-1]

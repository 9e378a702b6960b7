"""Designs: complete, refused with reasons, one pattern a shape, safe-side behaviour."""

from dataclasses import replace

import pytest

from teewright.assess.values import Assessment, Need
from teewright.collar.patterns import shape_of
from teewright.job.assessing import assess_survey, water_over
from teewright.job.designing import SEALED, design_job
from teewright.job.values import Designs
from teewright.network.conditions import Site
from unit.job import world


@pytest.fixture(scope="module")
def assessment() -> Assessment:
    return assess_survey(world.survey(), world.site())


@pytest.fixture(scope="module")
def designs() -> Designs:
    return world.designs()


def test_each_connection_to_be_sealed_is_designed_or_refused(
    assessment: Assessment, designs: Designs
) -> None:
    wanted = {v.connection_id for v in assessment.verdicts if v.need in SEALED}
    made = {d.connection_id for d in designs.designs}
    refused = {r.connection_id for r in designs.refusals}
    assert made | refused == wanted
    assert made & refused == set()
    assert made


def test_equal_shapes_share_a_pattern_and_other_shapes_do_not(designs: Designs) -> None:
    shapes: dict[str, set[object]] = {}
    for design in designs.designs:
        shapes.setdefault(design.collar.pattern, set()).add(shape_of(design.collar.junction))
    assert all(len(of_pattern) == 1 for of_pattern in shapes.values())
    assert len({frozenset(s) for s in shapes.values()}) == len(shapes)


def test_each_setting_lies_within_its_limits(designs: Designs) -> None:
    packers = {p.name: p for p in world.kit().packers}
    for design in designs.designs:
        window = design.pressure
        assert window.set is not None
        assert window.low <= window.set <= window.high
        assert window.set <= packers[design.packers[0]].rating
        assert 0 < design.cure.latest_inflation < design.cure.release_time
        assert design.resin.packs * world.kit().resin.pack_mass >= design.resin.mass


def test_every_number_acted_on_has_its_trace(designs: Designs) -> None:
    for d in designs.designs:
        parts = (d.collar, d.resin, d.cure, d.pressure, d.wall, d.bypass)
        assert all(part.trace for part in parts)
        assert all(row.source or row.formula for part in parts for row in part.trace)


def test_more_groundwater_needs_more_wall_and_more_pressure(
    assessment: Assessment, designs: Designs
) -> None:
    site = world.site()
    higher = replace(
        site,
        nodes=tuple(
            replace(n, groundwater=n.groundwater + 0.8, ground=(n.ground or 0.0) + 0.8)
            for n in site.nodes
            if n.groundwater is not None
        ),
    )
    after = design_job(world.survey(), higher, world.kit(), assessment)
    pairs = [(d, after.of(d.connection_id)) for d in designs.designs]
    assert pairs
    for low, high in pairs:
        assert high is not None
        assert high.wall.required >= low.wall.required
        assert high.pressure.low >= low.pressure.low


def test_a_temperature_outside_the_data_sheet_refuses_every_collar(assessment: Assessment) -> None:
    site = world.site()
    assert site.weather is not None
    hot = replace(site, weather=replace(site.weather, air=330.0, air_path=()))
    found = design_job(world.survey(), hot, world.kit(), assessment)
    assert found.designs == ()
    assert sum("temperature" in r.reasons[0] for r in found.refusals) >= len(found.refusals) - 1
    assert {f.rule for f in found.findings} >= {"no-collar"}


def test_a_weak_packer_shuts_the_window_with_both_numbers(assessment: Assessment) -> None:
    kit = world.kit()
    weak = replace(kit, packers=tuple(replace(p, rating=4e4) for p in kit.packers))
    found = design_job(world.survey(), world.site(), weak, assessment)
    assert found.designs == ()
    assert any("0.40 bar" in reason for r in found.refusals for reason in r.reasons)


def test_a_run_not_lined_gets_no_collar() -> None:
    survey = world.survey()
    bare = replace(survey, runs=tuple(replace(r, lined=None) for r in survey.runs))
    found = assess_survey(bare, Site())
    assert {v.need for v in found.verdicts} == {Need.LEAVE}
    assert {v.reasons[0].rule for v in found.verdicts} == {"not-lined"}


def test_water_over_a_connection_depends_on_its_clock() -> None:
    survey, site = world.survey(), world.site()
    connection = survey.of_run("T01-T02")[0]
    crown = water_over(survey, site, replace(connection, clock=12.0))
    side = water_over(survey, site, replace(connection, clock=3.0))
    assert crown is not None
    assert side is not None
    diameter = survey.run("T01-T02").diameter
    assert diameter is not None
    assert side - crown == pytest.approx(diameter / 2)

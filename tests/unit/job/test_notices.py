"""Assumptions that are no defaults of the site file are named too."""

from dataclasses import replace

from teewright.findings import FindingKind
from teewright.job.assessing import assess_survey, water_over
from teewright.job.cautions import cautions
from teewright.job.designing import design_job
from teewright.job.values import Designs
from teewright.pressure.window import NO_BRANCH, NO_FRICTION, NO_HEAT, NO_SADDLE, NO_SQUEEZE
from unit.job import world


def rules(designs: Designs) -> dict[str, str]:
    return {f.rule: f.text for f in designs.findings}


def test_an_unknown_host_and_a_steady_flow_are_assumptions() -> None:
    survey, site = world.survey(), world.site()
    bare = replace(
        site, flow_pattern=(), runs=tuple(replace(r, host_cracked=None) for r in site.runs)
    )
    few = replace(survey, connections=survey.of_run("T01-T02")[:2])
    found = rules(design_job(few, bare, world.kit(), assess_survey(few, bare)))
    assert "soil and water alone" in found["default-host-cracked"]
    assert "every hour" in found["default-flow-pattern"]
    assert not {"default-host-cracked", "default-flow-pattern"} & set(rules(world.designs()))


def test_what_is_left_out_is_said_once() -> None:
    found = world.designs().findings
    notes = [f for f in found if f.rule.startswith("left-out-")]
    assert {f.rule for f in notes} == {
        "left-out-pressure", "left-out-times", "left-out-cure", "left-out-wall", "left-out-bypass",
        "left-out-blocked-main",
    }  # fmt: skip
    assert {f.kind for f in notes} == {FindingKind.NOTE}
    assert len({f.text for f in notes}) == len(notes)
    assert any("Groundwater stands still" in f.text for f in notes)


def test_what_the_forming_run_counts_is_not_said_to_be_left_out() -> None:
    found = world.designs()
    said = {f.text for f in found.findings if f.rule == "left-out-pressure"}
    assert all(d.pressure.forming == "forming as simulated" for d in found.designs)
    assert not {NO_FRICTION.rstrip("."), NO_SADDLE.rstrip(".")} & said
    # one branch pipe alone is declared, and one packer alone has a derating
    assert {NO_BRANCH.rstrip("."), NO_HEAT.rstrip("."), NO_SQUEEZE.rstrip(".")} <= said


def test_water_over_a_connection_of_unknown_clock_is_the_most_it_can_be() -> None:
    survey, site = world.survey(), world.site()
    connection = survey.of_run("T01-T02")[0]
    unknown = water_over(survey, site, replace(connection, clock=None))
    known = [water_over(survey, site, replace(connection, clock=float(c))) for c in range(12)]
    assert unknown is not None
    assert unknown == max(k for k in known if k is not None)


def test_the_branch_is_said_to_be_shut_for_whole_minutes_rounded_up() -> None:
    design = world.designs().designs[0]
    packer = next(p for p in world.kit().packers if p.name == design.packers[0])
    told = dict(cautions(world.kit().resin, packer, design.pressure, 3601.0))["Flow."]
    assert "61 min" in told
    assert told.startswith("Branch shut")

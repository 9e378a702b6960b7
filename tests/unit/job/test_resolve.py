"""Inputs of a design: what is known, what is assumed, and that each default is named."""

from dataclasses import replace
from math import pi

import pytest

from teewright.job.declaring import declare_branches, declare_lining
from teewright.job.resolve import assumed_findings, resolve, rows
from teewright.network.conditions import ConnectionNote, Defaults, Site
from teewright.network.levels import run_conditions
from teewright.network.values import ConnectionKind
from teewright.trace import Origin
from unit.job import world


def between(a: float | None, b: float | None, share: float) -> float:
    assert a is not None
    assert b is not None
    return a + share * (b - a)


def test_levels_run_straight_between_the_nodes() -> None:
    survey, site = world.survey(), world.site()
    run = survey.run("T01-T02")
    ends = {n.node: n for n in site.nodes}
    up, down = ends["T01"], ends["T02"]
    connection = survey.of_run(run.id)[2]
    assert run.length is not None
    share = connection.chainage / run.length
    invert = between(up.invert, down.invert, share)
    water = between(up.groundwater, down.groundwater, share)
    found = resolve(survey, site, connection)
    assert found.head.value == pytest.approx(water - invert)
    assert not found.head.assumed


def test_nothing_known_is_all_defaults_and_each_is_named() -> None:
    survey = world.survey()
    bare = replace(survey.connections[0], diameter=None, angle=None)
    run = replace(survey.run(bare.run_id), diameter=None, length=None)
    empty = replace(survey, runs=(run,), connections=(bare,))
    found = resolve(empty, Site(), bare)
    names = {f.rule.removeprefix("default-") for f in assumed_findings([("X", found)])}
    assert names == {
        "host-diameter", "liner-thickness", "branch-diameter", "angle", "fillet", "ovality",
        "head", "cover", "mean-flow", "air", "pipe", "branch-rise", "branch-ovality",
    }  # fmt: skip
    assert all(
        f.origin is Origin.ASSUMED or f.quantity == "lined main, inside" for f in rows(found)
    )
    assert found.lined_diameter == pytest.approx(
        Defaults().main_diameter - 2 * Defaults().liner_thickness
    )


def test_a_preformed_junction_leans_and_a_drilled_one_does_not() -> None:
    survey = world.survey()
    bare = replace(survey.connections[0], angle=None, kind=ConnectionKind.JUNCTION)
    assert resolve(survey, Site(), bare).angle.value == pytest.approx(pi / 4)
    drilled = replace(bare, kind=ConnectionKind.PLAIN_DRILLED)
    assert resolve(survey, Site(), drilled).angle.value == pytest.approx(pi / 2)


def test_a_note_goes_before_the_survey() -> None:
    survey = world.survey()
    connection = survey.connections[0]
    note = ConnectionNote(connection.run_id, connection.chainage, diameter=0.123, angle=1.0)
    found = resolve(survey, Site(connections=(note,)), connection)
    assert found.branch_diameter.value == 0.123
    assert found.angle.value == 1.0


def test_declared_lining_holds_for_every_run_and_keeps_what_was_given() -> None:
    survey = world.survey()
    site = declare_lining(survey, world.site(), 0.007)
    for run in survey.runs:
        before = run_conditions(world.site(), run).liner_thickness
        declared = run_conditions(site, run)
        assert declared.lined is True
        assert declared.liner_thickness == (before or 0.007)


def test_declared_branches_fill_only_what_is_not_known() -> None:
    survey = world.survey()
    site = declare_branches(survey, world.site(), 0.111)
    for connection in survey.connections:
        before = resolve(survey, world.site(), connection).branch_diameter
        after = resolve(survey, site, connection).branch_diameter
        assert after.value == (0.111 if before.assumed else before.value)
        assert not after.assumed

"""The starter site names what the survey holds, declares nothing, and can be filled in."""

import re
from dataclasses import replace

import pytest

from teewright.formats.site_starter import starter_site
from teewright.formats.site_toml import read_site
from teewright.network.branch_pipe import BranchPipe
from teewright.network.conditions import Damping, Shower, Site
from teewright.network.notes import not_in_survey, unplaced
from teewright.network.values import Survey
from teewright.units import kelvin
from unit.network.writing import Film, connection, finish, survey

FOUND = survey(Film([connection(10.0, "3"), connection(20.0, "", q1=""), finish(40.0)]))
KEYS_WITH_A_SAMPLE = {
    "soil_modulus_mpa": 7, "traffic_kpa": 10, "branch_invert_m": 2.1, "dripping_l_h": 2,
    "branch_ovality_percent": 1,
    "air_c": 10, "pipe_c": 10, "ground_c": 9, "pack_c": 18, "ground_m": 5, "invert_m": 2,
    "groundwater_m": 4, "liner_thickness_mm": 5, "host_thickness_mm": 20, "host_strength_mpa": 2,
    "ovality_percent": 2, "mean_flow_l_s": 1, "infiltration_l_s": 0.2, "angle_deg": 60,
    "gap_mm": 0.2, "clock": 3, "diameter_mm": 150, "area_m2": 1.2, "manning_n": 0.012,
    "over_pumping_l_s": 1, "backwater_level_m": 5, "bank_distance_m": 40, "period_h": 12.4,
    "diffusivity_m2_s": 0.1,
}  # fmt: skip


def declared(text: str) -> Site:
    site, findings = read_site(text.encode(), file="site.toml")
    assert findings == ()
    return site


def filled(text: str) -> str:
    """The file with every # taken away and every number given."""
    body = text[text.index("# title") :]
    lines = [re.sub(r"^# (?=[\[a-z])", "", line) for line in body.splitlines()]
    given = [
        re.sub(r"^(\w+) =(?= *(?:#|$))", lambda m: f"{m[1]} = {KEYS_WITH_A_SAMPLE[m[1]]}", line)
        for line in lines
    ]
    return "\n".join(line for line in given if not line.startswith("flow_pattern"))


def test_it_declares_nothing_and_names_everything() -> None:
    site = declared(starter_site(FOUND))
    assert [n.node for n in site.nodes] == ["S1", "S2"]
    assert [(r.upstream, r.downstream, r.lined) for r in site.runs] == [("S1", "S2", None)]
    assert replace(site, nodes=(), runs=()) == Site()
    assert not_in_survey(FOUND, site) == ()


def test_every_line_of_it_can_be_used() -> None:
    site, _ = read_site(filled(starter_site(FOUND)).encode(), file="site.toml")
    assert site.weather is not None
    assert [n.groundwater for n in site.nodes] == [4.0, 4.0]
    assert [c.chainage for c in site.connections] == [10.0, 20.0]
    assert site.connections[1].diameter == 0.15
    assert unplaced(FOUND, site) == ()
    assert (site.weather.ground, site.weather.pack) == (kelvin(9.0), kelvin(18.0))
    assert (site.infiltration, site.water_levels) == (0.2e-3, ())
    assert site.rain == Shower(22.5 * 3600, 0.002, 3600.0)
    assert {(r.host_thickness, r.host_strength) for r in site.runs} == {(0.02, 2e6)}
    assert {(r.manning, r.over_pumping) for r in site.runs} == {(0.012, 1e-3)}
    assert [n.area for n in site.nodes] == [1.2, 1.2]
    assert [c.backwater for c in site.connections] == [5.0, 5.0]
    assert {(r.deteriorated, r.traffic) for r in site.runs} == {("partly", 10e3)}
    assert {c.branch_invert for c in site.connections} == {2.1}
    assert [name for name, _ in site.entry_flows] == ["dripping"]
    assert site.damping == Damping(12.4 * 3600, 0.1)
    assert [n.bank_distance for n in site.nodes] == [40.0, 40.0]
    pipes = {c.branch_pipe for c in site.connections}
    assert pipes == {BranchPipe(cracked=False, thickness=0.015, strength=1e6, pressure=2e5)}


@pytest.mark.parametrize("name", ['a"b', "a\\b", "Größe", "#x", "[[runs]]", "a' = 1"])
def test_any_name_that_a_site_takes_comes_back(name: str) -> None:
    found = survey(Film([connection(10.0), finish(40.0)], start=name, nodes=(name, "S2")))
    assert [n.node for n in declared(starter_site(found)).nodes] == [name, "S2"]


def test_names_that_a_site_does_not_take_are_left_out() -> None:
    long = "N" * 61
    found = survey(Film([connection(10.0), finish(40.0)], start=long, nodes=(long, "S2")))
    assert [n.node for n in declared(starter_site(found)).nodes] == ["S2"]


def test_a_survey_without_runs() -> None:
    assert declared(starter_site(Survey((), (), (), ()))) == Site()

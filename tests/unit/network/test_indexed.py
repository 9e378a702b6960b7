"""What is found by its name is what a search through all of it finds."""

import pickle
from dataclasses import fields, replace

import pytest

from teewright.findings import Place
from teewright.network.conditions import ConnectionNote, NodeLevels, RunConditions, Site
from teewright.network.declared import DeclaredConnection
from teewright.network.levels import node_levels, run_conditions
from teewright.network.notes import note_of
from teewright.network.reconcile import reconcile
from teewright.network.values import Survey


def _survey() -> Survey:
    ends = [("A", "B", 5.0), ("B", "C", 3.0), ("A", "B", 9.0)]
    return reconcile(
        [],
        sightings=[
            DeclaredConnection(up, down, up, at, Place("list.csv", n))
            for n, (up, down, at) in enumerate(ends, 2)
        ],
    )


def test_a_survey_finds_what_it_holds() -> None:
    found = _survey()
    assert [found.run(run.id) for run in found.runs] == list(found.runs)
    assert [found.connection(c.id) for c in found.connections] == list(found.connections)
    assert [c.chainage for c in found.of_run("A-B")] == [5.0, 9.0]
    assert [c.chainage for c in found.of_run("B-C")] == [3.0]
    assert found.of_run("nowhere") == ()
    with pytest.raises(KeyError):
        found.run("nowhere")
    with pytest.raises(KeyError):
        found.connection("A-B/99")


def test_an_index_is_no_part_of_its_value() -> None:
    found, other = _survey(), _survey()
    found.run("A-B")
    assert found == other
    assert hash(found) == hash(other)
    assert "_index" not in {field.name for field in fields(found)}
    assert "_index" not in repr(found)
    assert pickle.loads(pickle.dumps(found)).run("B-C") == other.run("B-C")


def test_a_changed_survey_does_not_answer_from_the_index_of_the_one_before() -> None:
    found = _survey()
    assert len(found.of_run("A-B")) == 2
    fewer = replace(found, connections=found.connections[1:])
    assert len(fewer.of_run("A-B")) == 1
    assert len(found.of_run("A-B")) == 2


def test_a_site_finds_what_it_declares() -> None:
    survey = _survey()
    first, second = RunConditions("B", "A", street="first"), RunConditions("A", "B", street="2nd")
    site = Site(
        nodes=(NodeLevels("A", ground=1.0), NodeLevels("A", ground=2.0)),
        runs=(first, second),
        connections=(
            ConnectionNote("A-B", 5.0, note="before"),
            ConnectionNote("B-C", 5.0, note="of another run"),
            ConnectionNote("A-B", 5.1, note="last"),
        ),
    )
    a_b, b_c = survey.runs
    assert run_conditions(site, a_b) is first  # whichever way it is told
    assert run_conditions(site, b_c) == RunConditions("B", "C")
    assert node_levels(site, "A").ground == 2.0
    assert node_levels(site, "B") == NodeLevels("B")
    note = note_of(survey, site, survey.of_run("A-B")[0])
    assert note is not None
    assert note.note == "last"
    assert note_of(survey, site, survey.of_run("B-C")[0]) is None

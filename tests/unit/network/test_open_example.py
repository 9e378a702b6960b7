"""The open example file reconciled, against the text of the file read by hand."""

from collections import Counter
from pathlib import Path

import pytest

from teewright.formats.en13508 import read
from teewright.network.reconcile import reconcile
from teewright.network.values import Survey

NAME = "en13508_open_example.txt"
FILE = Path(__file__).parents[2] / "files" / "survey" / NAME


@pytest.fixture(scope="module")
def survey() -> Survey:
    inspections, findings = read(FILE.read_bytes(), file=NAME)
    return reconcile(inspections, findings=findings)


def test_counts(survey: Survey) -> None:
    # 13 pairs of nodes in the 19 headers; 49 BCA of which 7 are seen again: 4 of 16-17 in a
    # second pass, 1 of 16-17 coded twice (lines 184, 187), 2 of 20-21 in a second pass
    assert len(survey.inspections) == 19
    assert len(survey.runs) == 13
    assert len(survey.connections) == 49 - 7
    per_run = Counter(c.run_id for c in survey.connections)
    assert per_run == {
        "2925-6": 1,
        "10-11": 3,
        "16-17": 4,
        "17-18": 4,
        "18-19": 4,
        "20-21": 2,
        "21-22": 22,
        "22-23": 2,
    }


def test_every_coded_connection_is_one_sighting(survey: Survey) -> None:
    coded = [o.place for i in survey.inspections for o in i.observations if o.code == "BCA"]
    seen = [s.place for c in survey.connections for s in c.sightings]
    assert Counter(seen) == Counter(coded)
    assert len(seen) == 49


def test_against_the_flow(survey: Survey) -> None:
    # lines 92-105: 32.7 m from 11 to 10, seen at 10.3 (9 o'clock), 18 (12), 21.5 (9)
    found = [(round(c.chainage, 2), c.clock) for c in survey.of_run("10-11")]
    assert found == [(11.2, 3.0), (14.7, 12.0), (22.4, 3.0)]
    assert survey.run("10-11").length == 32.7


def test_repeat_pass_with_a_shift(survey: Survey) -> None:
    # lines 169-191 and 194-225: 8.1 8.7 9.2 20.8 in 2001 are 7.5 8.1 8.7 20.2 in 2010; the
    # intruding pipe at 9.2 and 8.7 and the blocked one at 20.8 and 20.2 show that they are
    found = survey.of_run("16-17")
    assert [c.chainage for c in found] == [7.5, 8.1, 8.7, 20.2]
    assert [[s.chainage for s in c.sightings] for c in found] == [
        [7.5, 8.1],
        [8.1, 8.7],
        [8.7, 9.2],
        [20.2, 20.8, 20.8],
    ]
    assert [[d.code + d.char1 for d in c.defects] for c in found] == [
        ["BAHE"],
        [],
        ["BAG"],
        ["BAHE", "BBAA", "BAHD"],
    ]
    rules = Counter(f.rule for f in survey.findings if f.subject.startswith("16-17"))
    assert rules["pass-shifted"] == 1
    assert rules["connection-twice"] == 1
    assert rules["state-differs"] == 2  # closed in 2001, open in 2010


def test_values_of_single_connections(survey: Survey) -> None:
    only = survey.connection("2925-6/01")  # line 26
    assert (only.chainage, only.clock, only.is_open, only.diameter) == (16.6, 3.0, False, None)
    damaged = survey.connection("21-22/20")  # lines 390 and 391
    assert (damaged.chainage, damaged.clock, damaged.is_open) == (30.1, 3.0, True)
    assert [(d.code, d.char1, d.place.line) for d in damaged.defects] == [("BAH", "D", 390)]


def test_the_main_is_not_said_to_be_lined(survey: Survey) -> None:
    assert {run.lined for run in survey.runs} == {None}


def test_run_values(survey: Survey) -> None:
    assert survey.run("20-21").diameter == 0.5
    assert survey.run("7-8").inspections == (f"{NAME}#3", f"{NAME}#4")
    assert [(run.upstream, run.downstream) for run in survey.runs][:3] == [
        ("2925", "6"),
        ("2942", "6"),
        ("7", "8"),
    ]

"""`teewright read`: tables, JSON, project file."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


@pytest.fixture(scope="module")
def open_json(teewright: Run, open_example: Path) -> dict[str, Any]:
    done = teewright("read", open_example, "--json")
    assert done.code == 0, done.err
    document: dict[str, Any] = json.loads(done.out)
    return document


def test_the_open_example_is_read_whole(open_json: dict[str, Any]) -> None:
    # counted in the file with a text editor: 19 #B01, 335 value lines under #C, 49 of them BCA
    assert len(open_json["inspections"]) == 19
    assert len(open_json["observations"]) == 335
    assert sum(o["code"] == "BCA" for o in open_json["observations"]) == 49
    sightings = [s for c in open_json["connections"] for s in c["sightings"]]
    assert len(sightings) == 49


def test_each_connection_has_what_programs_need(open_json: dict[str, Any]) -> None:
    keys = {
        "upstream", "downstream", "chainage_m", "clock", "dn_mm", "kind", "open", "defects",
        "sightings",
    }  # fmt: skip
    assert all(keys <= set(c) for c in open_json["connections"])
    assert all(o["line"] for o in open_json["observations"])


def test_against_the_flow_chainage_and_clock_are_turned(open_json: dict[str, Any]) -> None:
    # inspection 5 starts at node 11 against the flow, 32.7 m: 10.3 m at 9 o'clock as seen
    found = next(c for c in open_json["connections"] if c["sightings"][0]["station_m"] == 10.3)
    assert (found["upstream"], found["downstream"]) == ("10", "11")
    assert found["chainage_m"] == pytest.approx(32.7 - 10.3)
    assert found["clock"] == 3.0
    assert found["sightings"][0]["direction"] == "against flow"


def test_reading_keeps_nothing_without_a_project(
    teewright: Run, open_example: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert teewright("read", open_example).code == 0
    assert list(tmp_path.iterdir()) == []


def test_tables_name_runs_connections_and_findings(teewright: Run, demo_files: Path) -> None:
    done = teewright("read", demo_files / "survey-mill-lane.txt")
    assert done.code == 0
    assert "Chainage, m" in done.out
    assert "findings" in done.out


def test_a_project_keeps_the_files_and_a_second_reading_replaces_them(
    teewright: Run, demo_files: Path, open_example: Path, tmp_path: Path
) -> None:
    project = tmp_path / "town.tee"
    assert teewright("read", open_example, "--project", project).code == 0
    survey = demo_files / "survey-mill-lane.txt"
    assert teewright("read", survey, "--project", project).code == 0
    done = teewright("assess", project, "--json")
    assert done.code == 0
    ids = {v["connection_id"] for v in json.loads(done.out)["verdicts"]}
    read = json.loads(teewright("read", survey, "--json").out)
    assert ids == {c["id"] for c in read["connections"]}


def fabric_of(teewright: Run, project: Path) -> str:
    designs = json.loads(teewright("design", project, "--json").out)["designs"]
    return str(designs[0]["collar"]["fabric"])


def test_what_is_not_named_stays_and_the_newest_kit_counts(
    teewright: Run, demo_files: Path, tmp_path: Path
) -> None:
    project = tmp_path / "town.tee"
    first, other = demo_files / "kit.toml", tmp_path / "other.toml"
    text = first.read_text(encoding="utf-8")
    other.write_text(text.replace('fabric = "Felt 5"', 'fabric = "Knit 4"'), encoding="utf-8")
    runs, survey = demo_files / "runs.csv", tmp_path / "one.csv"
    lines = (demo_files / "connections.csv").read_text(encoding="utf-8").splitlines()
    survey.write_text("\n".join((lines[0], lines[2])), encoding="utf-8")  # one to be sealed
    site = demo_files / "site.toml"
    words = ("read", runs, survey, "--project", project, "--kit", first, "--site", site)
    assert teewright(*words).code == 0
    assert fabric_of(teewright, project) == "Felt 5"
    assert teewright("read", "--project", project, "--kit", other).code == 0
    assert fabric_of(teewright, project) == "Knit 4"
    assert teewright("read", runs, survey, "--project", project).code == 0
    assert fabric_of(teewright, project) == "Knit 4"
    assert teewright("read", "--project", project, "--kit", first).code == 0
    assert fabric_of(teewright, project) == "Felt 5"


def test_a_declaration_can_be_taken_back(
    teewright: Run, open_example: Path, tmp_path: Path
) -> None:
    project = tmp_path / "k.tee"

    def rules() -> set[str]:
        verdicts = json.loads(teewright("assess", project, "--json").out)["verdicts"]
        return {v["reasons"][0]["rule"] for v in verdicts}

    words = ("read", open_example, "--project", project, "--declare-liner", 6)
    assert teewright(*words).code == 0
    assert "not-lined" not in rules()
    assert teewright("assess", project, "--declare-branch", 150).code == 0
    assert "not-lined" not in rules()
    assert "no-diameter" not in rules()
    assert teewright("assess", project, "--declare-liner", 0).code == 0
    assert rules() == {"not-lined"}


@pytest.mark.parametrize("value", ["nan", "inf", "-3", "0.5", "51", "six"])
def test_a_declaration_out_of_range_is_refused(
    teewright: Run, open_example: Path, tmp_path: Path, value: str
) -> None:
    project = tmp_path / "k.tee"
    done = teewright("read", open_example, "--project", project, "--declare-liner", value)
    assert done.code == 2
    assert "--declare-liner" in done.err
    assert not project.exists()


def test_nothing_to_read_is_said(teewright: Run, tmp_path: Path) -> None:
    for words in (("read",), ("read", "--project", tmp_path / "new.tee")):
        done = teewright(*words)
        assert done.code == 2
        assert "at least one survey file" in done.err


def test_reading_the_same_again_changes_nothing(
    teewright: Run, demo_files: Path, tmp_path: Path
) -> None:
    project = tmp_path / "town.tee"
    words = ("read", demo_files / "survey-mill-lane.txt", "--project", project)
    assert teewright(*words).code == 0
    data = project.read_bytes()
    for again in (words, ("read", "--project", project)):
        assert teewright(*again).code == 0
        assert project.read_bytes() == data


def test_findings_of_the_site_are_told_when_it_is_read(
    teewright: Run, demo_files: Path, tmp_path: Path
) -> None:
    site = tmp_path / "site.toml"
    site.write_text(
        '[[nodes]]\nnode = "nowhere"\nground_m = 4\n'
        '[[connections]]\nrun = "T01-T02"\nchainage_m = 2.0\nnote = "at the gate"\n',
        encoding="utf-8",
    )
    survey = demo_files / "survey-mill-lane.txt"
    done = teewright("read", survey, "--site", site, "--project", tmp_path / "x.tee", "--json")
    assert done.code == 0, done.err
    document = json.loads(done.out)
    rules = {f["rule"] for f in document["findings"]}
    assert {"node-not-in-survey", "note-without-connection", "starter-kit"} <= rules
    assert document["counts"]["findings"] == len(document["findings"])

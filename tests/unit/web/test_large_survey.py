"""A town's survey: its list comes in sheets, and one that cannot be read is refused once."""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from teewright.bench import workbench
from teewright.bench.inputs import Document, Inputs, Loaded, Options, load
from teewright.bench.keeping import keep
from teewright.errors import InputError
from teewright.network.names import Named
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.office import Known, Office
from teewright.web.pages.survey import UNFOLDED
from teewright.web.pages.survey_list import ROOM, run_sheet
from teewright.web.settings import Settings
from teewright.web.survey_words import findings_of, open_ones

RUNS = 2 * ROOM + 50
HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"


SHORT = "N7-M7"


def town() -> tuple[Document, ...]:
    rows = [f"N{n},M{n},{at}.00,3,150,,,,," for n in range(RUNS) for at in (4, 9)]
    return (
        Document("town.csv", (HEAD + "\n".join(rows) + "\n").encode()),
        Document("runs.csv", b"upstream,downstream,length_m\nN7,M7,5.00\n"),
    )


def known_of(client: TestClient) -> Known:
    app = client.app
    assert isinstance(app, FastAPI)
    office: Office = app.state.office
    return office.known()


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("town") / "town.tee"
    keep(path, Inputs(town(), None, None, Options()))
    return path


@pytest.fixture(scope="module")
def client(project: Path) -> Iterator[TestClient]:
    html = {"accept": "text/html"}
    with TestClient(make_app(Settings(project)), base_url="http://localhost", headers=html) as made:
        yield made


def runs(page: str) -> list[str]:
    return re.findall(r'<a class="id" href="/survey/runs/([^"]+)"', page)


def test_each_run_stands_on_one_sheet(client: TestClient) -> None:
    shown = [runs(client.get(f"/survey?sheet={n}").text) for n in (1, 2, 3)]
    assert [len(each) for each in shown] == [ROOM, ROOM, 50]
    every = [run for each in shown for run in each]
    assert sorted(every) == sorted(f"N{n}-M{n}" for n in range(RUNS))


@pytest.mark.parametrize(("asked", "sheet"), [("-4", 1), ("0", 1), ("99", 3)])
def test_a_sheet_that_there_is_not_is_the_nearest(
    client: TestClient, asked: str, sheet: int
) -> None:
    assert runs(client.get(f"/survey?sheet={asked}").text) == runs(
        client.get(f"/survey?sheet={sheet}").text
    )


def test_the_sheets_lead_to_each_other(client: TestClient) -> None:
    page = client.get("/survey?find=N1&sheet=1").text
    after = re.findall(r'<a href="([^"]+)" rel="next">', page)
    assert after[0] == "?find=N1&amp;sheet=2"
    assert "1 to 100 of 111 runs" in page
    last = client.get("/survey" + after[0].replace("&amp;", "&")).text
    assert len(runs(last)) == 11
    assert 'rel="next"' not in last
    assert 'rel="prev"' in last


def test_runs_are_found_by_a_part_of_their_names(client: TestClient) -> None:
    assert runs(client.get("/survey?find= m17 ").text) == ["N17-M17"] + [
        f"N{n}-M{n}" for n in range(170, 180)
    ]
    none = client.get("/survey", params={"find": "<b>"}).text
    assert runs(none) == []
    assert "No run has &lt;b&gt; in its name." in none


def test_findings_beyond_the_fold_are_counted(client: TestClient) -> None:
    findings = findings_of(known_of(client))
    beyond = len(findings) - len(open_ones(findings)) - UNFOLDED
    assert beyond > 0  # else there is nothing to see
    page = client.get("/survey").text
    assert f"{beyond} more are not listed here" in page
    assert "the built-in starter kit" in page  # which stands nowhere else


def test_open_findings_are_counted_at_their_run(client: TestClient) -> None:
    known = known_of(client)
    asking = open_ones(findings_of(known))
    assert {f.subject for f in asking} == {SHORT + "/02"}  # beyond the length of its run
    counts = {n: run_sheet(known, asking, find=f"N{n}-M{n}") for n in (6, 7)}
    assert {n: [line.open for line in one.lines] for n, one in counts.items() if one} == {
        6: [0],
        7: [1],
    }


def test_a_short_list_has_no_sheets(tmp_path: Path) -> None:
    path = tmp_path / "short.tee"
    document = Document("short.csv", (HEAD + "A,B,4,3,150,,,,,\n").encode())
    keep(path, Inputs((document,), None, None, Options()))
    with TestClient(make_app(Settings(path)), base_url="http://localhost") as made:
        page = made.get("/survey", headers={"accept": "text/html"}).text
    assert runs(page) == ["A-B"]
    assert 'class="pager' not in page
    assert 'id="find"' not in page


def test_a_survey_that_cannot_be_read_is_refused_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reads: list[int] = []

    def counted(inputs: Inputs, named: Sequence[Named] = ()) -> Loaded:
        reads.append(len(inputs.surveys))
        return load(inputs, named)

    monkeypatch.setattr(workbench, "load", counted)
    path = tmp_path / "bad.tee"
    with Project.create(path) as project:  # as a version with other limits left it
        project.add_document("survey", "bad.csv", (HEAD + "A,B,far,,,,,,,\n").encode())
    office = Office(Settings(path))
    try:
        said = [office.known().problem for _ in range(3)]
        assert said[0].startswith("bad.csv, line 2: chainage_m = 'far' is not a number")
        assert said == said[:1] * 3
        assert reads == [1]
        with pytest.raises(InputError, match="is not a number"), office.at_bench() as bench:
            _ = bench.loaded
        good = (HEAD + "A,B,4,3,150,,,,,\n").encode()
        office.desk.ask(lambda p: p.add_document("survey", "bad.csv", good))
        assert office.known().problem == ""
        assert office.known().loaded is not None
    finally:
        office.close()

"""Jobs that are not far yet: each page says what is missing and offers the one next act."""

from datetime import date
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from faces.web.signing import BROWSER
from teewright import demo
from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep
from teewright.bench.workbench import Workbench
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.settings import Settings
from teewright.web.texts import text

ROOMS = (
    "/", "/survey", "/needs", "/collars", "/day", "/programme", "/clock", "/proof", "/handover",
    "/price", "/people",
)  # fmt: skip
AFTER_PLANNING = ("/programme", "/proof", "/handover", "/price")
RUNS = b"upstream,downstream,length_m,dn_mm,material,lined\nN0,N1,48.00,300,concrete,yes\n"
HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"
OPEN = "N0,N1,4.00,3,150,junction,open,BBFC,2026-09-30,\n"
CLOSED = "N0,N1,4.00,3,150,junction,closed,,2026-09-30,\n"


def given(path: Path, line: str, *, kit: bool = True) -> Path:
    surveys = (Document("runs.csv", RUNS), Document("connections.csv", (HEAD + line).encode()))
    found = Document("kit.toml", demo.file(demo.KIT_FILE)) if kit else None
    keep(path, Inputs(surveys, found, None, Options()))
    return path


def worked(path: Path, *, planned: bool) -> Path:
    with Project.open(path) as project:
        bench = Workbench(project, progress=lambda _: None, today=date(2027, 5, 3), quick=True)
        assert bench.designs is not None
        assert not planned or bench.programme is not None
    return path


@pytest.fixture(scope="module")
def one_designed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One connection, one collar, no shift yet."""
    return worked(given(tmp_path_factory.mktemp("one") / "one.tee", OPEN), planned=False)


def pages(path: Path) -> dict[str, str]:
    """What each page answers; none may fail."""
    with TestClient(
        make_app(Settings(path, quick=True)), base_url="http://localhost", headers=BROWSER
    ) as client:
        found = {room: client.get(room) for room in ROOMS}
    assert {room: each.status_code for room, each in found.items()} == dict.fromkeys(ROOMS, 200)
    return {room: each.text for room, each in found.items()}


def test_without_a_survey_every_page_asks_for_it(tmp_path: Path) -> None:
    found = pages(tmp_path / "new.tee")
    for room in AFTER_PLANNING:
        assert text("common.first.survey") in found[room]
        assert 'class="act" href="/survey"' in found[room]
        assert text(f"{room[1:]}.first") not in found[room]


@pytest.mark.parametrize("kit", [True, False])
def test_with_a_survey_alone_the_collars_come_next(tmp_path: Path, *, kit: bool) -> None:
    found = pages(given(tmp_path / "read.tee", OPEN, kit=kit))
    assert text("job.answer_read", n=1) in found["/"]
    assert text("needs.answer_single") in found["/needs"]
    assert text("collars.open") in found["/collars"]
    for room in AFTER_PLANNING:
        assert text(f"{room[1:]}.first") in found[room]
        assert 'class="act" href="/"' in found[room]
    assert (text("survey.missing.kit") in found["/survey"]) is not kit


def test_with_collars_the_shifts_come_next(one_designed: Path) -> None:
    found = pages(one_designed)
    assert text("job.answer_designed", n=1) in found["/"]
    assert f">{text('job.plan')}<" in found["/"]
    assert text("day.answer", n=1) in found["/day"]
    assert text("collars.served", n=1) in found["/collars"]
    assert text("needs.see") in found["/needs"]


def test_one_collar_in_one_shift_is_told_as_one(one_designed: Path) -> None:
    found = pages(worked(one_designed, planned=True))
    assert "1 collar in 1 shift; none is set yet" in found["/"]
    assert "The one batch lands in time" in found["/programme"]
    assert text("handover.answer_single") in found["/handover"]
    assert text("proof.answer_none") in found["/proof"]


def test_where_nothing_is_to_be_sealed_no_page_says_that_it_will_be(tmp_path: Path) -> None:
    path = worked(given(tmp_path / "closed.tee", CLOSED), planned=False)
    found = pages(path)
    assert text("job.answer_none") in found["/"]
    assert text("job.open.no_collars") in found["/"]
    assert text("job.next_programme_none") in found["/"]
    assert text("needs.answer_single_none") in found["/needs"]
    assert text("collars.answer_none") in found["/collars"]
    assert text("day.none") in found["/day"]
    found = pages(worked(path, planned=True))
    assert text("programme.answer_empty") in found["/programme"]
    assert "Close off" in found["/price"]

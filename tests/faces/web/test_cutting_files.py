"""The cutting files of all patterns: made in the background, kept, stopped, made again."""

import io
import threading
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import expect

from faces.web.conftest import OpenPage, served
from teewright.bench.cutting import collar_files
from teewright.web import cuttings
from teewright.web.app import make_app
from teewright.web.settings import Settings
from teewright.web.texts import text

FILES = "/api/v1/collars/cutting.zip"


@pytest.fixture
def client(demo_project: Path) -> Iterator[TestClient]:
    with TestClient(make_app(Settings(demo_project, quick=True)), base_url="http://localhost") as c:
        yield c


def ended(client: TestClient, task_id: str) -> dict[str, str]:
    deadline = time.monotonic() + 90.0
    while True:
        task: dict[str, str] = client.get(f"/api/v1/tasks/{task_id}").json()
        if task["state"] != "running":
            return task
        assert time.monotonic() < deadline
        time.sleep(0.05)


def names(data: bytes) -> set[str]:
    with zipfile.ZipFile(io.BytesIO(data)) as found:
        assert found.testzip() is None
        return set(found.namelist())


@pytest.fixture
def held_up(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """No pattern's files are made before this is set."""
    go = threading.Event()

    def slowly(collar, paper):  # type: ignore[no-untyped-def]
        assert go.wait(60.0)
        yield from collar_files(collar, paper)

    monkeypatch.setattr(cuttings, "collar_files", slowly)
    return go


def test_they_are_made_once_and_then_given_as_they_lie(
    client: TestClient,
    demo_project: Path,
    held_up: threading.Event,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    patterns = {d["collar"]["pattern"] for d in client.get("/api/v1/designs").json()["designs"]}
    begun = client.post("/api/v1/collars/cutting")
    assert begun.status_code == 202
    assert client.post("/api/v1/collars/cutting").json()["id"] == begun.json()["id"]
    held_up.set()
    assert ended(client, begun.json()["id"])["state"] == "done"
    lies = demo_project.with_name(f"{demo_project.stem}-cutting.zip")
    with monkeypatch.context() as nobody_makes:
        nobody_makes.setattr(cuttings, "collar_files", None)
        given = client.get(FILES)
    assert given.content == lies.read_bytes()
    assert 'filename="cutting.zip"' in given.headers["content-disposition"]
    made = names(given.content)
    assert {n for n in made if n.endswith(".dxf")} == {f"{p}.dxf" for p in patterns}
    assert {n for n in made if n.endswith("-A4.pdf")} == {f"{p}-A4.pdf" for p in patterns}
    other = names(client.get(FILES, params={"paper": "A3"}).content)
    assert {n.replace("-A3.", "-A4.") for n in other} == made


def test_a_client_that_does_not_begin_a_task_is_answered_all_the_same(
    client: TestClient, demo_project: Path
) -> None:
    given = client.get(FILES)
    assert given.status_code == 200
    assert "P1.dxf" in names(given.content)
    assert not demo_project.with_name(f"{demo_project.stem}-cutting.zip").exists()


def test_files_of_other_collars_or_none_are_not_given(
    client: TestClient, demo_project: Path
) -> None:
    office = client.app.state.office  # type: ignore[attr-defined]
    assert cuttings.kept(office, office.known()) is None
    lies = demo_project.with_name(f"{demo_project.stem}-cutting.zip")
    with zipfile.ZipFile(lies, "w") as old:
        old.comment = b"of other inputs"
        old.writestr("P1.dxf", "old")
    assert cuttings.kept(office, office.known()) is None
    lies.write_bytes(b"cut short")
    assert cuttings.kept(office, office.known()) is None
    assert names(client.get(FILES).content) != {"P1.dxf"}


def test_a_stopped_task_leaves_nothing(
    client: TestClient, demo_project: Path, held_up: threading.Event
) -> None:
    task = client.post("/api/v1/collars/cutting").json()["id"]
    assert client.post(f"/api/v1/tasks/{task}/cancel").status_code == 202
    held_up.set()
    assert ended(client, task)["state"] == "cancelled"
    assert list(demo_project.parent.glob("*cutting*")) == []


def test_before_the_design_there_is_nothing_to_cut(tmp_path: Path) -> None:
    app = make_app(Settings(tmp_path / "new.tee", quick=True))
    with TestClient(app, base_url="http://localhost") as client:
        for answer in (client.post("/api/v1/collars/cutting"), client.get(FILES)):
            assert answer.status_code == 409
            assert answer.json()["detail"] == cuttings.NOT_YET


def test_on_the_page_they_are_made_while_the_reader_goes_on(
    demo_project: Path, open_page: OpenPage, held_up: threading.Event
) -> None:
    with served(Settings(demo_project, quick=True)) as address:
        page = open_page(address, "/collars")
        page.get_by_role("button", name=text("collars.make_files")).click()
        told = page.locator("#task")
        expect(told).to_contain_text("of 8")
        page.reload()
        expect(told).to_contain_text("of 8")
        with page.expect_response(lambda answer: answer.url.endswith("/cancel")):
            page.get_by_role("button", name=text("common.task.cancel")).click()
        held_up.set()
        expect(page).to_have_url(f"{address}/collars")
        make = page.get_by_role("button", name=text("collars.make_files"))
        expect(make).to_be_visible(timeout=20_000)
        make.click()
        all_of_them = page.get_by_role("link", name=text("collars.all"))
        expect(all_of_them).to_be_visible(timeout=90_000)
        assert page.locator(".act:not(.quiet):visible").count() == 1
        with page.expect_download() as got:
            all_of_them.click()
        assert "P1.dxf" in names(Path(got.value.path()).read_bytes())
    with served(Settings(demo_project, quick=True)) as again:
        page = open_page(again, "/collars")
        expect(page.get_by_role("link", name=text("collars.all"))).to_be_visible()

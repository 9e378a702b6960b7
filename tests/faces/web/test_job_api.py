"""What programs are told of the job."""

import io
import json
import sqlite3
import threading
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from teewright.site.chain import GENESIS
from teewright.web import packs
from teewright.web.app import make_app
from teewright.web.settings import Settings

STEPS = ("survey", "needs", "designs", "programme", "records", "quote", "findings")


@pytest.fixture
def client(begun_project: Path) -> Iterator[TestClient]:
    with TestClient(
        make_app(Settings(begun_project, quick=True)), base_url="http://localhost"
    ) as c:
        yield c


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[TestClient]:
    with TestClient(make_app(Settings(tmp_path / "new.tee")), base_url="http://localhost") as c:
        yield c


@pytest.mark.parametrize("step", STEPS)
def test_before_a_step_it_is_said_what_comes_first(empty: TestClient, step: str) -> None:
    answer = empty.get(f"/api/v1/{step}")
    assert answer.status_code == 409
    assert answer.json()["detail"].startswith("There are no ")


def test_an_empty_project_has_an_empty_log_and_no_pack(empty: TestClient) -> None:
    log = empty.get("/api/v1/log").json()
    assert log == {"entries": 0, "head": GENESIS, "verified": True, "problem": "", "events": []}
    assert empty.get("/api/v1/pack").status_code == 404
    assert empty.get("/api/v1/pack/file").status_code == 404
    assert empty.post("/api/v1/pack").status_code == 409


def test_the_steps_agree_with_each_other(client: TestClient) -> None:
    told = {step: client.get(f"/api/v1/{step}").json() for step in STEPS}
    ids = [c["id"] for c in told["survey"]["connections"]]
    assert [r["connection_id"] for r in told["records"]] == ids
    assert {v["connection_id"] for v in told["needs"]["verdicts"]} == set(ids)
    made = {d["connection_id"] for d in told["designs"]["designs"]}
    visited = {v["connection_id"] for s in told["programme"]["shifts"] for v in s["visits"]}
    assert visited <= made
    assert told["designs"]["maps"] == []
    quote = told["quote"]["quote"]
    assert quote["net"] == pytest.approx(sum(line["sum"] for line in quote["lines"]), abs=0.005)
    states = {r["connection_id"]: r["state"] for r in told["records"]}
    assert list(states.values()).count("sealed and tight") == 3
    assert list(states.values()).count("sealed, not tight") == 1


def test_findings_of_one_subject(client: TestClient) -> None:
    every = client.get("/api/v1/findings").json()
    subject = next(f["subject"] for f in every if f["subject"])
    some = client.get("/api/v1/findings", params={"subject": subject}).json()
    assert some == [f for f in every if f["subject"] == subject]
    assert 0 < len(some) < len(every)


def test_numbers_are_numbers_or_null(client: TestClient) -> None:
    def refuse(name: str) -> None:
        raise AssertionError(name)

    for step in STEPS:
        json.loads(client.get(f"/api/v1/{step}").content, parse_constant=refuse)


def test_a_damaged_log_is_given_and_says_so(client: TestClient, begun_project: Path) -> None:
    before = client.get("/api/v1/log").json()
    assert before["verified"]
    assert before["head"] == before["events"][-1]["hash"]
    client.app.state.office.close()  # type: ignore[attr-defined]
    with sqlite3.connect(begun_project) as raw:
        for (name,) in raw.execute(
            "SELECT name FROM sqlite_master WHERE type='trigger'"
        ).fetchall():
            raw.execute(f'DROP TRIGGER "{name}"')
        raw.execute("UPDATE event SET person = 'ZZ' WHERE ordinal = 5")
    raw.close()
    app = make_app(Settings(begun_project, quick=True))
    with TestClient(app, base_url="http://localhost") as again:
        after = again.get("/api/v1/log").json()
        assert not after["verified"]
        assert after["problem"].startswith("Event 5 of the log")
        assert after["entries"] == before["entries"]
        page = again.get("/handover", headers={"Accept": "text/html"})
        assert page.status_code == 200
        assert "was changed after it was stored" in page.text
        assert again.get("/handover/log.json").json()["entries"] == before["entries"]


def test_the_pack_is_made_in_the_background_and_holds_the_log(
    client: TestClient, begun_project: Path, held_up: threading.Event
) -> None:
    held_up.clear()
    task = client.post("/api/v1/pack").json()
    assert client.post("/api/v1/pack").json()["id"] == task["id"]
    held_up.set()
    deadline = time.monotonic() + 120.0
    while (state := client.get(f"/api/v1/tasks/{task['id']}").json())["state"] == "running":
        assert time.monotonic() < deadline
        time.sleep(0.2)
    assert state["state"] == "done", state
    about = client.get("/api/v1/pack").json()
    log = client.get("/api/v1/log").json()
    assert (about["entries"], about["head"]) == (log["entries"], log["head"])
    given = client.get("/api/v1/pack/file")
    assert given.headers["content-type"] == "application/zip"
    assert (
        'filename="lateral-connections-mill-lane-to-quay-street-pack.zip"'
        in (given.headers["content-disposition"])
    )
    with zipfile.ZipFile(io.BytesIO(given.content)) as pack:
        assert pack.testzip() is None
        assert set(pack.namelist()) == {*about["files"], packs.ABOUT}
        assert pack.read("pack.pdf").startswith(b"%PDF")
        assert json.loads(pack.read("log.json"))["head"] == log["head"]
    assert len(given.content) == about["size"]
    office = client.app.state.office  # type: ignore[attr-defined]
    kept = packs.kept(office)
    assert kept is not None
    assert packs.is_current(kept, office.known())
    sent = {"csrf": "", "decision": "seal again"}
    assert client.post("/proof/T01-T02/02/decision", data=sent).status_code == 200
    assert not packs.is_current(kept, office.known())
    (begun_project.parent / "job-pack.zip").write_bytes(b"no zip")
    assert client.get("/api/v1/pack").status_code == 404


def test_every_route_of_the_api_is_explained(client: TestClient) -> None:
    told = client.get("/api/v1/openapi.json").json()
    assert "Idempotency-Key" in told["info"]["description"]
    unexplained = [
        f"{method} {path}"
        for path, item in told["paths"].items()
        for method, operation in item.items()
        if not operation.get("description")
    ]
    assert unexplained == []
    assert all(path.startswith("/api/v1/") for path in told["paths"])

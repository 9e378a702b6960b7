"""The programme by hand over HTTP."""

import re
import time
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from teewright.bench.workbench import Workbench
from teewright.site.chain import Draft
from teewright.site.values import EventKind
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.settings import Settings
from teewright.web.texts import text

ONE = "T02-T03/03"
AT = "/api/v1/programme"


@pytest.fixture
def client(demo_project: Path) -> Iterator[TestClient]:
    app = make_app(Settings(demo_project, quick=True))
    with TestClient(app, base_url="http://localhost") as made:
        yield made


def visits(state: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {v["connection_id"]: v for s in state["programme"]["shifts"] for v in s["visits"]}


def onto_the_next(state: dict[str, Any], connection: str) -> str:
    """A time of mixing at which the packer is still needed for its next collar."""
    shift = next(
        s["visits"]
        for s in state["programme"]["shifts"]
        if connection in {v["connection_id"] for v in s["visits"]}
    )
    own = visits(state)[connection]
    later = [v for v in shift if v["packer"] == own["packer"] and v["mix"] > own["mix"]]
    held = datetime.fromisoformat(own["out"]) - datetime.fromisoformat(own["mix"])
    at = datetime.fromisoformat(later[0]["mix"]) - held / 2
    return (at - timedelta(seconds=at.second)).strftime("%H:%M:%S")


def edit(state: dict[str, Any], connection: str, at: str = "", **more: Any) -> dict[str, Any]:
    shift = next(
        s
        for s in state["programme"]["shifts"]
        for v in s["visits"]
        if v["connection_id"] == connection
    )
    mix = f"{shift['day']}T{at}" if at else visits(state)[connection]["mix"]
    return {
        "connection": connection, "crew": shift["crew"], "day": shift["day"], "mix": mix, **more
    }  # fmt: skip


def told_the_newest(answer: Response, now: dict[str, Any]) -> None:
    """A problem that says what happened, with all that is in force."""
    assert answer.status_code == 409
    assert answer.headers["content-type"] == "application/problem+json"
    told = answer.json()
    assert told["type"] == "/problems/stale"
    assert told["detail"].startswith("the programme was changed by someone else meanwhile")
    assert told["now"] == now


def planned_again(client: TestClient, body: dict[str, Any]) -> dict[str, Any]:
    task = client.post(f"{AT}/replan", json=body).json()
    deadline = time.monotonic() + 60.0
    while (now := client.get(f"/api/v1/tasks/{task['id']}").json())["state"] == "running":
        assert time.monotonic() < deadline
        time.sleep(0.1)
    assert now["state"] == "done", now
    assert now["said"]  # what it told last
    return dict(client.get(f"{AT}/state").json())


def test_a_try_changes_nothing(client: TestClient) -> None:
    before = client.get(f"{AT}/state").json()
    at = onto_the_next(before, ONE)
    wish = edit(before, ONE, at)
    body = {"on": 0, "edits": [wish]}
    tried = client.post(f"{AT}/try", json=body)
    laid = visits(tried.json())[ONE]["mix"]
    assert wish["mix"] < laid
    assert laid.endswith("22:18:00")  # T03-T04/01 at pressure 21:40, 12 min of way, 25 of set-up
    assert {b["rule"] for b in tried.json()["breaches"]} == {"packer-once", "run-once"}
    assert tried.json()["fixed"] == [ONE]
    assert tried.json()["delays"]
    assert client.get(f"{AT}/state").json() == before


def test_kept_undone_and_dropped(client: TestClient) -> None:
    before = client.get(f"{AT}/state").json()
    body = {"on": 0, "edits": [edit(before, ONE, "20:45:00")]}
    kept = client.put(AT, json=body).json()
    assert (kept["version"], kept["by_hand"], kept["breaches"]) == (1, True, [])
    assert client.get(AT).json() == kept["programme"]
    stale = client.put(AT, json=body)
    told_the_newest(stale, kept)
    undone = client.post(f"{AT}/undo", params={"on": 1}).json()
    assert (undone["version"], undone["programme"]) == (0, before["programme"])
    again = client.put(AT, json=body).json()
    dropped = client.delete(AT, params={"on": again["version"]}).json()
    assert dropped["programme"] == before["programme"]
    assert client.post(f"{AT}/undo", params={"on": 0}).status_code == 422


@pytest.mark.parametrize(
    ("method", "path"), [("POST", "/try"), ("PUT", ""), ("POST", "/undo"), ("DELETE", ""),
                         ("POST", "/replan")],
)  # fmt: skip
def test_every_act_on_a_version_that_is_no_more_is_answered_with_the_newest(
    client: TestClient, method: str, path: str
) -> None:
    before = client.get(f"{AT}/state").json()
    edits = [edit(before, ONE, "20:45:00")]
    kept = client.put(AT, json={"on": 0, "edits": edits}).json()
    takes_edits = path not in {"/undo", ""} or method == "PUT"
    asked = {"json": {"on": 7, "edits": edits}} if takes_edits else {"params": {"on": 7}}
    told_the_newest(client.request(method, f"{AT}{path}", **asked), kept)
    assert client.get(f"{AT}/state").json() == kept


@pytest.mark.parametrize(
    ("path", "form"),
    [
        ("undo", {"on": "0"}),
        ("drop", {"on": "0"}),
        ("keep", {"edits": '{"on": 0, "edits": []}'}),
        ("replan", {"edits": '{"on": 0, "edits": []}'}),
    ],
)
def test_a_form_of_an_old_page_is_answered_with_the_newest_page(
    client: TestClient, path: str, form: dict[str, str]
) -> None:
    before = client.get(f"{AT}/state").json()
    kept = client.put(AT, json={"on": 0, "edits": [edit(before, ONE, "20:45:00")]}).json()
    page = client.get("/programme", headers={"accept": "text/html"}).text
    found = re.search(r'name="csrf" value="([^"]*)"', page)
    assert found
    data = {**form, "csrf": found.group(1)}
    answer = client.post(f"/programme/{path}", data=data, headers={"accept": "text/html"})
    assert answer.status_code == 409
    assert text("programme.refused") in answer.text
    assert f'name="on" value="{kept["version"]}"' in answer.text
    assert "mix 20:45" in answer.text
    bare = client.post(f"/programme/{path}", data=data)
    assert bare.status_code == 409
    assert bare.json()["type"] == "/problems/stale"
    assert client.get(f"{AT}/state").json() == kept


def test_a_breach_is_kept_only_by_who_says_so_and_is_a_finding(client: TestClient) -> None:
    before = client.get(f"{AT}/state").json()
    body = {"on": 0, "edits": [edit(before, ONE, onto_the_next(before, ONE))]}
    broken = client.post(f"{AT}/try", json=body).json()["breaches"]
    assert {b["rule"] for b in broken} == {"packer-once", "run-once"}
    refused = client.put(AT, json=body)
    assert refused.status_code == 422
    assert "breaks 2 rules" in refused.json()["detail"]
    assert client.get(f"{AT}/state").json() == before
    kept = client.put(AT, json={**body, "although": True}).json()
    assert kept["breaches"] == broken
    told = [f for f in client.get("/api/v1/findings").json() if f["rule"] == "programme-by-hand"]
    assert [b["text"] in f["text"] for b, f in zip(kept["breaches"], told, strict=True)] == (
        [True] * len(broken)
    )


def test_planned_again_around_what_is_fixed_and_moved(client: TestClient) -> None:
    before = client.get(f"{AT}/state").json()
    fixed = visits(before)["T01-T02/01"]
    edits = [edit(before, ONE, "21:15:00"), {"connection": "T01-T02/01", "fixed": True}]
    after = planned_again(client, {"on": 0, "edits": edits})
    assert after["breaches"] == []
    assert after["fixed"] == ["T01-T02/01", ONE]
    assert visits(after)["T01-T02/01"] == fixed
    assert visits(after)[ONE]["mix"].endswith("21:15:00")
    assert visits(after).keys() == visits(before).keys()
    undone = client.post(f"{AT}/undo", params={"on": after["version"]}).json()
    assert undone["programme"] == before["programme"]


def test_what_has_begun_cannot_be_moved_and_stays(demo_project: Path) -> None:
    with Project.open(demo_project) as project:
        bench = Workbench(project, progress=lambda _: None, today=date(2027, 5, 3), quick=True)
        mix = next(
            v.mix for s in bench.programme.shifts for v in s.visits if v.connection_id == ONE
        )
        project.record(
            Draft(
                id="b5f0c0de-0000-4000-8000-000000000001",
                installation=f"{ONE}#1",
                kind=EventKind.MIXED,
                at=mix.astimezone(),
                device="tablet",
                sequence=1,
                person="crew",
                data=(),
            )
        )
    app = make_app(Settings(demo_project, quick=True))
    with TestClient(app, base_url="http://localhost") as client:
        before = client.get(f"{AT}/state").json()
        assert before["begun"] == [ONE]
        refused = client.post(f"{AT}/try", json={"on": 0, "edits": [edit(before, ONE, "22:00:00")]})
        assert refused.status_code == 422
        assert "has begun" in refused.json()["detail"]
        other = edit(before, "T02-T03/01", "20:15:00")
        tried = client.post(f"{AT}/try", json={"on": 0, "edits": [other]}).json()
        assert visits(tried)[ONE] == visits(before)[ONE]
        after = planned_again(client, {"on": 0, "edits": [other]})
        assert visits(after)[ONE] == visits(before)[ONE]


@pytest.mark.parametrize(
    ("change", "status", "part"),
    [
        ({"connection": "X/01"}, 404, "not to be set"),
        ({"crew": "Crew 9"}, 404, "is no crew"),
        ({"crew": ""}, 422, "is missing"),
        ({"mix": "2027-05-03T21:00:00+02:00"}, 422, "time zone"),
        ({"mix": "2027-05-09T21:00:00"}, 422, "not within the day"),
        ({"mix": "soon"}, 422, "mix"),
        ({"day": "2027-13-01"}, 422, "day"),
    ],
)
def test_bad_edits_are_told_in_one_sentence(
    client: TestClient, change: dict[str, Any], status: int, part: str
) -> None:
    state = client.get(f"{AT}/state").json()
    body = {"on": 0, "edits": [{**edit(state, ONE), **change}]}
    answer = client.post(f"{AT}/try", json=body)
    assert answer.status_code == status, answer.text
    assert part in answer.json()["detail"]


def test_nothing_planned_is_no_error_of_the_server(tmp_path: Path) -> None:
    app = make_app(Settings(tmp_path / "new.tee", quick=True))
    with TestClient(app, base_url="http://localhost") as client:
        for answer in (
            client.get(f"{AT}/state"),
            client.post(f"{AT}/try", json={"on": 0}),
            client.post(f"{AT}/replan", json={"on": 0}),
        ):
            assert answer.status_code == 409
            assert "design the collars first" in answer.json()["detail"]

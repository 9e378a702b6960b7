"""Corrections over the API: any of them taken back, and a length that may still be changed."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from teewright.site.chain import Draft
from teewright.site.values import EventKind
from teewright.web.app import make_app
from teewright.web.desk import Desk
from teewright.web.settings import Settings
from unit.web.test_documents_api import DEMO, give

WHERE = "/api/v1/corrections"
RUN = "T02-T03"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    return tmp_path / "job.tee"


@pytest.fixture
def client(project: Path) -> Iterator[TestClient]:
    with TestClient(make_app(Settings(project, quick=True)), base_url="http://localhost") as made:
        give(made, DEMO)
        yield made


def correct(client: TestClient, **what: object) -> None:
    assert client.post(WHERE, json={"what": what, "why": "seen"}).status_code == 201


def desk_of(client: TestClient) -> Desk:
    app: Any = client.app
    desk: Desk = app.state.office.desk
    return desk


def chainages(client: TestClient, run: str = RUN) -> list[float]:
    found: list[dict[str, Any]] = client.get("/api/v1/survey").json()["connections"]
    return [c["chainage"] for c in found if c["run_id"] == run]


def test_any_correction_is_taken_back_and_the_others_stay(client: TestClient) -> None:
    for number, need in (("01", "leave"), ("02", "close off"), ("03", "leave")):
        correct(client, act="decide", connection=f"T01-T02/{number}", need=need)
    first, second, third = client.get(WHERE).json()
    taken = client.delete(f"{WHERE}/{second['key']}").json()
    assert taken["what"]["need"] == "close off"
    assert client.get(WHERE).json() == [first, third]
    again = client.delete(f"{WHERE}/{second['key']}")
    assert again.status_code == 404
    assert "not among the corrections" in again.json()["detail"]
    assert client.get(WHERE).json() == [first, third]


def test_what_was_taken_back_stays_in_the_history(client: TestClient) -> None:
    correct(client, act="decide", connection="T01-T02/01", need="leave")
    (one,) = client.get(WHERE).json()
    client.delete(f"{WHERE}/{one['key']}")
    desk = desk_of(client)
    before = desk.ask(lambda project: project.document_before("option", "corrections.json"))
    assert before is not None
    assert b'"need":"leave"' in before.data


def test_a_length_is_set_and_taken_back(client: TestClient) -> None:
    before = chainages(client)
    correct(client, act="set run", run=RUN, field="length", value=52.3)
    runs = {r["id"]: r for r in client.get("/api/v1/survey").json()["runs"]}
    assert runs[RUN]["length"] == 52.3
    (one,) = client.get(WHERE).json()
    assert client.delete(f"{WHERE}/{one['key']}").status_code == 200
    assert chainages(client) == before


@pytest.mark.parametrize("value", [0.2, 6000.0, True])
def test_a_length_out_of_range_is_refused(client: TestClient, value: object) -> None:
    what = {"act": "set run", "run": RUN, "field": "length", "value": value}
    assert client.post(WHERE, json={"what": what}).status_code == 422
    assert client.get(WHERE).json() == []


def begin(client: TestClient, installation: str) -> None:
    at = datetime(2027, 5, 4, 8, 0, tzinfo=UTC)
    draft = Draft("e1", installation, EventKind.MIXED, at, "t", 1, "crew")
    desk_of(client).write(lambda project: project.record(draft))


def test_no_length_is_changed_once_a_connection_has_been_begun(
    client: TestClient,
) -> None:
    correct(client, act="set run", run=RUN, field="length", value=51.4)
    (one,) = client.get(WHERE).json()
    begin(client, f"{RUN}/03#1")
    what = {"act": "set run", "run": RUN, "field": "length", "value": 52.3}
    refused = client.post(WHERE, json={"what": what})
    assert refused.status_code == 422
    assert f"{RUN}/03#1 has been begun" in refused.json()["detail"]
    assert client.delete(f"{WHERE}/{one['key']}").status_code == 422
    assert client.get(WHERE).json() == [one]
    # the numbers of another run do not follow from it
    correct(client, act="set run", run="T01-T02", field="length", value=40.0)
    correct(client, act="set run", run=RUN, field="diameter", value=0.25)

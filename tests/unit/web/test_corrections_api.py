"""Corrections over the API: any of them taken back, and a length that may still be changed."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from teewright.site.chain import Draft
from teewright.site.values import EventKind
from teewright.web.app import make_app
from teewright.web.desk import Desk
from teewright.web.problems import MEDIA_TYPE
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


def fields(**values: object) -> list[dict[str, object]]:
    one = {"act": "set", "connection": "T01-T02/01"}
    return [{**one, "field": field, "value": value} for field, value in values.items()]


def several(client: TestClient, *what: dict[str, object], key: str = "") -> Response:
    headers = {"Idempotency-Key": key} if key else {}
    return client.post(f"{WHERE}/several", json={"what": what, "why": "measured"}, headers=headers)


def test_several_fields_are_set_at_once_and_each_is_an_entry(client: TestClient) -> None:
    what = fields(clock=2.5, diameter=0.1, state="closed")
    run = {"act": "set run", "run": RUN, "field": "length", "value": 52.3}
    before = versions(client)
    answer = several(client, *what, run, key="k")
    assert answer.status_code == 201
    kept = answer.json()
    assert client.get(WHERE).json() == kept
    assert [one["why"] for one in kept] == ["measured"] * 4
    assert versions(client) == before + 1  # one transaction
    survey = client.get("/api/v1/survey").json()
    found = next(c for c in survey["connections"] if c["id"] == "T01-T02/01")
    assert (found["clock"], found["diameter"], found["is_open"]) == (2.5, 0.1, False)
    assert next(r for r in survey["runs"] if r["id"] == RUN)["length"] == 52.3
    again = several(client, *what, run, key="k")
    assert (again.json(), again.headers["idempotency-replayed"]) == (kept, "true")
    assert client.get(WHERE).json() == kept
    assert client.delete(f"{WHERE}/{kept[1]['key']}").json()["what"]["field"] == "diameter"
    assert client.get(WHERE).json() == [kept[0], *kept[2:]]


def versions(client: TestClient) -> int:
    """How often the corrections were written."""
    known = desk_of(client).ask(lambda project: project.documents("option"))
    return next((d.version for d in known if d.name == "corrections.json"), 0)


@pytest.mark.parametrize(
    ("wrong", "status", "said"),
    [
        (fields(diameter=99.0), 422, "diameter"),
        (fields(clock=3.0), 422, "is corrected twice at once"),
        ([{**fields(diameter=0.1)[0], "connection": "none"}], 404, "is not in the survey"),
        ([{"act": "set run", "run": "none", "field": "lined", "value": True}], 404, "none"),
        (fields(colour="red"), 422, "field"),
    ],
)
def test_of_several_all_are_kept_or_none(
    client: TestClient, wrong: list[dict[str, object]], status: int, said: str
) -> None:
    answer = several(client, *fields(clock=2.5), *wrong)
    assert (answer.status_code, answer.headers["content-type"]) == (status, MEDIA_TYPE)
    assert said in answer.json()["detail"]
    assert client.get(WHERE).json() == []


def test_several_are_at_least_one_and_not_without_end(client: TestClient) -> None:
    assert several(client).status_code == 422
    decisions: list[dict[str, object]] = [
        {"act": "decide", "connection": f"c{number}", "need": "leave"} for number in range(501)
    ]
    assert several(client, *decisions).status_code == 422
    assert several(client, *decisions[:500]).status_code == 404

"""Every write of the API: done once under its key, and refused with one sentence."""

import json
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response

from faces.web.signing import routes
from teewright import demo
from teewright.bench.inputs import stored
from teewright.store.people import people
from teewright.web.app import make_app
from teewright.web.guard.roles import SAFE
from teewright.web.office import Office
from teewright.web.problems import MEDIA_TYPE
from teewright.web.settings import Settings
from teewright.web.tasks import Task, Told

CONNECTION = "T02-T03/07"
KEPT = {"on": 0, "edits": [{"connection": CONNECTION, "fixed": True}], "although": True}
DECISION = {"connection": "T01-T02/02", "decision": "It stays and is looked at again."}
PASSWORD = {"password": "wet gloves and rain"}
DECIDED = {"act": "decide", "connection": "T01-T02/01", "need": "leave"}
FIELDS = [
    {"act": "set", "connection": "T01-T02/01", "field": "clock", "value": 2.0},
    {"act": "set", "connection": "T01-T02/01", "field": "diameter", "value": 0.15},
    {"act": "set run", "run": "T01-T02", "field": "diameter", "value": 0.31},
]
CHANGES = ("/corrections", "/documents", "/decisions", "/people")
"""Writes with POST that change at once what the project keeps."""
Write = tuple[str, str, Any]
WRITES: dict[tuple[str, str], Write] = {
    ("POST", "/api/v1/tasks/design"): ("POST", "/tasks/design", None),
    ("POST", "/api/v1/tasks/plan"): ("POST", "/tasks/plan", None),
    ("POST", "/api/v1/tasks/x/cancel"): ("POST", "/tasks/{task}/cancel", None),
    ("POST", "/api/v1/pack"): ("POST", "/pack", None),
    ("POST", "/api/v1/tasks/x/dismiss"): ("POST", "/tasks/{task}/dismiss", None),
    ("POST", "/api/v1/decisions"): ("POST", "/decisions", DECISION),
    ("POST", "/api/v1/people"): ("POST", "/people", {"name": "QX", "role": "crew", **PASSWORD}),
    ("PUT", "/api/v1/people/x/role"): ("PUT", "/people/{person}/role", {"role": "client"}),
    ("PUT", "/api/v1/people/x/password"): ("PUT", "/people/{person}/password", PASSWORD),
    ("DELETE", "/api/v1/people/x"): ("DELETE", "/people/{person}", None),
    ("POST", "/api/v1/collars/try"): ("POST", "/collars/try", {"connection": CONNECTION}),
    ("POST", "/api/v1/collars/make"): ("POST", "/collars/make", {"connection": CONNECTION}),
    ("POST", "/api/v1/collars/cutting"): ("POST", "/collars/cutting", None),
    ("POST", "/api/v1/programme/try"): ("POST", "/programme/try", {"on": 0}),
    ("POST", "/api/v1/programme/replan"): ("POST", "/programme/replan", {"on": 0}),
    ("PUT", "/api/v1/programme"): ("PUT", "/programme", KEPT),
    ("DELETE", "/api/v1/programme"): ("DELETE", "/programme?on={version}", None),
    ("POST", "/api/v1/programme/undo"): ("POST", "/programme/undo?on={version}", None),
    ("POST", "/api/v1/corrections"): ("POST", "/corrections", {"what": DECIDED}),
    ("POST", "/api/v1/corrections/several"): ("POST", "/corrections/several", {"what": FIELDS}),
    ("DELETE", "/api/v1/corrections/last"): ("DELETE", "/corrections/last", None),
    ("DELETE", "/api/v1/corrections/x"): ("DELETE", "/corrections/{correction}", None),
    ("DELETE", "/api/v1/documents/x/x"): ("DELETE", "/documents/survey/runs.csv", None),
    ("POST", "/api/v1/documents/x/x/undo"): ("POST", "/documents/survey/runs.csv/undo", None),
}
"""A write of each route that can be done on the demo's job, in an order in which all can."""
SESSION = {("POST", "/api/v1/session"), ("DELETE", "/api/v1/session")}
EVENTS = {("POST", "/api/v1/events"), ("POST", "/api/v1/events/file")}
OWN = ("PUT", "/api/v1/me/password")
APART = {*EVENTS, ("POST", "/api/v1/documents"), *SESSION, OWN}
"""Events have ids of their own, files come as a form, which carries no key, a session is a cookie,
which is kept for nobody, and who has a password of his own has signed in (test_own_password)."""


@pytest.fixture
def client(begun_project: Path) -> Iterator[TestClient]:
    app = make_app(Settings(begun_project, quick=True))
    with TestClient(app, base_url="http://localhost") as made:
        yield made


@pytest.fixture
def office(client: TestClient) -> Office:
    """The office of the server; its long work ends at once."""
    found: Office = client.app.state.office  # type: ignore[attr-defined]  # typed as any app
    start = found.tasks.start

    def short(name: str, work: Any) -> Task:
        def told(tell: Told) -> None:
            tell("begun")

        return start(name, told)

    found.tasks.start = short  # type: ignore[method-assign]  # the work itself is tried elsewhere
    return found


@pytest.fixture
def goes_on() -> Iterator[threading.Event]:
    """What long work of a test waits for; at its end it waits no more."""
    made = threading.Event()
    yield made
    made.set()


def writes(app: Any) -> set[tuple[str, str]]:
    assert isinstance(app, FastAPI)
    api = [pair for pair in routes(app) if pair[1].startswith("/api/v1/")]
    return {pair for pair in api if pair[0] not in SAFE}


def is_problem(answer: Response, status: int | set[int]) -> str:
    wanted = status if isinstance(status, set) else {status}
    assert answer.status_code in wanted, answer.text
    assert answer.headers["content-type"] == MEDIA_TYPE
    told = answer.json()
    assert told["status"] == answer.status_code
    said: str = told["detail"]
    assert said.strip()
    assert "Traceback" not in said
    return said


def state(office: Office) -> tuple[str, int, int]:
    """What a write can change: documents with the programme by hand, people, log, tasks."""
    fingerprint, log = office.desk.ask(lambda p: (stored(p).fingerprint, p.log_state().count))
    documents = office.desk.ask(lambda p: tuple((d.kind, d.name, d.version) for d in p.documents()))
    who = office.desk.ask(people)
    return f"{fingerprint} {documents} {who}", log, len(office.tasks.all())


def by_hand(client: TestClient) -> int:
    """Version of the programme by hand; one is made where there is none."""
    standing = client.get("/api/v1/programme/state").json()
    if standing["version"] == 0:
        standing = client.put("/api/v1/programme", json=KEPT).json()
    return int(standing["version"])


def someone(client: TestClient) -> str:
    """Id of the first who may sign in."""
    return str(client.get("/api/v1/people").json()[0]["id"])


def corrected(client: TestClient) -> str:
    """Key of a correction that is made for the purpose."""
    assert client.post("/api/v1/corrections", json={"what": DECIDED}).status_code == 201
    return str(client.get("/api/v1/corrections").json()[-1]["key"])


def test_every_write_is_in_the_table(client: TestClient) -> None:
    assert writes(client.app) == set(WRITES) | APART


def test_every_write_is_done_once_under_its_key(
    client: TestClient, office: Office, goes_on: threading.Event
) -> None:
    task = type(office.tasks).start(office.tasks, "waits", lambda _: goes_on.wait(60.0))
    for number, (method, path, body) in enumerate(WRITES.values()):
        version = by_hand(client) if "{version}" in path else 0
        person = someone(client) if "{person}" in path else ""
        correction = corrected(client) if "{correction}" in path else ""
        address = "/api/v1" + path.format(
            task=task.id, version=version, person=person, correction=correction
        )
        headers = {"Idempotency-Key": f"key-{number}"}
        before = state(office)
        first = client.request(method, address, json=body, headers=headers)
        assert first.status_code in {200, 201, 202}, (method, path, first.text)
        after = state(office)
        if method != "POST" or path.startswith(CHANGES):
            assert after != before, (method, path)
        again = client.request(method, address, json=body, headers=headers)
        assert again.headers.get("idempotency-replayed") == "true", (method, path)
        assert (again.status_code, again.json()) == (first.status_code, first.json())
        assert state(office) == after, (method, path)
        other = client.request(method, address, json={"on": 99}, headers=headers)
        assert "was used for another request" in is_problem(other, 422)
        assert state(office) == after


def test_files_that_are_given_again_change_nothing(client: TestClient, office: Office) -> None:
    files = [("files", (name, demo.file(name))) for name in demo.SURVEY_FILES]
    first = client.post("/api/v1/documents", files=files)
    before = state(office)
    assert client.post("/api/v1/documents", files=files).json() == first.json()
    assert state(office) == before


@pytest.mark.parametrize("key", [b"", b"   ", b"x" * 201, b"\xc3\xa9"])
def test_a_bad_key_is_refused_by_every_write(
    client: TestClient, office: Office, key: bytes
) -> None:
    before = state(office)
    for method, path in writes(client.app) - EVENTS - SESSION:
        answer = client.request(method, path, json={}, headers=[(b"Idempotency-Key", key)])
        assert "Idempotency-Key" in is_problem(answer, 422), (method, path)
    assert state(office) == before


BROKEN = {
    "no body": b"",
    "no JSON": b"{",
    "a list": b"[]",
    "a number": b"1e999",
    "no text": b"\xff\xfe{}",
    "a NUL": b"\0",
    "half a pair": b'{"connection": "\\ud800", "what": {"act": "\\udc00"}, "on": 0}',
    "no number": b'{"on": NaN, "connection": "T02-T03/07", "angle": NaN, "what": '
    b'{"act": "set run", "run": "T01-T02", "field": "diameter", "value": NaN}}',
    "without end": b'{"on": 0, "connection": "T02-T03/07", "main": Infinity, "what": '
    b'{"act": "set", "connection": "T01-T02/01", "field": "chainage", "value": Infinity}}',
    "deep": b"[" * 100_000,
    "wide": b'{"on": 0, "edits": [' + b'{"connection": "x"},' * 5000 + b'{"connection": "x"}]}',
    "a long number": b'{"on": ' + b"9" * 5000 + b"}",
    "a long name": json.dumps({"on": 0, "connection": "x" * 10**6}).encode(),
}


@pytest.mark.parametrize("name", BROKEN)
def test_what_cannot_be_read_is_refused_with_a_sentence(
    client: TestClient, office: Office, name: str
) -> None:
    body_wanted = [
        (method, path)
        for (method, path), write in WRITES.items()
        if write[2] is not None and path != "/api/v1/programme/try"
    ]
    before = state(office)
    body_wanted += [OWN, ("POST", "/api/v1/events"), ("POST", "/api/v1/documents")]
    for method, path in body_wanted:
        sent = {"content-type": "application/json", "idempotency-key": "k"}
        if path.endswith("/events"):
            del sent["idempotency-key"]
        answer = client.request(method, path, content=BROKEN[name], headers=sent)
        said = is_problem(answer, {400, 404, 409, 413, 422})
        assert len(said) < 2000, (method, path)
    assert state(office) == before


def test_a_method_or_an_address_that_is_none_is_a_problem(client: TestClient) -> None:
    is_problem(client.delete("/api/v1/events"), {403, 405})
    is_problem(client.put("/api/v1/tasks/design"), {403, 405})
    is_problem(client.get("/api/v1/none"), 404)
    is_problem(client.post("/api/v1/none"), 403)
    is_problem(client.get("/api/v1/attachments/%00"), 404)
    is_problem(client.get("/api/v1/events?after=-1"), 422)
    is_problem(client.get("/api/v1/events?after=" + "9" * 5000), 422)

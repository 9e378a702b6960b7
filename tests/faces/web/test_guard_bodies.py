"""Bodies and requests that are made to harm: refused with a sentence, by whoever they are sent."""

import json
import socket
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from faces.web.conftest import served
from faces.web.signing import PASSWORD, guarded, signed_in, token
from faces.web.signing import browsing as browser_of
from teewright.store.people import people
from teewright.web.guard.limits import OF_STRANGERS, OF_WORDS
from teewright.web.problems import MEDIA_TYPE, MOST_FAULTS
from teewright.web.settings import Settings
from teewright.web.texts import text

HALF = "\ud800" + "x" * 12
"""Half a pair of surrogates, as JSON can bring it, is no text."""


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    made = guarded(tmp_path / "job.tee", largest_upload=8 * OF_WORDS)
    yield made
    made.state.office.close()


@pytest.fixture
def stranger(app: FastAPI) -> TestClient:
    return TestClient(app, base_url="http://localhost")


def in_parts(data: bytes) -> Iterator[bytes]:
    """A body that does not say how long it is."""
    for at in range(0, len(data), 4096):
        yield data[at : at + 4096]


@pytest.mark.parametrize("says_so", [True, False])
def test_who_is_not_signed_in_sends_little(stranger: TestClient, says_so: bool) -> None:
    given = json.dumps({"name": "crew", "password": "x" * OF_STRANGERS}).encode()
    body = given if says_so else in_parts(given)
    kind = {"Content-Type": "application/json"}
    answer = stranger.post("/api/v1/session", content=body, headers=kind)
    assert (answer.status_code, answer.headers["content-type"]) == (413, MEDIA_TYPE)
    form = b"name=crew&password=" + b"x" * OF_STRANGERS
    body = form if says_so else in_parts(form)
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    assert stranger.post("/sign-in", content=body, headers=kind).status_code == 413
    long = {"name": "crew", "password": "x" * (OF_STRANGERS - 100)}
    answer = stranger.post("/api/v1/session", json=long)
    assert (answer.status_code, answer.json()["detail"]) == (403, text("guard.wrong"))


def test_only_files_and_events_are_large(app: FastAPI) -> None:
    client, csrf = signed_in(app, "engineer")
    large = {"name": "x" * OF_WORDS, "role": "crew"}
    assert client.post("/api/v1/people", json=large, headers=csrf).status_code == 413
    events = {"events": [{"id": "x" * OF_WORDS}]}
    answer = client.post("/api/v1/events", json=events, headers=csrf)
    assert (answer.status_code, answer.json()["answers"][0]["kept"]) == (200, False)
    file = [("files", ("a.bin", b"x" * OF_WORDS))]
    assert client.post("/api/v1/documents", files=file, headers=csrf).status_code == 422


def test_of_many_faults_not_all_are_told(app: FastAPI) -> None:
    client, csrf = signed_in(app, "engineer")
    new = {"name": "QX", "role": "crew"} | {f"field {number}": 1 for number in range(1000)}
    answer = client.post("/api/v1/people", json=new, headers=csrf)
    assert answer.status_code == 422
    assert len(answer.json()["faults"]) == MOST_FAULTS


def test_a_password_that_is_no_text_is_refused(app: FastAPI, stranger: TestClient) -> None:
    kind = {"Content-Type": "application/json"}
    given = json.dumps({"name": "crew", "password": HALF}).encode()
    answer = stranger.post("/api/v1/session", content=given, headers=kind)
    assert (answer.status_code, answer.json()["detail"]) == (403, text("guard.wrong"))
    client, csrf = signed_in(app, "engineer")
    before = app.state.office.desk.ask(people)
    other = {"present": PASSWORD, "password": HALF}
    person = client.get("/api/v1/people").json()[0]["id"]
    for method, path, body in (
        ("POST", "/api/v1/people", {"name": "QX", "role": "crew", "password": HALF}),
        ("PUT", f"/api/v1/people/{person}/password", {"password": HALF}),
        ("PUT", "/api/v1/me/password", other),
        ("PUT", "/api/v1/me/password", {**other, "password": PASSWORD, "present": HALF}),
    ):
        sent = json.dumps(body).encode()
        answer = client.request(method, path, content=sent, headers={**csrf, **kind})
        assert answer.status_code in {403, 422}, (path, answer.text)
        assert answer.headers["content-type"] == MEDIA_TYPE
    assert app.state.office.desk.ask(people) == before


def test_a_key_is_good_for_who_used_it_alone(app: FastAPI) -> None:
    first, csrf = signed_in(app, "engineer")
    second, others = signed_in(app, "crew")
    sent = {"present": PASSWORD, "password": "wet gloves and rain"}
    path = "/api/v1/me/password"
    done = first.put(path, json=sent, headers={**csrf, "Idempotency-Key": "k"})
    assert done.status_code == 200
    answer = second.put(path, json=sent, headers={**others, "Idempotency-Key": "k"})
    assert answer.status_code == 422
    assert "was used for another request" in answer.json()["detail"]
    assert "engineer" not in answer.text


def test_head_says_what_get_says_and_brings_nothing(app: FastAPI) -> None:
    client, _ = signed_in(app, "client")
    for path in ("/", "/api/v1/log", "/static/tokens.css", "/nothing", "/people"):
        get, head = client.get(path), client.head(path)
        assert (head.status_code, head.content) == (get.status_code, b""), path
        assert head.headers["content-type"] == get.headers["content-type"]
        assert head.headers["content-security-policy"] == get.headers["content-security-policy"]
    stranger = browser_of(app)
    assert stranger.head("/").headers["location"] == "/sign-in?back=/"
    assert len(token(stranger)) == 128


def asked(address: str, *lines: str) -> bytes:
    """The answer to a request that is sent as it stands."""
    at = urlsplit(address)
    with socket.create_connection((at.hostname, at.port), timeout=30.0) as line:
        line.sendall("\r\n".join([*lines, "Connection: close", "", ""]).encode("latin-1"))
        parts = []
        while part := line.recv(65536):
            parts.append(part)
    return b"".join(parts)


def test_requests_that_no_browser_sends(tmp_path: Path) -> None:
    with served(Settings(tmp_path / "job.tee")) as address:
        host = f"Host: {urlsplit(address).netloc}"
        evil = "Host: evil.example"
        log = "/api/v1/log"
        for lines, status in (
            ((f"GET {log} HTTP/1.1", host), 200),
            ((f"GET http://evil.example{log} HTTP/1.1", host), 404),
            ((f"GET http://localhost{log} HTTP/1.1", evil), 421),
            ((f"GET {log} HTTP/1.1", host, evil), 400),
            ((f"GET {log} HTTP/1.1", evil, host), 400),
            ((f"GET {log} HTTP/1.1", evil, "X-Forwarded-Host: localhost"), 421),
            ((f"GET {log} HTTP/1.1",), 400),
            ((f"GET {log} HTTP/1.0",), 421),
            ((f"get {log} HTTP/1.1", host), 405),
            (("OPTIONS * HTTP/1.1", host), 404),
            ((f"GET {log} HTTP/1.1", host, "Cookie: session=\xff; csrf=\xff; units=\xff"), 200),
            (("GET / HTTP/1.1", host, "Cookie: a=" + "x" * 60_000), 200),
            (("POST /choices HTTP/1.1", host, "Content-Length: 3", "Content-Length: 5"), 400),
            (("POST /choices HTTP/1.1", host, "Content-Length: -1"), 400),
            (("POST /choices HTTP/1.1", host, "Transfer-Encoding: xchunked"), 400),
        ):
            answer = asked(address, *lines)
            assert answer.startswith(f"HTTP/1.1 {status} ".encode()), (lines[0], answer[:200])
            if status != 200:
                assert b"verified" not in answer

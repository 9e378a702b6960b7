"""Everything that stands before a page, asked as a browser or a program would."""

from collections.abc import Iterator
from pathlib import Path

import httpx2
import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from faces.web.signing import (
    BROWSER,
    PASSWORD,
    browsing,
    guarded,
    routes,
    sign_in,
    signed_in,
    token,
)
from teewright.web.app import make_app
from teewright.web.guard.roles import SAFE, Asker, Role, is_open, may, rule_of
from teewright.web.settings import Settings
from teewright.web.texts import text


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    """A server of an empty project where people must sign in."""
    made = guarded(tmp_path / "job.tee")
    yield made
    made.state.office.close()


@pytest.fixture
def here(tmp_path: Path) -> Iterator[FastAPI]:
    """A server of an empty project for this machine alone."""
    made = make_app(Settings(tmp_path / "job.tee", largest_upload=1000))
    yield made
    made.state.office.close()


def test_every_route_has_its_line_in_the_table(here: FastAPI) -> None:
    found = routes(here)
    assert ("POST", "/api/v1/tasks/design") in found
    assert ("GET", "/proof") in found
    assert [pair for pair in found if rule_of(*pair) is None] == []


def test_nobody_sees_or_changes_anything_without_signing_in(app: FastAPI) -> None:
    client = browsing(app)
    csrf = {"X-CSRF-Token": token(client)}
    for method, path in routes(app):
        if is_open(method, path):
            continue
        answer = client.request(method, path, headers=csrf)
        if method in SAFE and not path.startswith("/api/"):
            assert answer.status_code == 303, path
            assert answer.headers["location"].startswith("/sign-in?back=/"), path
        else:
            assert answer.status_code == 401, (method, path)


def test_a_client_changes_nothing_anywhere(app: FastAPI) -> None:
    client, csrf = signed_in(app, "client")
    changes = [pair for pair in routes(app) if pair[0] not in SAFE]
    own = {"/choices", "/me/password", "/api/v1/me/password"}
    refused = [pair for pair in changes if not is_open(*pair) and pair[1] not in own]
    assert len(changes) - len(refused) < 10
    assert len(refused) >= 10
    for method, path in refused:
        answer = client.request(method, path, headers={**csrf, "Accept": "*/*"})
        assert answer.status_code == 403, (method, path)
        assert answer.json()["detail"] == text("guard.role", role="client")


@pytest.mark.parametrize(
    ("role", "method", "path", "allowed"),
    [
        (Role.CREW, "POST", "/api/v1/events", True),
        (Role.INSPECTOR, "POST", "/api/v1/events", True),
        (Role.CLIENT, "POST", "/api/v1/events", False),
        (Role.CREW, "POST", "/api/v1/tasks/design", False),
        (Role.INSPECTOR, "POST", "/api/v1/tasks/plan", False),
        (Role.ENGINEER, "POST", "/api/v1/tasks/plan", True),
        (Role.CLIENT, "GET", "/handover", True),
        (Role.CREW, "POST", "/choices", True),
        (Role.CREW, "POST", "/eventsx", False),
        (Role.ENGINEER, "DELETE", "/nowhere", False),
        (Role.ENGINEER, "POST", "/", False),
    ],
)
def test_the_table(app: FastAPI, role: Role, method: str, path: str, allowed: bool) -> None:
    client, csrf = signed_in(app, role.value)
    answer = client.request(method, path, headers=csrf)
    assert (answer.status_code == 403) is not allowed
    asker = client.get("/api/v1/me").json()
    assert asker["role"] == role.value


def test_what_is_not_in_the_table_is_done_by_nobody(here: FastAPI) -> None:
    client = TestClient(here, base_url="http://localhost")
    assert client.post("/not/in/the/table").status_code == 403
    assert client.get("/not/in/the/table").status_code == 404


def test_a_change_without_a_token_is_refused_on_every_route(here: FastAPI) -> None:
    client = browsing(here)
    client.get("/")
    changes = [pair for pair in routes(here) if pair[0] not in SAFE]
    assert changes
    for method, path in changes:
        answer = client.request(method, path, headers={"Accept": "*/*"})
        assert answer.status_code == 403, (method, path)
        assert answer.json()["detail"] == text("guard.csrf"), (method, path)


def test_a_form_with_its_token_passes_and_with_another_does_not(here: FastAPI) -> None:
    client = browsing(here)
    good = token(client, "/")
    assert client.post("/choices", data={"csrf": good, "sheet": "night"}).status_code == 303
    for wrong in (good[:-1], good[::-1], "", "é"):
        assert client.post("/choices", data={"csrf": wrong}).status_code == 403
    assert browsing(here).post("/choices", data={"csrf": good}).status_code == 403


def test_the_token_may_be_a_part_of_an_upload(here: FastAPI) -> None:
    client = browsing(here)
    good = token(client, "/")
    sent = {"csrf": (None, good), "sheet": (None, "night")}
    assert client.post("/choices", files=sent).status_code == 303


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://elsewhere.example"},
        {"Origin": "http://localhost:1"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "http://localhost", "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_what_a_page_of_another_server_sends_is_refused_even_with_the_token(
    here: FastAPI, headers: dict[str, str]
) -> None:
    client = browsing(here)
    good = token(client, "/")
    answer = client.post("/choices", data={"csrf": good}, headers=headers)
    assert answer.status_code == 403
    assert text("guard.foreign") in answer.text


def test_a_program_needs_no_token_where_nobody_signs_in(here: FastAPI) -> None:
    client = TestClient(here, base_url="http://localhost", follow_redirects=False)
    assert client.post("/choices").status_code == 303


def test_a_program_that_holds_a_session_needs_the_token(app: FastAPI) -> None:
    client, csrf = signed_in(app, "engineer")
    program = TestClient(app, base_url="http://localhost", cookies=dict(client.cookies))
    path = "/api/v1/tasks/x/cancel"
    assert program.post(path).status_code == 403
    assert program.post(path, headers=csrf).status_code == 404


@pytest.mark.parametrize(
    "host",
    [
        "evil.example", "localhost.evil.example", "", "127.0.0.1.nip", "[::1].evil.example",
        "[::1]evil", "[::1", "localhost:80:evil", "localhost:evil", "localhost@evil.example",
        "localhost.", "localhost, evil.example", "localhost evil", "[localhost]", ":80",
    ],
)  # fmt: skip
def test_another_host_name_is_answered_nothing(here: FastAPI, host: str) -> None:
    answer = TestClient(here, base_url="http://localhost").get("/", headers={"Host": host})
    assert answer.status_code == 421
    assert "Teewright" not in answer.text


@pytest.mark.parametrize("method", ["TRACE", "CONNECT", "TRACK", "PROPFIND", "BREW"])
def test_other_methods_are_refused(here: FastAPI, method: str) -> None:
    answer = TestClient(here, base_url="http://localhost").request(method, "/")
    assert answer.status_code == 405
    assert "GET" in answer.headers["allow"]


def test_a_body_that_says_it_is_too_large_is_refused(here: FastAPI) -> None:
    client = TestClient(here, base_url="http://localhost")
    answer = client.post("/choices", content=b"x" * 1001)
    assert answer.status_code == 413
    assert answer.headers["content-type"] == "application/problem+json"
    assert "too large" in answer.json()["detail"]
    assert client.post("/choices", content=b"x" * 1000, follow_redirects=False).status_code == 303


@pytest.mark.parametrize(
    "kind", ["application/x-www-form-urlencoded", "multipart/form-data; boundary=b"]
)
def test_a_body_that_does_not_say_so_is_refused_too(here: FastAPI, kind: str) -> None:
    def parts() -> Iterator[bytes]:
        yield b'--b\r\nContent-Disposition: form-data; name="sheet"\r\n\r\n'
        for _ in range(20):
            yield b"x" * 100

    client = TestClient(here, base_url="http://localhost")
    answer = client.post("/choices", content=parts(), headers={"Content-Type": kind})
    assert answer.status_code == 413


@pytest.mark.parametrize("keyed", [True, False])
@pytest.mark.parametrize("path", ["/api/v1/people", "/api/v1/collars/try", "/api/v1/events"])
def test_the_api_refuses_a_body_that_grows_too_large(here: FastAPI, path: str, keyed: bool) -> None:
    def parts() -> Iterator[bytes]:
        yield b'{"name": "'
        for _ in range(20):
            yield b"x" * 100

    client = TestClient(here, base_url="http://localhost")
    headers = {"Content-Type": "application/json"} | ({"Idempotency-Key": "k"} if keyed else {})
    answer = client.post(path, content=parts(), headers=headers)
    assert (answer.status_code, answer.headers["content-type"]) == (413, "application/problem+json")


def test_every_answer_carries_the_headers(app: FastAPI) -> None:
    client = browsing(app)
    for path in ("/sign-in", "/static/tokens.css", "/nothing", "/api/v1/log", "/"):
        headers = client.get(path).headers
        assert "default-src 'none'" in headers["content-security-policy"], path
        assert headers["x-content-type-options"] == "nosniff", path
        assert headers["cache-control"] in {"no-store", "no-cache"}, path
    assert client.get("/", headers={"Host": "x"}).headers["referrer-policy"] == "same-origin"


def test_a_fault_of_ours_is_one_sentence_and_keeps_the_headers(
    here: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail() -> None:
        raise ZeroDivisionError("secret of the inside")

    monkeypatch.setattr(here.state.office, "known", fail)
    client = TestClient(here, base_url="http://localhost", raise_server_exceptions=False)
    answer = client.get("/api/v1/records")
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert "content-security-policy" in answer.headers


def test_a_session_is_a_cookie_that_no_script_reads_and_ends(app: FastAPI) -> None:
    client = browsing(app)
    answer = sign_in(client, "crew")
    cookie = next(c for c in answer.headers.get_list("set-cookie") if c.startswith("session="))
    assert answer.headers["location"] == "/proof"
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    assert "Max-Age=43200" in cookie
    kept = client.cookies["session"]
    assert client.get("/").status_code == 200
    csrf = client.get("/api/v1/me").json()["csrf"]
    out = client.post("/sign-out", headers={"X-CSRF-Token": csrf})
    assert (out.status_code, out.headers["clear-site-data"]) == (303, '"cache"')
    assert "session" not in client.cookies
    client.cookies.set("session", kept)
    assert client.get("/").status_code == 303


def test_signing_in_begins_a_session_of_its_own_whatever_was_carried(app: FastAPI) -> None:
    client = browsing(app)
    client.cookies.set("session", "planted-by-another", domain="localhost.local", path="/")
    sign_in(client, "crew")
    first = dict(client.cookies)["session"]
    assert first != "planted-by-another"
    given = {"name": "inspector", "password": PASSWORD}
    csrf = {"X-CSRF-Token": client.get("/api/v1/me").json()["csrf"]}
    told = client.post("/api/v1/session", json=given, headers=csrf)
    assert told.json()["name"] == "inspector"
    assert dict(client.cookies)["session"] not in {first, "planted-by-another"}
    for old in (first, "planted-by-another"):
        other = browsing(app)
        other.cookies.set("session", old)
        assert other.get("/").status_code == 303


def test_a_program_signs_in_and_out(app: FastAPI) -> None:
    client = TestClient(app, base_url="http://localhost")
    assert client.get("/api/v1/survey").status_code == 401
    wrong = client.post("/api/v1/session", json={"name": "crew", "password": "wrong"})
    assert (wrong.status_code, wrong.json()["detail"]) == (403, text("guard.wrong"))
    answer = client.post("/api/v1/session", json={"name": "crew", "password": PASSWORD})
    assert (answer.json()["name"], answer.json()["signed_in"]) == ("crew", True)
    cookies = answer.headers.get_list("set-cookie")
    assert len([c for c in cookies if c.startswith("session=") and "HttpOnly" in c]) == 1
    kept = client.cookies["session"]
    csrf = {"X-CSRF-Token": answer.json()["csrf"]}
    assert client.get("/api/v1/log").status_code == 200
    assert client.delete("/api/v1/session").status_code == 403
    out = client.delete("/api/v1/session", headers=csrf)
    assert (out.status_code, out.json()["signed_in"]) == (200, False)
    assert out.headers["clear-site-data"] == '"cache"'
    client.cookies.set("session", kept)
    assert client.get("/api/v1/log").status_code == 401


def test_a_program_waits_too_and_is_told_how_long(app: FastAPI) -> None:
    client = TestClient(app, base_url="http://localhost")
    wrong = {"name": "crew", "password": "wrong"}
    for number in range(4):
        headers = {"X-Forwarded-For": f"10.0.0.{number}"}
        assert client.post("/api/v1/session", json=wrong, headers=headers).status_code == 403
    answer = client.post("/api/v1/session", json={"name": "crew", "password": PASSWORD})
    assert answer.status_code == 429
    assert answer.headers["content-type"] == "application/problem+json"
    assert 0 < int(answer.headers["retry-after"]) <= 2


def test_where_nobody_signs_in_a_program_is_told_who_it_is(here: FastAPI) -> None:
    client = TestClient(here, base_url="http://localhost")
    answer = client.post("/api/v1/session", json={"name": "any", "password": "any"})
    assert answer.json()["signed_in"] is client.delete("/api/v1/session").json()["signed_in"]
    assert answer.json()["name"] == "engineer"
    assert "session=" not in answer.headers["set-cookie"]


def test_a_session_alone_changes_nothing_on_any_route(app: FastAPI) -> None:
    browser, _ = signed_in(app, "engineer")
    program = TestClient(app, base_url="http://localhost", cookies=dict(browser.cookies))
    changes = [pair for pair in routes(app) if pair[0] not in SAFE]
    assert len([path for _, path in changes if path.startswith("/api/")]) > 20
    for method, path in changes:
        answer = program.request(method, path)
        assert answer.status_code == 403, (method, path)
        assert answer.json()["detail"] == text("guard.csrf"), (method, path)


def test_a_web_socket_is_closed_at_once(here: FastAPI) -> None:
    client = TestClient(here, base_url="http://localhost")
    for path in ("/", "/api/v1/events"):
        with pytest.raises(WebSocketDisconnect) as closed, client.websocket_connect(path):
            pass
        assert closed.value.code == 1008


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/..%2fapp.py",
        "/static/%2e%2e/app.py",
        "/static/..%5capp.py",
        "/static//etc/passwd",
        "/static/%2fetc%2fpasswd",
        "/api/v1/documents/survey/..%2f..%2fjob.tee",
        "/api/v1/documents/../../job.tee",
        "/api/v1/attachments/..%2fjob.tee",
        "/survey/files/..%2fjob.tee",
        "/clock/..%2fsw.js%00",
        "/handover/..%2fjob.tee",
    ],
)
def test_no_path_leads_out_of_what_is_served(here: FastAPI, path: str) -> None:
    client = TestClient(here, base_url="http://localhost", follow_redirects=False)
    url = httpx2.URL("http://localhost").copy_with(raw_path=path.encode())
    answer = client.get(url)
    assert b"SQLite format 3" not in answer.content
    assert b"root:" not in answer.content
    assert b"make_app" not in answer.content
    if not path.startswith("/clock"):  # which answers any name with its one page
        assert answer.status_code == 404, path


def test_private_pages_are_kept_by_nobody_and_framed_by_nobody(app: FastAPI) -> None:
    client, _ = signed_in(app, "engineer")
    shown = [path for method, path in routes(app) if method == "GET"]
    for path in shown:
        answer = client.get(path)
        assert "frame-ancestors 'none'" in answer.headers["content-security-policy"], path
        if not path.startswith(("/static", "/clock/sw.js", "/clock/manifest")):
            assert "no-store" in answer.headers["cache-control"], path


def test_over_https_cookies_cannot_be_planted(tmp_path: Path) -> None:
    made = make_app(Settings(tmp_path / "job.tee", sign_in=True, secure=True))
    client = TestClient(made, base_url="https://localhost", headers=BROWSER)
    cookie = client.get("/sign-in").headers["set-cookie"]
    made.state.office.close()
    assert cookie.startswith("__Host-csrf=")
    assert "Secure" in cookie


def test_wrong_passwords_wait_longer_and_longer(app: FastAPI) -> None:
    client = browsing(app)
    told = [sign_in(client, "crew", "wrong").text for _ in range(4)]
    assert all(text("guard.wrong") in answer for answer in told)
    waits = sign_in(client, "crew")
    assert waits.status_code == 429
    assert 0 < int(waits.headers["retry-after"]) <= 2
    assert "wait" in waits.text
    assert 'value="crew"' in waits.text
    assert client.get("/").status_code == 303


@pytest.mark.parametrize(
    ("back", "goes"),
    [
        ("/needs", "/needs"),
        ("//evil.example", "/"),
        ("https://evil.example", "/"),
        ("/\\evil.example", "/"),
        ("/a\nb", "/"),
        ("", "/"),
    ],
)
def test_signing_in_leads_only_within_this_server(app: FastAPI, back: str, goes: str) -> None:
    client = browsing(app)
    form = {"csrf": token(client), "name": "crew", "back": back}
    form["password"] = "correct horse battery staple"
    assert client.post("/sign-in", data=form).headers["location"] == goes


def test_the_table_is_read_by_whole_names() -> None:
    assert rule_of("GET", "/proofs") is None
    assert rule_of("GET", "/proof/T01-T02/01") is not None
    everyone = [Asker("x", role, signed_in=True) for role in Role]
    assert not any(may(asker, "POST", "/static/x") for asker in everyone)

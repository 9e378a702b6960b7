"""A person gives himself another password: as a program, and on the page."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Page, expect

from faces.web.conftest import OpenPage, served
from faces.web.signing import PASSWORD, guarded, sign_in, signed_in, with_people
from faces.web.test_signin_page import sign_in as fill_in
from teewright.store.schema import ROLES
from teewright.web.app import make_app
from teewright.web.guard.passwords import SHORTEST
from teewright.web.problems import MEDIA_TYPE
from teewright.web.settings import Settings
from teewright.web.texts import text

OTHER = "wet gloves and rain"
PATH = "/api/v1/me/password"
GIVEN = {"present": PASSWORD, "password": OTHER}


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    made = guarded(tmp_path / "job.tee")
    yield made
    made.state.office.close()


@pytest.fixture
def guarded_server(tmp_path: Path) -> Iterator[str]:
    path = with_people(tmp_path / "job.tee", roles=("engineer", "crew"))
    with served(Settings(path, sign_in=True)) as address:
        yield address


@pytest.mark.parametrize("role", ROLES)
def test_all_may_and_other_sessions_end(app: FastAPI, role: str) -> None:
    client, csrf = signed_in(app, role)
    other, _ = signed_in(app, role)
    before = client.cookies["session"]
    answer = client.put(PATH, json=GIVEN, headers=csrf)
    assert (answer.status_code, answer.json()["name"]) == (200, role)
    assert client.cookies["session"] != before
    assert client.get("/api/v1/log").status_code == 200
    assert other.get("/api/v1/log").status_code == 401
    other.cookies.set("session", before)
    assert other.get("/api/v1/log").status_code == 401
    other.cookies.delete("session")
    assert sign_in(other, role).status_code == 403
    assert sign_in(other, role, OTHER).status_code == 303


def test_what_is_wrong_changes_nothing(app: FastAPI) -> None:
    client, csrf = signed_in(app, "crew")
    for given, status in (
        ({**GIVEN, "present": "not that one"}, 403),
        ({**GIVEN, "password": "x" * (SHORTEST - 1)}, 422),
        ({**GIVEN, "password": "x" * 201}, 422),
        ({**GIVEN, "present": "x" * 100_000}, 403),
        ({"password": OTHER}, 422),
        ({**GIVEN, "name": "engineer"}, 422),
    ):
        answer = client.put(PATH, json=given, headers=csrf)
        assert (answer.status_code, answer.headers["content-type"]) == (status, MEDIA_TYPE)
    assert client.get("/api/v1/log").status_code == 200
    assert client.put(PATH, json=GIVEN).status_code == 403  # without the token
    assert signed_in(app, "crew")


def test_the_present_password_is_guessed_no_faster_than_at_the_door(app: FastAPI) -> None:
    client, csrf = signed_in(app, "crew")
    wrong = {**GIVEN, "present": "not that one"}
    told = [client.put(PATH, json=wrong, headers=csrf).status_code for _ in range(5)]
    assert told == [403, 403, 403, 403, 429]
    right = client.put(PATH, json=GIVEN, headers=csrf)
    assert (right.status_code, right.headers["content-type"]) == (429, MEDIA_TYPE)
    assert 0 < int(right.headers["retry-after"]) <= 2
    page = client.post(
        "/me/password",
        data={"present": PASSWORD, "other": OTHER, "once_more": OTHER},
        headers=csrf,
    )
    assert page.status_code == 429
    assert "wait" in page.text


def test_under_its_key_it_is_done_once_and_kept_without_the_password(
    app: FastAPI, tmp_path: Path
) -> None:
    client, csrf = signed_in(app, "crew")
    headers = {**csrf, "Idempotency-Key": "k"}
    first = client.put(PATH, json=GIVEN, headers=headers)
    session = client.cookies["session"]
    again = client.put(PATH, json=GIVEN, headers=headers)
    assert again.headers["idempotency-replayed"] == "true"
    assert again.json() == first.json()
    assert client.cookies["session"] == session
    data = b"".join(path.read_bytes() for path in tmp_path.glob("job.tee*"))
    assert OTHER.encode() not in data
    assert session.encode() not in data


def test_where_nobody_signs_in_there_is_none_to_change(tmp_path: Path) -> None:
    made = make_app(Settings(with_people(tmp_path / "job.tee")))
    with TestClient(made, base_url="http://localhost") as client:
        answer = client.put(PATH, json=GIVEN)
        assert (answer.status_code, answer.headers["content-type"]) == (409, MEDIA_TYPE)
        shown = client.get("/me", headers={"Accept": "text/html"})
        assert text("me.here") in shown.text
        assert "<form class" not in shown.text
        given = {"present": PASSWORD, "other": OTHER, "once_more": OTHER}
        assert client.post("/me/password", data=given).status_code == 409


def fill(page: Page, present: str, other: str, once_more: str) -> None:
    page.get_by_label(text("me.present"), exact=True).fill(present)
    page.get_by_label(text("me.other"), exact=True).fill(other)
    page.get_by_label(text("me.once_more"), exact=True).fill(once_more)
    page.get_by_role("button", name=text("me.act")).click()


def test_on_the_page_from_the_title_block(
    guarded_server: str, open_page: OpenPage, browser: Browser
) -> None:
    page = open_page(guarded_server, "/people", errors=("403", "422"))
    fill_in(page, "engineer")
    elsewhere = open_page(guarded_server, "/", context=browser.new_context())
    fill_in(elsewhere, "engineer")
    page.locator("footer").get_by_role("link", name="engineer, engineer").click()
    expect(page.locator("h1")).to_have_text(
        text("me.answer", name="engineer", role=text("people.role.engineer"))
    )
    for given, said in (
        (("not that one", OTHER, OTHER), text("me.wrong")),
        ((PASSWORD, OTHER, "something else"), text("me.differs")),
        ((PASSWORD, "short", "short"), text("me.length", shortest=10, longest=200)),
    ):
        fill(page, *given)
        expect(page.get_by_role("alert")).to_have_text(said)
        found = Axe().run(page).response["violations"]
        assert [f["id"] for f in found if f["impact"] in {"serious", "critical"}] == []
    fill(page, PASSWORD, OTHER, OTHER)
    expect(page.get_by_role("status")).to_have_text(text("me.done"))
    page.goto(f"{guarded_server}/people")
    expect(page.locator("h1")).to_contain_text("2 people")
    elsewhere.reload()
    expect(elsewhere.locator("h1")).to_have_text(text("signin.answer"))
    fill_in(elsewhere, "engineer", OTHER)
    expect(elsewhere.locator("footer")).to_contain_text("engineer, engineer")

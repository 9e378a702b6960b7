"""Who may sign in, managed by an engineer on the page and over the API."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Page, expect

from faces.web.conftest import OpenPage, served
from faces.web.signing import PASSWORD, guarded, signed_in, with_people
from faces.web.test_signin_page import sign_in as fill_in
from teewright.web.app import make_app
from teewright.web.guard.passwords import LONGEST, SHORTEST
from teewright.web.guard.roles import Role
from teewright.web.problems import MEDIA_TYPE
from teewright.web.settings import Settings
from teewright.web.texts import text

GIVEN = "wet gloves and rain"


@pytest.fixture
def guarded_server(tmp_path: Path) -> Iterator[str]:
    path = with_people(tmp_path / "job.tee", roles=("engineer", "crew"))
    with served(Settings(path, sign_in=True)) as address:
        yield address


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    made = guarded(tmp_path / "job.tee")
    yield made
    made.state.office.close()


def people_page(address: str, open_page: OpenPage, *, errors: tuple[str, ...] = ()) -> Page:
    page = open_page(address, "/people", errors=errors)
    fill_in(page, "engineer")
    expect(page).to_have_url(f"{address}/people")
    return page


def row(page: Page, name: str) -> Page:
    """Opens the line of someone; what is in it is found by its label."""
    own = page.locator("b").filter(has_text=re.compile(rf"^{name}( \(.*\))?$"))
    page.locator(".people summary").filter(has=own).click()
    return page


def test_an_engineer_lets_someone_in_who_signs_in_with_what_is_shown_once(
    guarded_server: str, open_page: OpenPage, browser: Browser
) -> None:
    page = people_page(guarded_server, open_page)
    expect(page.locator("h1")).to_have_text("2 people may sign in: 1 engineer, 1 crew")
    page.get_by_label(text("people.add_name"), exact=True).fill("QX")
    page.get_by_label(text("people.add_role"), exact=True).select_option("inspector")
    page.get_by_role("button", name=text("people.add_act"), exact=True).click()
    expect(page.get_by_role("status")).to_contain_text(text("people.once_added", name="QX"))
    shown = page.locator(".secret").inner_text()
    assert len(shown.replace("-", "")) == 16
    expect(page.locator(".people")).to_contain_text("QX")
    page.goto(f"{guarded_server}/people")
    assert shown not in page.content()
    other = open_page(guarded_server, "/", context=browser.new_context())
    fill_in(other, "QX", shown)
    expect(other.locator("footer")).to_contain_text("QX, inspector")
    page.reload()
    expect(page.locator(".people li").filter(has_text="QX")).to_contain_text("signed in 2")
    assert other.get_by_role("link", name=text("common.rooms.people")).count() == 0


def test_another_password_and_removal_sign_someone_out_at_once(
    guarded_server: str, open_page: OpenPage, browser: Browser
) -> None:
    page = people_page(guarded_server, open_page)
    crew = open_page(guarded_server, "/proof", context=browser.new_context(), errors=("403",))
    fill_in(crew, "crew")
    expect(crew.locator("footer")).to_contain_text("crew, crew")
    row(page, "crew").get_by_label(text("people.password_of", name="crew")).fill(GIVEN)
    page.get_by_role("button", name=text("people.password_act")).locator("visible=true").click()
    expect(page.get_by_role("status")).to_have_text(text("people.given_changed", name="crew"))
    assert GIVEN not in page.content()
    crew.reload()
    expect(crew.locator("h1")).to_have_text(text("signin.answer"))
    fill_in(crew, "crew", PASSWORD)
    expect(crew.get_by_role("alert")).to_have_text(text("guard.wrong"))
    fill_in(crew, "crew", GIVEN)
    expect(crew.locator("footer")).to_contain_text("crew, crew")
    row(page, "crew").get_by_role("button", name=text("people.remove_act", name="crew")).click()
    expect(page.locator("h1")).to_have_text("One person may sign in: 1 engineer")
    crew.reload()
    expect(crew.locator("h1")).to_have_text(text("signin.answer"))


def test_another_role_holds_at_once_and_the_last_engineer_keeps_it(
    guarded_server: str, open_page: OpenPage, browser: Browser
) -> None:
    page = people_page(guarded_server, open_page)
    crew = open_page(guarded_server, "/proof", context=browser.new_context())
    fill_in(crew, "crew")
    expect(crew.locator("footer")).to_contain_text("crew, crew")
    row(page, "engineer")
    expect(page.get_by_text(text("people.last_engineer"))).to_be_visible()
    assert page.get_by_label(text("people.role_of", name="engineer")).count() == 0
    row(page, "crew").get_by_label(text("people.role_of", name="crew")).select_option("engineer")
    page.get_by_role("button", name=text("people.role_act")).locator("visible=true").click()
    expect(page.locator("h1")).to_have_text("2 people may sign in: 2 engineer")
    crew.goto(f"{guarded_server}/people")
    expect(crew.locator("footer")).to_contain_text("crew, engineer")
    words = text("people.remove_act", name="engineer")
    row(page, "engineer").get_by_role("button", name=words).click()
    expect(page.locator("h1")).to_have_text(text("signin.answer"))


def test_what_is_wrong_is_said_at_its_field_and_what_was_typed_stays(
    guarded_server: str, open_page: OpenPage
) -> None:
    page = people_page(guarded_server, open_page, errors=("422",))
    name = page.get_by_label(text("people.add_name"), exact=True)
    name.fill("CREW")
    page.get_by_label(text("people.add_role"), exact=True).select_option("client")
    page.get_by_role("button", name=text("people.add_act"), exact=True).click()
    expect(page.get_by_role("alert")).to_have_text(text("people.name_taken"))
    expect(name).to_have_value("CREW")
    expect(name).to_have_attribute("aria-describedby", "name-fault")
    expect(page.get_by_label(text("people.add_role"), exact=True)).to_have_value("client")
    name.fill("ST")
    page.get_by_label(text("people.add_password"), exact=True).fill("short")
    page.get_by_role("button", name=text("people.add_act"), exact=True).click()
    said = text("people.password_length", shortest=SHORTEST, longest=LONGEST)
    expect(page.get_by_role("alert")).to_have_text(said)
    row(page, "crew").get_by_label(text("people.password_of", name="crew")).fill("short")
    page.get_by_role("button", name=text("people.password_act")).locator("visible=true").click()
    expect(page.locator(".acts").get_by_role("alert")).to_have_text(said)
    expect(page.locator("h1")).to_have_text("2 people may sign in: 1 engineer, 1 crew")


@pytest.mark.parametrize("width", [1440, 1024, 390])
def test_an_office_without_people_is_told_what_for(
    empty_server: str, open_page: OpenPage, width: int
) -> None:
    page = open_page(empty_server, "/", width=width)
    page.get_by_role("link", name=text("common.rooms.people")).click()
    expect(page.locator("h1")).to_have_text(text("people.answer_none"))
    expect(page.get_by_text(text("people.what_for"))).to_be_visible()
    expect(page.get_by_text(text("people.here"))).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.get_by_label(text("people.add_name"), exact=True).fill("AB")
    page.get_by_role("button", name=text("people.add_act"), exact=True).click()
    expect(page.locator("h1")).to_have_text("One person may sign in: 1 engineer")
    row(page, "AB")
    found = Axe().run(page).response["violations"]
    assert [v["id"] for v in found if v["impact"] in {"serious", "critical"}] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize("role", [r for r in Role if r is not Role.ENGINEER])
def test_it_is_nobody_elses_business(app: FastAPI, role: Role) -> None:
    client, csrf = signed_in(app, role.value)
    assert client.get("/people").status_code == 403
    assert "/people" not in client.get("/proof").text
    for method, path in (("GET", ""), ("POST", ""), ("PUT", "/x/role"), ("DELETE", "/x")):
        answer = client.request(method, f"/api/v1/people{path}", headers={**csrf, "Accept": "*/*"})
        assert answer.status_code == 403
        assert answer.json()["detail"] == text("guard.role", role=role.value)


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    made = make_app(Settings(tmp_path / "job.tee"))
    with TestClient(made, base_url="http://localhost") as client:
        yield client


def add(client: TestClient, name: str, role: str = "crew", **more: str) -> str:
    answer = client.post("/api/v1/people", json={"name": name, "role": role, **more})
    assert answer.status_code == 201, answer.text
    return str(answer.json()["person"]["id"])


def test_a_program_lets_people_in_and_out(client: TestClient) -> None:
    engineer, crew = add(client, "AB", "engineer"), add(client, "RS")
    assert client.put(f"/api/v1/people/{crew}/role", json={"role": "client"}).json()["name"] == "RS"
    told = [(p["name"], p["role"], p["signed_in"]) for p in client.get("/api/v1/people").json()]
    assert told == [("AB", "engineer", None), ("RS", "client", None)]
    assert "secret" not in client.get("/api/v1/people").text
    for method, path, body in (
        ("DELETE", engineer, None),
        ("PUT", f"{engineer}/role", {"role": "crew"}),
    ):
        refused = client.request(method, f"/api/v1/people/{path}", json=body)
        assert refused.status_code == 422
        assert refused.headers["content-type"] == MEDIA_TYPE
        assert "is the last engineer" in refused.json()["detail"]
    left = client.delete(f"/api/v1/people/{crew}").json()
    assert [person["name"] for person in left] == ["AB"]
    assert client.delete(f"/api/v1/people/{crew}").status_code == 404
    again = client.post("/api/v1/people", json={"name": "RS", "role": "crew"})
    assert "whose name stays in the log" in again.json()["detail"]


@pytest.mark.parametrize(
    "body",
    [
        {"name": "", "role": "crew"},
        {"name": "AB"},
        {"name": "AB", "role": "owner"},
        {"name": "AB", "role": "crew", "password": "short"},
        {"name": "AB", "role": "crew", "password": ""},
        {"name": "AB", "role": "crew", "secret": "x"},
    ],
)
def test_who_cannot_be_added_is_refused_with_a_sentence(
    client: TestClient, body: dict[str, str]
) -> None:
    answer = client.post("/api/v1/people", json=body)
    assert answer.status_code == 422
    assert answer.headers["content-type"] == MEDIA_TYPE
    assert answer.json()["detail"].strip()
    assert client.get("/api/v1/people").json() == []


def test_a_password_that_was_made_is_told_once_and_kept_nowhere(
    client: TestClient, tmp_path: Path
) -> None:
    sent = {"json": {"name": "RS", "role": "crew"}, "headers": {"Idempotency-Key": "k1"}}
    first, again = (client.post("/api/v1/people", **sent) for _ in range(2))  # type: ignore[arg-type]  # as keywords
    password = first.json()["password"]
    assert len(password) == 19
    assert again.headers["idempotency-replayed"] == "true"
    assert again.json() == {**first.json(), "password": None}
    assert len(client.get("/api/v1/people").json()) == 1
    person = first.json()["person"]["id"]
    other = client.put(
        f"/api/v1/people/{person}/password",
        json={"password": GIVEN},
        headers={"Idempotency-Key": "k2"},
    )
    assert other.json() == {"person": first.json()["person"], "password": None}
    data = b"".join(path.read_bytes() for path in tmp_path.glob("job.tee*"))
    assert password.encode() not in data
    assert GIVEN.encode() not in data


def test_who_was_let_in_by_a_program_signs_in(app: FastAPI) -> None:
    client, csrf = signed_in(app, "engineer")
    made = client.post("/api/v1/people", json={"name": "RS", "role": "crew"}, headers=csrf).json()
    program = TestClient(app, base_url="http://localhost")
    given = {"name": "RS", "password": made["password"]}
    told = program.post("/api/v1/session", json=given).json()
    assert (told["name"], told["role"], told["signed_in"]) == ("RS", "crew", True)

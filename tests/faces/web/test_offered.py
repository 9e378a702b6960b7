"""Who may not do a thing is not offered it: no form, no button and no key that then refuses."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from faces.web.conftest import OpenPage, serving
from faces.web.night import address_of
from faces.web.signing import guarded, signed_in
from faces.web.test_signin_page import sign_in
from teewright.web.guard.roles import Asker, Role, may
from teewright.web.texts import text

PAGES = (
    "/", "/survey", "/survey/runs/T01-T02", "/needs", "/collars", "/collars/T01-T02/01",
    "/collars/T01-T02/01?angle=75", "/day", "/day/T01-T02/01", "/programme", "/proof",
    "/proof/T01-T02/02", "/handover", "/price", "/me",
)  # fmt: skip
SENT_TO = re.compile(
    r'<form[^>]*method="post"[^>]*action="([^"]+)"|(?:formaction|hx-post)="([^"]+)"'
)
LOOKERS = (Role.CREW, Role.INSPECTOR, Role.CLIENT)
WORK = "T02-T03/01#1"
"""It is held under pressure in the job that has been begun."""


def offered(page: str) -> set[str]:
    """Addresses to which the forms of a page send."""
    return {one or other for one, other in SENT_TO.findall(page)}


@pytest.mark.parametrize("role", LOOKERS)
def test_no_page_offers_what_would_be_refused(begun_project: Path, role: Role) -> None:
    app = guarded(begun_project)
    client, _ = signed_in(app, role.value)
    asker = Asker(role.value, role, signed_in=True)
    for path in PAGES:
        answer = client.get(path)
        assert answer.status_code == 200, path
        found = offered(answer.text)
        assert "/sign-out" in found  # or the forms were not found at all
        assert [to for to in found if not may(asker, "POST", to)] == [], path


def test_an_engineer_is_offered_all_of_it(begun_project: Path) -> None:
    client, _ = signed_in(guarded(begun_project), "engineer")
    found = set().union(*(offered(client.get(path).text) for path in PAGES))
    assert {
        "/survey/files", "/survey/files/remove", "/survey/corrections", "/needs/decide",
        "/survey/runs/fields", "/survey/runs/measures", "/collars/-/make", "/programme/replan",
    } <= found  # fmt: skip


@pytest.fixture
def guarded_server(begun_project: Path) -> Iterator[str]:
    with serving(guarded(begun_project)) as address:
        yield address


def buttons(page: Page) -> set[str]:
    """Words of the buttons of the sheet that is worked at."""
    return set(page.locator("article").first.locator("button:visible").all_inner_texts())


@pytest.mark.parametrize(
    ("role", "given"),
    [
        ("client", {text("clock.act.list")}),
        ("inspector", {text("clock.act.list"), "Note or photo"}),
    ],
)
def test_the_clock_offers_what_may_be_logged(
    guarded_server: str, open_page: OpenPage, role: str, given: set[str]
) -> None:
    page = open_page(guarded_server, "/sign-in")
    sign_in(page, role)
    page.goto(guarded_server + address_of(WORK))
    expect(page.locator(".how")).to_contain_text(text("clock.todo.looks"))
    folded = re.compile(text("clock.log_more").split("{")[0])
    assert {words for words in buttons(page) if not folded.match(words)} >= given
    for act in ("reading", "abort", "other", "mixed"):
        assert not [one for one in buttons(page) if text(f"clock.act.{act}") in one]
    page.locator(".acts .act").first.click()
    expect(page).to_have_url(guarded_server + "/clock")


def test_who_may_not_move_a_bar_reads_it(guarded_server: str, open_page: OpenPage) -> None:
    page = open_page(guarded_server, "/sign-in")
    sign_in(page, "client")
    page.goto(guarded_server + "/programme")
    expect(page.locator("#chosen-said")).to_have_text(text("programme.hint_looks"))
    bar = page.locator(".bar").first
    name = bar.get_attribute("data-visit")
    bar.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#chosen-name")).to_have_text(name or "")
    expect(page.locator("#aloud")).to_have_text(text("programme.js.looks"))
    expect(page.locator("#ghost")).to_be_hidden()
    box = bar.locator(".grip").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 10, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + 80, box["y"] + 20, steps=4)
    expect(page.locator("#ghost")).to_be_hidden()
    page.mouse.up()
    page.keyboard.press("f")
    expect(page.locator(".changes")).to_have_count(0)
    expect(page.locator("#chosen [data-to=clock]")).to_be_visible()


@pytest.mark.parametrize("path", ["/needs", "/survey/runs/T01-T02"])
def test_keys_that_decide_do_nothing_for_who_may_not(
    guarded_server: str, open_page: OpenPage, path: str
) -> None:
    page = open_page(guarded_server, "/sign-in")
    sign_in(page, "inspector")
    page.goto(guarded_server + path)
    page.keyboard.press("j")
    expect(page.locator("[aria-current=true]").first).to_be_visible()
    page.keyboard.press("l")
    page.keyboard.press("z")
    expect(page.locator("dialog")).to_have_count(0)
    expect(page).to_have_url(re.compile(re.escape(guarded_server + path)))


def test_who_may_not_log_a_step_may_not_take_it_back(begun_project: Path) -> None:
    app = guarded(begun_project)
    client, head = signed_in(app, "inspector")
    log = client.get("/api/v1/events").json()["events"]
    own = [event for event in log if event["installation"] == "T01-T02/01#1"]
    sent = [
        {
            "id": f"back-{kind}", "installation": "T01-T02/01#1", "kind": "corrected",
            "at": "2027-05-05T08:00:00+02:00", "device": "tablet-9", "sequence": number,
            "person": "inspector",
            "data": [["event", next(e["id"] for e in own if e["kind"] == kind)], ["void", "yes"],
                     ["reason", "it is wrong"]],
        }
        for number, kind in enumerate(("mixed", "inspected"), 1)
    ]  # fmt: skip
    told = client.post("/api/v1/events", json={"events": sent}, headers=head).json()["answers"]
    assert [(one["kept"], one["status"]) for one in told] == [(False, 403), (True, 200)]
    said = text("clock.not_yours_to_correct", role="inspector", kind="mixed")
    assert told[0]["said"] == said
    crew, head = signed_in(app, "crew")
    again = crew.post("/api/v1/events", json={"events": sent[:1]}, headers=head).json()["answers"]
    assert again[0]["kept"]

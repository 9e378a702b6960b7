"""Signing in and out, in a browser and before a real server."""

import http.client
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, expect

from faces.web.conftest import OpenPage, serving
from faces.web.signing import PASSWORD, guarded
from teewright.web.texts import text

LARGEST = 200_000


@pytest.fixture
def guarded_server(begun_project: Path) -> Iterator[str]:
    """Address of a server of a job under way, where people must sign in."""
    with serving(guarded(begun_project, largest_upload=LARGEST)) as address:
        yield address


def sign_in(page: Page, name: str, password: str = PASSWORD) -> None:
    page.get_by_label(text("signin.name")).fill(name)
    page.get_by_label(text("signin.password")).fill(password)
    page.get_by_role("button", name=text("signin.act")).click()


def test_one_signs_in_looks_and_signs_out(guarded_server: str, open_page: OpenPage) -> None:
    page = open_page(guarded_server, "/handover", errors=("403",))
    expect(page.locator("h1")).to_have_text(text("signin.answer"))
    sign_in(page, "engineer", "not the password")
    expect(page.get_by_role("alert")).to_have_text(text("guard.wrong"))
    expect(page.get_by_label(text("signin.name"))).to_have_value("engineer")
    sign_in(page, "engineer")
    expect(page).to_have_url(f"{guarded_server}/handover")
    expect(page.locator("footer")).to_contain_text("engineer, engineer")
    cookies = {c["name"]: c for c in page.context.cookies()}
    assert cookies["session"]["httpOnly"]
    assert cookies["session"]["sameSite"] == "Lax"
    assert page.evaluate("document.cookie") == ""
    page.get_by_role("button", name=text("common.sign_out")).click()
    expect(page.locator("h1")).to_have_text(text("signin.answer"))
    page.goto(f"{guarded_server}/proof")
    expect(page.locator("h1")).to_have_text(text("signin.answer"))


def test_a_client_sees_everything_and_is_offered_no_change(
    guarded_server: str, open_page: OpenPage
) -> None:
    page = open_page(guarded_server, "/proof/T01-T02/02")
    sign_in(page, "client")
    expect(page).to_have_url(f"{guarded_server}/proof/T01-T02/02")
    expect(page.get_by_role("img").first).to_be_visible()
    assert page.get_by_label(text("proof.decision_label")).count() == 0
    page.goto(f"{guarded_server}/handover")
    assert page.get_by_role("button", name=text("handover.pack_make")).count() == 0
    page.get_by_role("button", name=text("common.night")).click()
    expect(page.locator("html")).to_have_class("night")


def test_after_wrong_passwords_one_is_told_to_wait(
    begun_project: Path, open_page: OpenPage
) -> None:
    passed = 0.0
    with serving(guarded(begun_project, clock=lambda: passed)) as address:
        page = open_page(address, "/sign-in", errors=("403", "429"))
        for _ in range(4):
            with page.expect_navigation():  # or the answer before is taken for this one
                sign_in(page, "crew", "wrong")
            expect(page.get_by_role("alert")).to_have_text(text("guard.wrong"))
        sign_in(page, "crew")
        expect(page.get_by_role("alert")).to_contain_text("wait 2 seconds")
        passed = 2.1
        sign_in(page, "crew")
        expect(page.locator("footer")).to_contain_text("crew, crew")


def test_scripts_of_the_page_carry_the_token(guarded_server: str, open_page: OpenPage) -> None:
    page = open_page(guarded_server, "/", errors=("403", "404"))
    sign_in(page, "engineer")
    expect(page.locator("footer")).to_be_visible()
    ask = """async (csrf) => (await fetch("/api/v1/tasks/x/cancel", {method: "POST",
      headers: csrf ? {"X-CSRF-Token": document.body.dataset.csrf} : {}})).status"""
    assert page.evaluate(ask, arg=True) == 404
    assert page.evaluate(ask, arg=False) == 403


def test_a_page_of_another_server_cannot_send_a_form_here(
    guarded_server: str, empty_server: str, open_page: OpenPage
) -> None:
    page = open_page(guarded_server, "/", errors=("403", "form-action"))
    sign_in(page, "engineer")
    expect(page.locator("footer")).to_be_visible()
    foreign = page.context.new_page()
    foreign.route("**/elsewhere", lambda route: route.fulfill(
        content_type="text/html",
        body=f'<form method="post" action="{guarded_server}/choices"><button>x</button></form>',
    ))  # fmt: skip
    foreign.goto(empty_server.replace("localhost", "127.0.0.1") + "/elsewhere")
    with foreign.expect_response(f"{guarded_server}/choices") as answer:
        foreign.get_by_role("button").click()
    assert answer.value.status == 403
    assert text("guard.foreign") in answer.value.text()


@pytest.mark.parametrize("tells", [True, False])
def test_a_large_upload_is_told_over_the_wire(guarded_server: str, tells: bool) -> None:
    place = urlsplit(guarded_server)
    wire = http.client.HTTPConnection("localhost", place.port, timeout=20)
    body = b"x" * (LARGEST + 100_000)
    try:
        if tells:
            wire.request("POST", "/sign-in", body=body)
        else:
            headers = {"Content-Type": "application/x-www-form-urlencoded"}
            parts = (body[k : k + 10_000] for k in range(0, len(body), 10_000))
            wire.request("POST", "/sign-in", body=parts, headers=headers, encode_chunked=True)
        answer = wire.getresponse()
        assert answer.status == 413
        assert b"at most" in answer.read()
    finally:
        wire.close()


def test_a_browser_reads_why_its_upload_is_refused(
    guarded_server: str, open_page: OpenPage
) -> None:
    page = open_page(guarded_server, "/", errors=("413",))
    sign_in(page, "engineer")
    expect(page.locator("footer")).to_be_visible()
    send = """async () => { const form = new FormData();
      form.append("file", new Blob([new Uint8Array(390000)]), "a.txt");
      const answer = await fetch("/api/v1/documents", {method: "POST", body: form,
        headers: {"X-CSRF-Token": document.body.dataset.csrf}});
      return [answer.status, (await answer.json()).detail]; }"""
    status, said = page.evaluate(send)
    assert status == 413
    assert said == text("guard.too_large", most=f"{LARGEST / 2**20:.4g} MB")

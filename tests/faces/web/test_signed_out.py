"""After sign-out on a shared tablet: nothing of the job is left in what the browser keeps of
answers, and the clock still runs alone."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Page, expect

from faces.web.conftest import OpenPage, served
from faces.web.night import TWO, address_of
from faces.web.signing import with_people
from faces.web.test_clock_battery import press
from faces.web.test_signin_page import sign_in
from teewright.web.settings import Settings
from teewright.web.texts import text

KEPT = """async (address) => {
    try {
        return (await fetch(address, { cache: "only-if-cached", mode: "same-origin" })).status;
    } catch { return 0; }
}"""
"""Status of what the browser's cache has under an address; 0 or 504 where it has nothing."""
SHOWN = """(address) => new Promise((done) => {
    const image = new Image();
    image.onload = image.onerror = () => done(image.naturalWidth);
    image.src = address;
})"""
"""Width of a picture as a page shows it [px], 0 where there is none."""
SEND_PHOTO = """async () => {
    const canvas = new OffscreenCanvas(64, 64);
    canvas.getContext("2d").fillRect(0, 0, 32, 32);
    const blob = await canvas.convertToBlob({ type: "image/jpeg" });
    const bytes = new Uint8Array(await blob.arrayBuffer());
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    const sha256 = [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    const photo = { sha256, media_type: "image/jpeg", data: btoa(String.fromCharCode(...bytes)) };
    const event = { id: "n-1", installation: "T01-T02/02#1", kind: "note", sequence: 1,
        at: "2027-05-05T12:00:00.000+02:00", device: "tablet-1", person: "crew",
        data: [["text", "wet"], ["photo", sha256]], attachments: [photo] };
    const headers = { "Content-Type": "application/json",
        "X-CSRF-Token": document.body.dataset.csrf };
    const answer = await fetch("/api/v1/events",
        { method: "POST", headers, body: JSON.stringify({ events: [event] }) });
    return [(await answer.json()).answers[0].kept, sha256];
}"""


@pytest.fixture
def guarded_server(begun_project: Path) -> Iterator[str]:
    with served(Settings(with_people(begun_project), quick=True, sign_in=True)) as address:
        yield address


def nothing_kept(page: Page, address: str) -> bool:
    return page.evaluate(KEPT, address) in {0, 504}


def sign_out(page: Page) -> None:
    page.get_by_role("button", name=text("common.sign_out")).click()
    expect(page.locator("h1")).to_have_text(text("signin.answer"))


def test_a_photo_and_a_map_are_gone(guarded_server: str, open_page: OpenPage) -> None:
    page = open_page(guarded_server, "/proof", errors=("401", "ERR_"))
    sign_in(page, "crew")
    expect(page).to_have_url(f"{guarded_server}/proof")
    told = page.evaluate(SEND_PHOTO)
    assert told[0]
    photo = f"/api/v1/attachments/{told[1]}"
    plan = page.evaluate("fetch('/api/v1/clock').then((a) => a.json())")
    pattern = plan["collars"][0]["pattern"]
    shape = f"/api/v1/collars/{pattern}/map"
    for address in (photo, shape):
        assert page.evaluate("(at) => fetch(at).then((a) => a.ok)", address)
    assert nothing_kept(page, photo)
    assert not nothing_kept(page, shape)  # so it can be told that it goes
    assert page.evaluate(SHOWN, photo) == 64
    page.goto(f"{guarded_server}/proof/T01-T02/02")
    sign_out(page)
    assert nothing_kept(page, shape)
    assert nothing_kept(page, photo)
    assert page.evaluate(SHOWN, photo) == 0
    assert page.evaluate("(at) => fetch(at).then((a) => a.status)", photo) == 401
    page.go_back()  # to the page that was left
    expect(page.locator("h1")).to_have_text(text("signin.answer"))
    page.context.set_offline(True)
    assert page.evaluate(SHOWN, photo) == 0
    for address in (photo, "/proof/T01-T02/02", "/proof"):
        with pytest.raises(Error, match="ERR_INTERNET_DISCONNECTED"):
            page.goto(guarded_server + address)


def test_the_clock_and_what_is_not_sent_stay(
    guarded_server: str, open_page: OpenPage, browser: Browser
) -> None:
    context = browser.new_context()
    page = open_page(guarded_server, "/clock", context=context, errors=("401", "ERR_"))
    sign_in(page, "crew")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    page.goto(guarded_server + address_of(TWO))
    context.route("**/api/v1/events*", lambda route: route.abort())  # no entry is sent
    press(page, "Mixed")
    expect(page.locator("#unsent")).to_have_attribute("data-count", "1")
    page.goto(f"{guarded_server}/proof")
    sign_out(page)
    context.set_offline(True)
    page.goto(guarded_server + address_of(TWO))
    expect(page.locator("#unsent")).to_have_attribute("data-count", "1")
    expect(page.get_by_role("article", name=TWO)).to_contain_text("Wet-out done")
    context.close()

"""The clock at the manhole in a real browser: one night, with a signal and without."""

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from faces.web.conftest import free_port, served, whole
from faces.web.night import (
    ONE,
    STEPS,
    TWO,
    Tablet,
    address_of,
    server_log,
    tablet,
)
from teewright.web.settings import Settings


@pytest.fixture(scope="module")
def browser(browser: Browser) -> Iterator[Browser]:
    """Chromium with all that belongs to it: these are the nights and days that must be real."""
    with whole(browser) as made:
        yield made


def kinds(page: Page, address: str) -> list[str]:
    return [event["kind"] for event in server_log(page, address)]


def test_a_whole_installation_by_clicking(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        latest, release = crew.limit("latest_inflation"), crew.limit("release")
        page.get_by_label("Batch number").fill("B-0512-3")
        page.get_by_label("Resin, when mixed").fill("14.2")
        crew.act("Mixed")
        crew.later(240)
        assert abs(crew.seconds() - (latest - 240)) < 8
        for step in STEPS[1:4]:
            crew.act(step)
        expect(page.locator(".next h1")).to_contain_text("Inflate to 1.")
        crew.act("At pressure")
        crew.gauge("0.98")
        expect(page.locator(".next h1")).to_contain_text("Hold. Read the gauge at")
        crew.later(release - 1200)
        expect(page.locator(".next h1")).to_contain_text("Hold. Read the gauge now")
        crew.act("Gauge read")
        crew.gauge("0.97")
        crew.later(1000)
        crew.act("Released")
        crew.act("Packer out")
        for value in ("100", "98"):
            test = page.locator(".acts .act").filter(has_text="est reading").first
            test.click()
            crew.gauge(value)
        crew.act("Inspected")
        page.get_by_role("button", name="Nothing to note").click()
        expect(page.locator(".next h1")).to_have_text("Set, tested and inspected")
        crew.until_sent()
        log = server_log(page, demo_server)
        assert [e["kind"] for e in log] == [
            "mixed", "wet-out", "lowered", "in-place", "at-pressure", "reading", "reading",
            "released", "out", "test-reading", "test-reading", "inspected",
        ]  # fmt: skip
        mixed = dict(log[0]["data"])
        assert mixed["batch"] == "B-0512-3"
        assert float(mixed["temperature"]) == pytest.approx(287.35)
        assert float(dict(log[5]["data"])["pressure"]) == pytest.approx(98_000)
        assert dict(log[9]["data"])["method"] == "LC"
        assert [e["sequence"] for e in log] == list(range(1, 13))
        assert page.locator(".warns li").all_inner_texts() == []


def test_offline_through_reloads_the_figures_stay_true(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.keep()
        latest = crew.limit("latest_inflation")
        crew.act("Mixed")
        crew.until_sent()
        crew.offline()
        mixed_at = crew.now()
        for number, step in enumerate(STEPS[1:4], start=1):
            crew.act(step)
            crew.later(120)
            page.reload()
            expect(page.locator(".next h1")).to_be_visible()
            passed = (crew.now() - mixed_at).total_seconds()
            assert abs(crew.seconds() - (latest - passed)) < 15
            assert crew.unsent() == number
            expect(page.locator("#signal")).to_contain_text("no signal")
        crew.act("At pressure")
        crew.gauge("1.00")
        page.goto(demo_server + "/clock")
        expect(page.locator("h1")).to_contain_text("T02-T03/03 runs now")
        page.get_by_role("link", name="T02-T03/03").click()
        assert "At pressure" in " ".join(crew.lines())
        crew.offline(off=False)
        crew.until_sent()
        assert kinds(page, demo_server) == [
            "mixed", "wet-out", "lowered", "in-place", "at-pressure", "reading",
        ]  # fmt: skip


def test_too_late_is_told_and_the_batch_given_up(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        page.evaluate(
            """() => {
              globalThis.shaken = [];
              navigator.vibrate = (pattern) => globalThis.shaken.push(pattern.length);
            }"""
        )
        crew.up_to("Packer lowered")
        crew.later(crew.seconds() - 605)
        heard = []
        for minutes in (0.2, 5, 3, 2):
            crew.later(minutes * 60)
            heard.append(page.locator("#told").get_attribute("data-alarm"))
        assert heard == ["10", "5", "2", "0"]
        assert page.evaluate("globalThis.shaken") == [2, 4, 6, 12]
        expect(page.locator(".next h1")).to_have_text("Do not inflate. Bring it out")
        expect(page.locator(".times .now dt")).to_have_text("Past latest inflation")
        crew.act("Out, given up")
        expect(page.locator(".next h1")).to_have_text("Given up")
        page.get_by_role("button", name="Begin attempt 2").click()
        expect(page.locator(".next h1")).to_contain_text("Mix the batch")
        expect(page.locator(".sheet-top b").first).to_have_text(f"{ONE[:-2]}, attempt 2")
        crew.until_sent()
        last = server_log(page, demo_server)[-1]
        assert (last["kind"], dict(last["data"])["reason"]) == ("aborted", "Too late to inflate")


def test_abort_is_held_and_asks_for_its_reason(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.act("Mixed")
        crew.until_sent()
        stop = page.locator(".stop")
        expect(stop).to_be_visible()
        stop.hover()
        page.mouse.down()
        crew.run(1500)
        page.mouse.up()
        crew.run(1500)
        assert page.get_by_role("dialog").count() == 0
        page.mouse.down()
        crew.run(2500)
        page.mouse.up()
        page.get_by_role("button", name="Packer is stuck").click()
        expect(page.locator(".next h1")).to_have_text("Given up")
        assert crew.lines()[0].endswith("Packer is stuck") or "Packer is stuck" in crew.lines()[0]


def test_a_clock_that_is_set_moves_no_deadline_and_is_noted(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.act("Mixed")
        crew.until_sent()
        crew.offline()
        before = crew.seconds()
        page.evaluate("""() => { const now = Date.now; Date.now = () => now() + 1800 * 1000; }""")
        crew.later(60)
        assert abs(before - crew.seconds() - 60) < 8
        expect(page.locator(".warns")).to_contain_text("was moved by +30:0")
        assert any("Clock of the tablet moved by 1800 s" in line for line in crew.lines())


def test_a_dead_tablet_counts_its_time_against_the_crew_until_a_watch_tells(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.keep()
        crew.up_to("At pressure")
        crew.until_sent()
        crew.later(1200)
        crew.offline()
        page.wait_for_timeout(100)
        certain = crew.seconds()
        page.goto("about:blank")
        crew.later(1500)
        page.goto(demo_server + address_of(ONE))
        expect(page.locator(".warns")).to_contain_text("The time is in doubt by")
        assert abs(crew.seconds() - certain) < 15  # the wait goes on from what is certain
        page.locator(".warns").get_by_role("button", name="Confirm the time").click()
        page.get_by_role("button", name="The same: ").click()
        expect(page.locator(".warns")).to_have_count(0)
        assert abs(crew.seconds() - (certain - 1500)) < 15
        assert any("Time confirmed by another watch" in line for line in crew.lines())


def test_an_answer_that_is_lost_does_no_harm(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        handled: list[int] = []

        def lost(route: Route) -> None:
            if route.request.method == "POST" and len(handled) < 3:
                handled.append(route.fetch().status)
                route.abort()
            else:
                route.fallback()

        crew.context.route("**/api/v1/events", lost)
        crew.up_to("In place")
        crew.until_sent()
        assert handled == [200, 200, 200]
        assert kinds(page, demo_server) == ["mixed", "wet-out", "lowered", "in-place"]


def test_who_is_signed_out_is_told_where_to_sign_in(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.act("Mixed")
        crew.until_sent()
        crew.context.route("**/api/v1/**", lambda route: route.fulfill(status=401, json={}))
        crew.act("Wet-out done")
        crew.run(2000)
        link = page.get_by_role("link", name="Signed out: sign in to send")
        expect(link).to_have_attribute("href", re.compile("^/sign-in"))
        assert crew.unsent() == 1


def test_the_server_stopped_and_started(demo_project: Path, browser: Browser) -> None:
    port = free_port()
    with served(Settings(demo_project, quick=True), port) as address:
        context = tablet(browser, address)
        crew = context.__enter__()
        crew.open()
        crew.act("Mixed")
        crew.until_sent()
    crew.act("Wet-out done")
    crew.act("Packer lowered")
    assert crew.unsent() == 2
    with served(Settings(demo_project, quick=True), port):
        crew.until_sent()
        assert kinds(crew.page, address) == ["mixed", "wet-out", "lowered"]
        context.__exit__(None, None, None)


def test_a_server_put_back_to_an_older_copy_gets_the_entries_again(
    demo_project: Path, tmp_path: Path, browser: Browser
) -> None:
    port = free_port()
    older = Path(shutil.copy(demo_project, tmp_path / "older.tee"))
    with served(Settings(demo_project, quick=True), port) as address:
        context = tablet(browser, address)
        crew = context.__enter__()
        crew.open()
        crew.up_to("Packer lowered")
        crew.until_sent()
        crew.until_heard(3)
        before = [event["id"] for event in server_log(crew.page, address)]
    with served(Settings(older, quick=True), port):
        crew.until(
            lambda: len(server_log(crew.page, address)) == len(before), "they did not come again"
        )
        assert [event["id"] for event in server_log(crew.page, address)] == before
        expect(crew.page.locator(".next h1")).to_contain_text("Set the packer at")
        context.__exit__(None, None, None)


def test_two_tablets_at_one_installation_come_to_the_same(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as one, tablet(browser, demo_server) as two:
        for crew in (one, two):
            crew.open()
            crew.keep()
        one.act("Mixed")
        one.until_sent()
        two.until_heard(1)
        expect(two.page.locator(".next h1")).to_contain_text("Soak the collar")
        one.offline()
        two.offline()
        one.act("Wet-out done")
        two.act("Wet-out done")
        two.act("Packer lowered")
        one.offline(off=False)
        one.until_sent()
        two.offline(off=False)
        two.until_sent()
        for crew in (one, two):
            crew.until_heard(4)
            crew.run(1000)
        assert one.lines() == two.lines()
        assert len(one.lines()) == 4
        for crew in (one, two):
            expect(crew.page.locator(".next h1")).to_contain_text("Set the packer at 16.70 m")
            expect(crew.page.locator(".warns")).to_contain_text("wet-out was logged again")
        events = server_log(one.page, demo_server)
        assert len({event["device"] for event in events}) == 2
        assert sorted(e["kind"] for e in events) == ["lowered", "mixed", "wet-out", "wet-out"]


def test_two_installations_at_once(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server, width=1440, height=900) as crew:
        page = crew.open()
        crew.act("Mixed")
        crew.later(300)
        crew.open(TWO)
        crew.act("Mixed", TWO)
        both = page.locator("#stage article:visible")
        expect(both).to_have_count(2)
        assert crew.seconds(TWO) > crew.seconds(ONE)
        crew.act("Wet-out done", ONE)  # on the sheet beside
        page.set_viewport_size({"width": 390, "height": 844})
        expect(both).to_have_count(1)
        tabs = page.locator("#tabs a")
        expect(tabs).to_have_count(3)
        tabs.filter(has_text="T02-T03/03").click()
        expect(page.locator(".next h1:visible")).to_contain_text("Lower the packer")


def test_a_full_tablet_says_so_and_loses_nothing(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        page.evaluate(
            """() => {
              globalThis.kept = IDBObjectStore.prototype.add;
              IDBObjectStore.prototype.add = function () {
                throw new DOMException("full", "QuotaExceededError");
              };
            }"""
        )
        page.locator(".acts .act").first.click()
        expect(page.locator("#unsaved")).to_contain_text("the storage of this tablet is full")
        expect(page.locator(".acts .act").first).to_have_text("Mixed")
        with page.expect_download() as got:
            page.locator("#unsaved").get_by_role("button", name="Save the unsent").click()
        saved = json.loads(Path(got.value.path()).read_text(encoding="utf-8"))
        assert [event["kind"] for event in saved["events"]] == ["mixed"]
        page.evaluate("() => { IDBObjectStore.prototype.add = globalThis.kept; }")
        crew.bounce()
        page.locator("#unsaved").get_by_role("button", name="Try again").click()
        expect(page.locator(".acts .act").first).to_have_text("Wet-out done")
        expect(page.locator("#unsaved")).to_be_hidden()
        crew.until_sent()
        assert kinds(page, demo_server) == ["mixed"]


def test_entries_travel_as_a_file(demo_server: str, browser: Browser, tmp_path: Path) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.keep()
        crew.offline()
        crew.up_to("Wet-out done")
        page.get_by_role("link", name="All").click()
        with page.expect_download() as got:
            page.get_by_role("button", name="Save the unsent").click()
        kept = tmp_path / "entries.json"
        got.value.save_as(kept)
    with tablet(browser, demo_server) as office:
        page = office.open("")
        page.get_by_label("Send entries from a file").set_input_files(kept)
        expect(page.get_by_text("2 entries kept, 0 refused.")).to_be_visible()
        page.get_by_label("Send entries from a file").set_input_files(kept)
        expect(page.get_by_text("2 entries kept, 0 refused.")).to_be_visible()
        assert kinds(page, demo_server) == ["mixed", "wet-out"]
        strange = tmp_path / "strange.json"
        strange.write_text("[1, 2]")
        page.get_by_label("Send entries from a file").set_input_files(strange)
        expect(page.get_by_text("This file holds no entries of a tablet.")).to_be_visible()


def test_an_entry_is_corrected_and_one_taken_back(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.up_to("At pressure")
        page.get_by_role("button", name="Correct an entry").click()
        page.get_by_role("button", name="Gauge read").last.click()
        box = page.get_by_role("dialog")
        box.get_by_label("Gauge").fill("0.9x")
        box.get_by_role("button", name="Log it").click()
        expect(box).to_contain_text("0.9x is no number; allowed: 0 to 200 bar.")
        box.get_by_label("Gauge").fill("0.91")
        box.get_by_role("button", name="Log it").click()
        expect(box).to_contain_text("Say why.")
        box.get_by_label("Reason").fill("misread")
        box.get_by_role("button", name="Log it").click()
        expect(box).to_have_count(0)
        assert "Gauge read, 0.91 bar" in "; ".join(crew.lines())
        page.get_by_role("button", name="Correct an entry").click()
        page.get_by_role("button", name="Wet-out done").last.click()
        box.get_by_label("Reason").fill("slip")
        box.get_by_role("button", name="Take it back").click()
        expect(box).to_contain_text("This would leave the work out of order")


def test_the_log_of_another_job_is_never_mixed_in(
    demo_project: Path, tmp_path: Path, browser: Browser
) -> None:
    port = free_port()
    with served(Settings(demo_project, quick=True), port) as address:
        context = tablet(browser, address)
        crew: Tablet = context.__enter__()
        crew.open()
        crew.keep()
        crew.offline()
        crew.act("Mixed")
    crew.offline(off=False)
    with served(Settings(tmp_path / "other.tee", quick=True), port):
        crew.page.goto(address + "/clock")

        strange = crew.page.get_by_text(re.compile("of another job waits? here"))
        for _ in range(20):
            crew.run(3000)
            if strange.count():
                break
        expect(strange).to_be_visible()
        assert kinds(crew.page, address) == []
        context.__exit__(None, None, None)

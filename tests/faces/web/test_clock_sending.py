"""What stands in the way of sending: entries that the server will not take, and lost copies."""

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from faces.web.conftest import free_port, served
from faces.web.night import Tablet, server_log, tablet
from faces.web.test_clock_files import picture
from teewright.web.settings import Settings


def kinds(page: Page, address: str) -> list[str]:
    return [event["kind"] for event in server_log(page, address)]


def sent_kinds(route: Route) -> list[str]:
    events = json.loads(route.request.post_data or "{}").get("events", [])
    return [event["kind"] for event in events]


def failing_on(kind: str, status: int, said: str) -> Callable[[Route], None]:
    """A server that fails whole on every request that holds an entry of that kind."""

    def answer(route: Route) -> None:
        if route.request.method == "POST" and kind in sent_kinds(route):
            route.fulfill(status=status, json={"detail": said})
        else:
            route.fallback()

    return answer


def let_it_try(crew: Tablet, page: Page, address: str, wanted: list[str]) -> None:
    crew.until(lambda: sorted(kinds(page, address)) == sorted(wanted), f"not {wanted}")


@pytest.mark.parametrize("status", [413, 422])
def test_an_entry_refused_for_good_is_set_aside_and_holds_back_none(
    demo_server: str, browser: Browser, status: int
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.keep()
        crew.context.route("**/api/v1/events", failing_on("wet-out", status, "That is not taken."))
        crew.offline()
        crew.up_to("Packer lowered")
        crew.offline(off=False)
        let_it_try(crew, page, demo_server, ["mixed", "lowered"])
        expect(page.locator("#unsent")).to_have_text("All entries sent, 1 entry refused")
        expect(page.locator(".warns")).to_contain_text("refused by the server: That is not taken.")
        page.locator("#tabs .all").click()
        with page.expect_download() as got:
            page.get_by_role("button", name="Save the unsent").click()
        saved = json.loads(Path(got.value.path()).read_text(encoding="utf-8"))
        assert [event["kind"] for event in saved["events"]] == ["wet-out"]
        assert saved["count"] == 1
        # the reason is gone: sent again, as it was
        crew.context.unroute("**/api/v1/events")
        crew.context.route("**/api/v1/events*", crew.answered)
        page.get_by_role("button", name="See the refused entry").click()
        box = page.get_by_role("dialog")
        expect(box).to_contain_text("That is not taken.")
        box.get_by_role("button", name="Send it again").click()
        let_it_try(crew, page, demo_server, ["mixed", "lowered", "wet-out"])
        expect(page.locator("#unsent")).to_have_text("All entries sent")
        expect(page.get_by_role("button", name="See the refused entry")).to_have_count(0)


def test_an_entry_on_which_the_server_breaks_waits_and_holds_back_none(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.keep()
        crew.context.route("**/api/v1/events", failing_on("wet-out", 500, "It broke."))
        crew.offline()
        crew.up_to("Packer lowered")
        crew.offline(off=False)
        let_it_try(crew, page, demo_server, ["mixed", "lowered"])
        assert crew.unsent() == 1
        expect(page.locator("#signal")).to_contain_text("It broke.")
        crew.context.unroute("**/api/v1/events")
        crew.context.route("**/api/v1/events*", crew.answered)
        crew.until_sent()
        assert sorted(kinds(page, demo_server)) == ["lowered", "mixed", "wet-out"]


def test_a_refused_entry_is_corrected_and_the_wrong_one_is_named(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()

        def refuse(route: Route) -> None:
            sent = json.loads(route.request.post_data or "{}").get("events", [])
            late = [e for e in sent if e["kind"] == "mixed" and "2027-05-03T20:3" in e["at"]]
            if not late:
                route.fallback()
                return
            answers = [
                {"id": e["id"], "kept": False, "status": 422, "said": "at is wrong."} for e in sent
            ]
            told = {"project": "", "server_time": crew.now().isoformat(), "answers": answers}
            route.fulfill(json=told)

        crew.context.route("**/api/v1/events", refuse)
        page.get_by_label("Batch number").fill("B-1")
        page.locator(".acts .act").first.click()
        for _ in range(10):
            crew.run(1000)
        page.locator(".warns").get_by_role("button", name="See why").click()
        box = page.get_by_role("dialog")
        box.get_by_role("button", name="Correct it").click()
        expect(box.get_by_label("Batch number")).to_have_value("B-1")
        box.get_by_label("Time").fill("2027-05-33 20:10")
        box.get_by_role("button", name="Log it").click()
        expect(box).to_contain_text("2027-05-33 20:10 is no time")
        box.get_by_label("Time").fill("2027-05-03 20:25")
        box.get_by_label("Batch number").fill("B-2")
        box.get_by_role("button", name="Log it").click()
        crew.until_sent()
        expect(page.locator("#unsent")).to_have_text("All entries sent")
        expect(page.locator(".next .title")).to_contain_text("Soak the collar")
        (event,) = server_log(page, demo_server)
        data = dict(event["data"])
        assert event["at"].startswith("2027-05-03T20:25:00")
        assert data["batch"] == "B-2"
        assert re.fullmatch(r"[0-9a-f-]{36}", data["replaces"])
        assert data["replaces"] != event["id"]
        assert float(data["latest_inflation"]) == pytest.approx(crew.limit("latest_inflation"))


def with_photo(crew: Tablet, folder: Path) -> str:
    """Log a note with a photo; the words of the note."""
    page = crew.page
    page.get_by_role("button", name="Note or photo").click()
    box = page.get_by_role("dialog")
    (folder / "edge.png").write_bytes(picture(60, 40))
    box.get_by_label("Take a photo").set_input_files(folder / "edge.png")
    expect(box).to_contain_text("take another instead")
    box.get_by_role("button", name="Log it").click()
    expect(box).to_have_count(0)
    return "photo"


def test_photos_go_again_to_a_server_that_was_put_back(
    demo_project: Path, tmp_path: Path, browser: Browser
) -> None:
    port = free_port()
    older = Path(shutil.copy(demo_project, tmp_path / "older.tee"))
    with served(Settings(demo_project, quick=True), port) as address:
        context = tablet(browser, address)
        crew = context.__enter__()
        crew.open()
        with_photo(crew, tmp_path)
        crew.until_sent()
        crew.until_heard(1)
        (event,) = server_log(crew.page, address)
        sha = dict(event["data"])["photo"]
    with served(Settings(older, quick=True), port):
        let_it_try(crew, crew.page, address, ["note"])
        assert crew.page.request.get(f"{address}/api/v1/attachments/{sha}").ok
        expect(crew.page.locator("#unsent")).to_have_text("All entries sent")
        context.__exit__(None, None, None)


def test_what_was_confirmed_and_then_lost_before_it_was_in_the_log_goes_again(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        lied: list[str] = []

        def confirm_only(route: Route) -> None:
            if route.request.method != "POST" or lied:
                route.fallback()
                return
            events: list[Any] = json.loads(route.request.post_data or "{}")["events"]
            lied.extend(e["id"] for e in events)
            answers = [{"id": e["id"], "kept": True, "status": 200, "said": ""} for e in events]
            told = {"project": "", "server_time": crew.now().isoformat(), "answers": answers}
            route.fulfill(json=told)

        crew.context.route("**/api/v1/events", confirm_only)
        crew.act("Mixed")
        let_it_try(crew, page, demo_server, ["mixed"])
        assert [e["id"] for e in server_log(page, demo_server)] == lied


def test_a_full_tablet_lets_go_of_what_the_server_has_first(
    demo_server: str, browser: Browser, tmp_path: Path
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        with_photo(crew, tmp_path)
        crew.until_sent()
        crew.until_heard(1)
        count = """async () => {
          const store = await import("/static/clock/store.mjs");
          const db = await store.open();
          const count = ({ files }) => store.result(files.count());
          const found = await store.within(db, ["files"], count);
          db.close();
          return found;
        }"""
        assert page.evaluate(count) == 1
        page.evaluate(
            """() => {
              const add = IDBObjectStore.prototype.add;
              let full = true;
              IDBObjectStore.prototype.add = function (...all) {
                if (!full) return add.apply(this, all);
                full = false;
                throw new DOMException("full", "QuotaExceededError");
              };
            }"""
        )
        crew.act("Mixed")
        assert page.evaluate(count) == 0
        crew.until_sent()
        expect(page.locator("#unsaved")).to_be_hidden()
        assert kinds(page, demo_server) == ["note", "mixed"]


def test_a_file_that_was_cut_off_is_taken_and_what_is_lost_is_said(
    demo_server: str, browser: Browser, tmp_path: Path
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.keep()
        crew.offline()
        crew.up_to("Packer lowered")
        page.locator("#tabs .all").click()
        with page.expect_download() as got:
            page.get_by_role("button", name="Save the unsent").click()
        text = Path(got.value.path()).read_text(encoding="utf-8")
    cut = tmp_path / "entries.json"
    cut.write_text(text[: text.index('"lowered"') + 4], encoding="utf-8")
    with tablet(browser, demo_server) as office:
        page = office.open("")
        page.get_by_label("Send entries from a file").set_input_files(cut)
        said = page.get_by_text("2 entries kept, 0 refused.")
        expect(said).to_contain_text(
            "The file is cut off in entry 3: the 2 before it are whole; "
            "of 3 that were saved 1 is lost."
        )
        assert kinds(page, demo_server) == ["mixed", "wet-out"]


def test_what_the_server_has_taken_is_not_told_as_unsent(
    demo_server: str, browser: Browser
) -> None:
    """The signal goes between the answer to the entries and the log that they come back in."""
    with tablet(browser, demo_server) as crew:
        page = crew.open()

        def only_writes(route: Route) -> None:
            if route.request.method == "POST":
                crew.answered(route)
            else:
                route.abort("internetdisconnected")

        crew.context.unroute("**/api/v1/events*")
        crew.context.route("**/api/v1/events*", only_writes)
        crew.act("Mixed")
        crew.until_sent()
        expect(page.locator("#unsent")).to_have_text("All entries sent")
        assert [line for line in crew.lines() if "not sent" in line] == []

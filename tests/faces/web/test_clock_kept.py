"""The office makes the plan anew, or changes the job, while a crew has a batch in hand."""

from typing import Any

from playwright.sync_api import Browser, Page, Route, expect

from faces.web.night import ONE, TWO, Tablet, address_of, server_log, tablet
from teewright import demo


def change_the_job(page: Page, address: str) -> None:
    """The office gives another kit: nothing is designed for it yet."""
    me = page.request.get(f"{address}/api/v1/me").json()
    kit = demo.file(demo.KIT_FILE) + b"\n# another\n"
    files: Any = {"files": {"name": "kit.toml", "mimeType": "text/plain", "buffer": kit}}
    head = {"X-CSRF-Token": me["csrf"]}
    assert page.request.post(f"{address}/api/v1/documents", multipart=files, headers=head).ok
    assert page.request.get(f"{address}/api/v1/clock").json()["collars"] == []


def without(connections: set[str], crew: Tablet) -> None:
    """From now on the server's plan has no collar there."""

    def answer(route: Route) -> None:
        try:
            found = route.fetch()
            plan = found.json()
        except Exception:  # noqa: BLE001 -- the page has gone while it was asked
            route.abort()
            return
        plan["collars"] = [c for c in plan["collars"] if c["connection"] not in connections]
        plan["server_time"] = crew.now().isoformat()
        route.fulfill(response=found, json=plan)

    crew.context.route("**/api/v1/clock", answer)


def until_planned_anew(crew: Tablet) -> None:
    """So long that the tablet has asked for the plan again."""
    for _ in range(35):
        crew.run(2000)


def test_a_batch_in_hand_keeps_its_deadlines_when_the_job_is_changed(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        release = crew.limit("release")
        page = crew.open()
        crew.up_to("At pressure")
        crew.until_sent()
        change_the_job(page, demo_server)
        until_planned_anew(crew)
        expect(page.locator(".warns")).to_contain_text("The job was changed since this was planned")
        crew.later(release / 2)
        shown = crew.seconds()
        assert release / 2 - 300 < shown < release / 2
        crew.act("Gauge read")
        crew.gauge("1.00")
        crew.open("")
        expect(page.locator("#answer")).to_contain_text("runs now")
        expect(page.locator(".rows").last).to_contain_text("mix at")
        crew.open()
        assert abs(crew.seconds() - shown) < 120
        crew.later(crew.seconds() + 60)
        crew.act("Released")
        crew.until_sent()
        assert server_log(page, demo_server)[-1]["kind"] == "released"


def test_a_tablet_that_never_saw_the_plan_goes_by_what_was_told_at_the_mixing(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as first:
        low = first.limit("pressure_low")
        page = first.open()
        first.up_to("Packer lowered")
        first.until_sent()
        left = first.seconds()
        change_the_job(page, demo_server)
        with tablet(browser, demo_server) as second:
            second.open("")
            row = second.page.locator(".rows a").filter(has_text=ONE.partition("#")[0])
            row.click()
            second.run(1000)
            assert abs(second.seconds() - left) < 120
            second.act("In place")
            expect(second.page.locator(".next .how")).to_contain_text(f"{low / 1e5:.2f}")
            expect(second.page.locator(".warns")).to_contain_text(
                "No longer in the plan, but begun"
            )


def test_a_collar_that_has_begun_outlives_a_plan_without_it(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.up_to("Wet-out done")
        without({name.partition("#")[0] for name in (ONE, TWO)}, crew)
        until_planned_anew(crew)
        assert crew.seconds() > 0
        expect(page.locator(".warns")).to_contain_text("No longer in the plan, but begun")
        crew.act("Packer lowered")
        expect(page.locator(".next .how")).to_contain_text("The camera must see the whole edge")
        page.reload()
        expect(page.locator(".next h1")).to_be_visible()
        assert crew.seconds() > 0
        page.goto(demo_server + address_of(TWO))  # nothing was begun there: it is gone
        expect(page.get_by_role("article", name=TWO)).to_contain_text("no longer in the plan")

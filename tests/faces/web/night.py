"""A tablet at a manhole, for tests: its time can be turned on, its signal taken away."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, Request, Route, expect

START = datetime(2027, 5, 3, 18, 30, tzinfo=UTC)
"""The planned mixing of the first collar of the demo's first shift, in UTC."""
ZONE = "Europe/Vienna"
ONE, TWO = "T02-T03/03#1", "T04-T07/02#1"
STEPS = ("Mixed", "Wet-out done", "Packer lowered", "In place", "At pressure")


def address_of(installation: str) -> str:
    return "/clock/" + installation.replace("#", "%23")


HEARD = """async () => {
  const store = await import("/static/clock/store.mjs");
  const db = await store.open();
  const found = await store.within(db, ["log"], ({ log }) => store.result(log.count()));
  db.close();
  return found;
}"""
"""How many entries of the server's log the tablet holds."""


@dataclass
class Tablet:
    """One browser with a store of its own, whose clocks are turned on by `later`."""

    context: BrowserContext
    address: str
    begun: float = field(default_factory=time.monotonic)
    ahead: timedelta = timedelta()
    errors: list[str] = field(default_factory=list)
    off: bool = False
    turning: bool = False
    page: Page = field(init=False)

    def __post_init__(self) -> None:
        self.page = self.context.new_page()
        self._watch(self.page)
        self.page.clock.install(time=START)
        self.begun = time.monotonic()
        self.context.route("**/api/v1/clock", self.answered)
        self.context.route("**/api/v1/events*", self.answered)

    def _watch(self, page: Page) -> None:
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("console", lambda m: self.errors.append(m.text) if m.type == "error" else None)
        page.on("request", self._own_host)

    def _own_host(self, request: Request) -> None:
        if not request.url.startswith((self.address, "blob:", "data:")):
            self.errors.append(f"asked {request.url}")

    def now(self) -> datetime:
        """The time that server and tablet share in this test."""
        return START + self.ahead + timedelta(seconds=time.monotonic() - self.begun)

    def answered(self, route: Route) -> None:
        """The answer of the server with its clock, turned on as that of the tablet was.

        While the tablet's is being turned the two differ, and no answer may tell the time: what
        was asked before and is answered afterwards took too long for the page to believe it.
        """
        if self.off:  # what is fetched here does not go through the browser's own network
            route.abort("internetdisconnected")
            return
        try:
            answer = route.fetch()
            told: dict[str, Any] = answer.json() if answer.ok else {}
        except Exception:  # noqa: BLE001 -- no server, no signal, or the page has gone
            route.abort()
            return
        if not answer.ok:
            route.fulfill(response=answer)
            return
        if self.turning:
            route.abort()
            return
        told["server_time"] = self.now().isoformat()
        for event in told.get("events", []):
            event["recorded"] = event["at"]
        route.fulfill(response=answer, json=told)

    def limit(self, name: str, installation: str = ONE) -> float:
        """A limit of an installation, as the server tells it."""
        plan = self.page.request.get(f"{self.address}/api/v1/clock").json()
        connection = installation.partition("#")[0]
        collar = next(c for c in plan["collars"] if c["connection"] == connection)
        return float(collar["limits"][name])

    def open(self, installation: str = ONE) -> Page:
        self.page.goto(self.address + (address_of(installation) if installation else "/clock"))
        expect(self.page.locator(".next, .device").first).to_be_visible()
        return self.page

    def keep(self) -> None:
        """Wait until the page is stored for work without a signal."""
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        self.page.wait_for_function("navigator.serviceWorker.controller !== null")

    def later(self, seconds: float) -> None:
        """Both clocks of the tablet go on."""
        self.turning = True
        self.page.clock.fast_forward(int(seconds * 1000))
        self.ahead += timedelta(seconds=seconds)
        self.turning = False
        self.run(600)

    def run(self, ms: int) -> None:
        """Let the page live for so long, in steps, so that the server's time keeps up with it."""
        for _ in range(0, ms, 500):
            self.page.clock.run_for(500)
            self.ahead += timedelta(milliseconds=500)

    def act(self, label: str, installation: str = ONE) -> None:
        """Press the next action, which must be that one, and wait until it is stored."""
        sheet = self.page.get_by_role("article", name=installation)
        button = sheet.locator(".acts .act").first
        expect(button).to_have_text(label)
        button.click()
        if label in {"At pressure", "Gauge read", "Test reading", "Inspected"}:
            expect(self.page.get_by_role("dialog")).to_be_visible()
        else:
            expect(button).not_to_have_text(label)
            self.bounce()

    def bounce(self) -> None:
        """Let the time pass in which a second tap counts for nothing."""
        for _ in range(40):
            self.run(500)
            if not self.page.locator(".acts .act[aria-disabled=true]").count():
                return
        raise AssertionError("the next action stays disabled")

    def up_to(self, label: str, installation: str = ONE) -> None:
        """Log all steps up to one, a second or two apart."""
        for step in STEPS[: STEPS.index(label) + 1]:
            self.act(step, installation)
            if step == "At pressure":
                self.gauge("1.00")

    def gauge(self, value: str) -> None:
        """Type what the gauge says on the keys, and log it."""
        box = self.page.get_by_role("dialog")
        for sign in value:
            box.get_by_role("button", name="Point" if sign == "." else sign, exact=True).click()
        box.get_by_role("button", name="Log it").click()
        expect(box).to_have_count(0)
        self.bounce()

    def figure(self, installation: str = ONE) -> str:
        sheet = self.page.get_by_role("article", name=installation)
        return sheet.locator(".times .now .v").inner_text().strip()

    def seconds(self, installation: str = ONE) -> int:
        """The figure that decides, minutes and seconds, in seconds."""
        minutes, seconds = self.figure(installation).split(":")
        return 60 * int(minutes) + int(seconds)

    def lines(self, installation: str = ONE) -> list[str]:
        """All entries of a sheet as they are read, the newest first."""
        sheet = self.page.get_by_role("article", name=installation)
        more = sheet.locator(".link").filter(has_text="All ")
        if more.count():
            more.click()
            expect(sheet.locator(".link")).to_have_text("The newest entries only")
        rows = [
            row.locator("b, span").all_text_contents() for row in sheet.locator(".log li").all()
        ]
        return [" ".join(row).replace("\u00a0", " ").strip() for row in rows]

    def unsent(self) -> int:
        return int(self.page.locator("#unsent").get_attribute("data-count") or -1)

    def until_sent(self) -> None:
        """Let the tablet find its signal and send all."""
        self.until(lambda: self.unsent() == 0, "entries were not sent")

    def until_heard(self, entries: int) -> None:
        """Let the tablet ask until it holds so many entries of the server's log."""
        self.until(lambda: self.page.evaluate(HEARD) >= entries, "the log did not come")

    def until(self, holds: Callable[[], bool], otherwise: str) -> None:
        """Let the time of the page go on until something holds, however slow the answers are."""
        for _ in range(60):
            if holds():
                return
            self.run(2000)
            self.page.wait_for_timeout(50)
            for _ in range(4):  # on a busy machine an answer takes longer than the page's 2 s
                if holds():
                    return
                self.page.wait_for_timeout(100)
        raise AssertionError(otherwise)

    def offline(self, *, off: bool = True) -> None:
        self.off = off
        self.context.set_offline(off)


@contextmanager
def tablet(
    browser: Browser, address: str, *, width: int = 1024, height: int = 768
) -> Iterator[Tablet]:
    """A tablet; at the end it may have told no error but of a signal that was not there."""
    context = browser.new_context(
        viewport={"width": width, "height": height}, timezone_id=ZONE, accept_downloads=True
    )
    made = Tablet(context, address)
    try:
        yield made
    finally:
        context.close()
    known = ("Failed to load resource", "net::ERR_", "WebSocket")
    assert [e for e in made.errors if not any(part in e for part in known)] == []


def server_log(page: Page, address: str) -> list[dict[str, Any]]:
    """The log as the server has it, asked without the browser's own routes."""
    answer = page.request.get(f"{address}/api/v1/events")
    events: list[dict[str, Any]] = answer.json()["events"]
    return events

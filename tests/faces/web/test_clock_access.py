"""Whoever cannot see well, hold long or point can run the clock too."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from faces.web.night import ONE, tablet

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
SMALL = """() => ["main button", "main .row", "main label.file", "dialog button"]
  .flatMap((kind) => [...document.querySelectorAll(kind)])
  .filter((e) => e.offsetParent !== null)
  .map((e) => [e.textContent, Math.round(e.getBoundingClientRect().height)])
  .filter(([, height]) => height < 64)"""


def broken(page: Page) -> list[str]:
    found = Axe().run(page, options=RULES)
    return [f"{v['id']}: {[n['html'] for n in v['nodes']]}" for v in found.response["violations"]]


@pytest.mark.parametrize("width", [1440, 1024, 390])
def test_the_sheets_keep_the_rules(demo_server: str, browser: Browser, width: int) -> None:
    with tablet(browser, demo_server, width=width, height=800) as crew:
        page = crew.open("")
        assert broken(page) == []
        assert page.evaluate(SMALL) == []
        crew.open()
        assert broken(page) == []
        crew.up_to("In place")
        assert broken(page) == []
        assert page.evaluate(SMALL) == []
        crew.act("At pressure")
        assert broken(page) == []
        assert page.evaluate(SMALL) == []
        wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(wide) == 0


def test_the_clock_by_keyboard_alone(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        page.locator(".acts .act").first.focus()
        page.keyboard.press("Enter")
        expect(page.locator(".acts .act").first).to_have_text("Wet-out done")
        expect(page.locator(".acts .act").first).to_be_focused()
        crew.bounce()
        page.locator(".stop").focus()
        page.keyboard.down("Enter")
        crew.run(2500)
        page.keyboard.up("Enter")
        box = page.get_by_role("dialog")
        expect(box).to_be_visible()
        page.keyboard.press("Escape")
        expect(box).to_have_count(0)
        assert len(crew.lines(ONE)) == 1
        page.locator(".stop").evaluate("(e) => e.click()")  # as a screen reader does
        expect(box).to_be_visible()


def test_a_second_tap_does_not_log_the_next_step(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        act = page.locator(".acts .act").first
        act.dblclick()
        expect(act).to_have_text("Wet-out done")
        act.click(force=True)
        crew.bounce()
        expect(act).to_have_text("Wet-out done")
        assert len(crew.lines(ONE)) == 1

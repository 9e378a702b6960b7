"""Every page, narrow and wide, by day and by night: what must hold on each of them."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Error, Page, Route, expect

from faces.web.conftest import OpenPage, served
from faces.web.signing import BROWSER, routes, with_people
from teewright.web.app import make_app
from teewright.web.settings import Settings
from teewright.web.texts import text

PAGES = (
    "/",
    "/survey",
    "/survey/runs/T02-T03",
    "/survey/files/survey-mill-lane.txt",
    "/needs",
    "/collars",
    "/collars/T02-T03/03",
    "/day",
    "/day/T02-T03/03",
    "/programme",
    "/clock",
    "/clock/T02-T03/01%231",
    "/proof",
    "/proof/T01-T02/02",
    "/handover",
    "/price",
    "/people",
    "/me",
)
SIGN_IN = "/sign-in"
SIZES = {1440: 900, 390: 844}
SHOWN = (("light", 1440), ("night", 390))
"""Both sheets and both widths once: colours hang on the sheet, places on the width."""
IN_US = ("/collars/T02-T03/03", "/day/T02-T03/03", "/clock/T02-T03/01%231")
"""Pages with big figures that have a unit."""
IN_WORDS = (
    "/", "/survey", "/survey/runs/T02-T03", "/needs", "/collars", "/collars/T02-T03/03", "/day",
    "/day/T02-T03/03", "/proof", "/proof/T01-T02/02", "/handover",
)  # fmt: skip
"""Pages on which no sentence, table or drawing stays metric either."""
METRIC = re.compile(
    r"\d\s(?:mm|m|bar|mbar|kPa|kg|kg/m³|l|l/s|l/h|MPa|kN|kN/m|kJ|m/s|°C)(?![\w/²³°])|^(?:mbar|bar)$"
)
NOW = datetime(2027, 5, 4, 8, 5, tzinfo=UTC)
BIG = 17.0
"""Letters of that size or more make a big figure [px]."""
STOPS = 12
"""Places at which the focus is looked at, of those that the key Tab reaches."""


@pytest.fixture
def signing_server(tmp_path: Path) -> Iterator[str]:
    with served(Settings(with_people(tmp_path / "people.tee"), sign_in=True)) as address:
        yield address


def opened(
    browser: Browser, open_page: OpenPage, address: str, path: str, width: int, *choices: str
) -> Page:
    """A page with the sheet and the units that a reader chose before."""
    context = browser.new_context(viewport={"width": width, "height": SIZES[width]})
    for choice in choices:
        name, value = choice.split("=")
        context.add_cookies([{"name": name, "value": value, "url": address}])
    if path.startswith("/clock"):
        context.clock.set_fixed_time(NOW)
        for asked in ("**/api/v1/clock", "**/api/v1/events*"):
            context.route(asked, at_that_time)
    page = open_page(address, path, context=context)
    page.locator("h1").first.wait_for()
    page.wait_for_load_state("networkidle")
    return page


def at_that_time(route: Route) -> None:
    """The server's clock while one installation is held at pressure."""
    try:
        answer = route.fetch()
        told = answer.json()
    except Error:  # the test is over and its server gone
        return
    told["server_time"] = NOW.isoformat()
    for event in told.get("events", []):
        event["recorded"] = event["at"]
    route.fulfill(response=answer, json=told)


def grave(page: Page) -> list[tuple[str, str]]:
    """What axe-core finds serious or critical: the rule and where it is broken first."""
    found: list[dict[str, Any]] = Axe().run(page).response["violations"]
    return [
        (each["id"], each["nodes"][0]["html"])
        for each in found
        if each["impact"] in {"serious", "critical"}
    ]


def unseen(page: Page) -> list[str]:
    """What takes the focus by the key Tab and does not show it."""
    found = []
    for _ in range(STOPS):
        page.keyboard.press("Tab")
        lost = page.evaluate(
            """() => {
              const at = document.activeElement;
              if (!at || at === document.body) return "";
              const styles = [at, ...at.querySelectorAll("*"), at.parentElement, at.labels?.[0]]
                .filter(Boolean).map((e) => getComputedStyle(e));
              const shown = styles.some(
                (s) => s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2);
              const box = at.getBoundingClientRect();
              const there = box.width > 0 && box.right > 0 && box.left < innerWidth;
              return shown && there ? "" : at.outerHTML.slice(0, 120);
            }"""
        )
        found += [lost] if lost else []
    return found


def check(page: Page) -> None:
    """What must hold on every page."""
    assert page.locator("h1:visible").count() == 1
    wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide[0] <= wide[1]
    assert grave(page) == []
    assert unseen(page) == []
    assert (
        page.locator("main .act:not(.quiet):visible, header .act:not(.quiet):visible").count() < 2
    )


@pytest.mark.parametrize(("sheet", "width"), SHOWN)
@pytest.mark.parametrize("path", PAGES)
def test_a_page_can_be_read_and_used(
    path: str, sheet: str, width: int, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    check(opened(browser, open_page, read_server, path, width, f"sheet={sheet}"))


@pytest.mark.parametrize(("sheet", "width"), SHOWN)
def test_one_can_sign_in(
    sheet: str, width: int, signing_server: str, browser: Browser, open_page: OpenPage
) -> None:
    check(opened(browser, open_page, signing_server, SIGN_IN, width, f"sheet={sheet}"))


@pytest.mark.parametrize("path", PAGES)
def test_no_big_figure_stays_metric_where_us_units_are_chosen(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = opened(browser, open_page, read_server, path, 1440, "units=us")
    # a caution is a sentence of the record and stays as it is printed
    big: list[str] = page.evaluate(
        """(big) => [...document.querySelectorAll("header *, main *")]
          .filter((e) => !e.closest(".warned"))
          .filter((e) => e.checkVisibility() && parseFloat(getComputedStyle(e).fontSize) >= big)
          .map((e) => [...e.childNodes].filter((n) => n.nodeType === 3).map((n) => n.data).join(""))
        """,
        BIG,
    )
    assert path not in IN_US or any(re.search(r"\d\s(?:in|psi|°F|ft)", said) for said in big)
    assert [said for said in big if METRIC.search(said)] == []


@pytest.mark.parametrize("path", IN_WORDS)
def test_no_sentence_stays_metric_where_us_units_are_chosen(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = opened(browser, open_page, read_server, path, 1440, "units=us")
    said: list[str] = page.evaluate(
        """() => {
          const walk = document.createTreeWalker(document.querySelector("main"), 4);
          const found = [];
          while (walk.nextNode()) {
            const at = walk.currentNode.parentElement;
            // what a source says is cited as it says it
            if (!at.closest("script,.trace td:last-child")) found.push(walk.currentNode.data);
          }
          return found;
        }"""
    )
    assert any(re.search(r"\d\s(?:in|psi|°F|ft)", one) for one in said)
    assert [one for one in said if METRIC.search(one)] == []
    # what is told in other units keeps the sentence as it is printed
    kept = page.locator("main span[title]").evaluate_all("all => all.map((e) => e.title)")
    assert kept == [] or all(METRIC.search(one) or "m²" in one or " K " in one for one in kept)


def test_a_price_says_why_it_stays_metric(
    read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = opened(browser, open_page, read_server, "/price", 1440, "units=us")
    expect(page.get_by_text(text("price.metric"))).to_be_visible()
    page = opened(browser, open_page, read_server, "/price", 1440)
    expect(page.get_by_text(text("price.metric"))).to_have_count(0)


def test_the_list_of_pages_is_whole(begun_project: Path) -> None:
    """Each route that answers with a page to be read stands in the list above."""
    app = make_app(Settings(begun_project, quick=True))
    found = {path for method, path in routes(app) if method == "GET"}
    shapes = {path: re.compile(re.escape(path).replace("x", ".+") + "$") for path in found}
    with TestClient(app, base_url="http://localhost", headers=BROWSER) as client:
        listed = (*PAGES, SIGN_IN)
        left = []
        for path, shape in shapes.items():
            if any(shape.match(unquote(one)) for one in listed) or path.startswith("/api/"):
                continue
            answer = client.get(path, follow_redirects=False)
            whole = answer.text.startswith("<!doctype html>") and answer.status_code == 200
            left += [path] if whole else []
    assert left == []

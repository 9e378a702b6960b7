"""What a page looks like on paper: each is made a PDF by the browser, with the print styles."""

import io

import pytest
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from faces.web.conftest import OpenPage
from faces.web.test_every_page import PAGES, opened

TITLE_BLOCK = ("Job", "Place", "Data", "Who", "State of data", "Sheet")
PRESSED = "button,input:not([type=hidden]),textarea,summary::marker,.act,.no-print,dialog"
"""What can only be pressed or filled in."""
LONG = {"/needs": "Chainage", "/programme": "Tested", "/handover": "What is open"}
"""Pages with a table of several sheets, and a word of its head."""


def sheets(page: Page) -> list[str]:
    """Words of each sheet of paper."""
    body = page.pdf(format="A4", prefer_css_page_size=True)
    return [sheet.extract_text() for sheet in PdfReader(io.BytesIO(body)).pages]


def on_paper(browser: Browser, open_page: OpenPage, address: str, path: str, *choices: str) -> Page:
    page = opened(browser, open_page, address, path, 1440, *choices)
    page.emulate_media(media="print")
    return page


def lines_of(words: str) -> set[str]:
    return {line.strip() for line in words.splitlines() if line.strip()}


@pytest.mark.parametrize("path", PAGES)
def test_a_page_can_be_printed(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = on_paper(browser, open_page, read_server, path, "sheet=night")
    pressed = page.locator(PRESSED.replace("summary::marker,", ""))
    shown = [each.inner_text() for each in pressed.all() if each.is_visible()]
    assert shown == []
    ground, ink = page.evaluate(
        "(b => [b.backgroundColor, b.color])(getComputedStyle(document.body))"
    )
    assert (ground, ink) == ("rgb(255, 255, 255)", "rgb(21, 23, 28)")
    # nothing that is left out says what to click, and no link is told by its colour
    links = page.evaluate(
        """() => [...document.querySelectorAll("header a, main a, main summary")]
          .filter((e) => e.checkVisibility())
          .filter((e) => getComputedStyle(e).color === "rgb(29, 47, 158)")
          .map((e) => e.outerHTML.slice(0, 100))"""
    )
    assert links == []
    found = sheets(page)
    assert all(lines_of(words) for words in found)
    # the title block never has a sheet of its own
    named = {word for word in TITLE_BLOCK if word in found[-1]}
    assert not named or len(lines_of(found[-1])) > 2 * len(TITLE_BLOCK)


@pytest.mark.parametrize("path", LONG)
def test_each_sheet_of_a_long_table_has_its_head(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = on_paper(browser, open_page, read_server, path)
    head = LONG[path].replace("\xa0", " ")
    found = [words.replace("\xa0", " ") for words in sheets(page)]
    assert sum(head in words for words in found) > 1


def test_the_paper_shows_the_collar_in_the_colours_that_were_chosen(
    read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = on_paper(browser, open_page, read_server, "/collars/T02-T03/03")
    page.locator("[data-state=body]").wait_for()
    still = page.locator(".still")
    assert still.is_visible()
    assert not page.locator(".stage").is_visible()
    before = still.inner_html()
    page.emulate_media(media="screen")
    page.locator("[data-map=thickness][href]").click()
    page.wait_for_url("**map=thickness**")
    page.emulate_media(media="print")
    assert still.inner_html() != before
    assert "Thickness" in still.inner_text()


def test_what_is_unfolded_is_printed_and_what_is_folded_is_not(
    read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = on_paper(browser, open_page, read_server, "/day/T02-T03/03")
    heading = "Every number, in the order to check it"
    whole = "\n".join(sheets(page))
    assert heading not in whole
    assert "Enhancement factor" not in whole
    page.emulate_media(media="screen")
    page.get_by_text("Wall in the main", exact=True).last.click()
    page.emulate_media(media="print")
    whole = "\n".join(sheets(page))
    assert heading in whole
    assert "Enhancement factor" in whole
    assert "Share kept unused" not in whole

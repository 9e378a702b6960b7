"""Is it tight, what do we hand over, what does it cost: the pages in a browser."""

import re

import pytest
from playwright.sync_api import Page, expect

from faces.web.conftest import OpenPage
from teewright.web.texts import text

PAGES = ("/proof", "/proof/T01-T02/02", "/proof/T01-T02/06", "/handover", "/price")
SMALLEST = """() => {
  const small = [];
  for (const text of document.querySelectorAll("svg text")) {
    const box = text.getBoundingClientRect();
    const size = parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a;
    if (box.width && size < 12.95) small.push([text.textContent, size]);
  }
  return small;
}"""
OUTSIDE = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.mark.parametrize("width", [1440, 1024, 390])
def test_nothing_is_cut_off_and_no_letter_is_too_small(
    begun_server: str, open_page: OpenPage, width: int
) -> None:
    page = open_page(begun_server, PAGES[0], width=width)
    for path in PAGES:
        page.goto(begun_server + path)
        assert page.evaluate(OUTSIDE) <= 0, path
        assert page.evaluate(SMALLEST) == [], path
        assert page.locator(".act:not(.quiet):visible").count() <= 1, path


def test_before_anything_is_set_the_pages_say_what_comes_first(
    demo_server: str, empty_server: str, open_page: OpenPage
) -> None:
    page = open_page(empty_server, "/proof")
    expect(page.locator("h1")).to_have_text(text("proof.answer_unplanned"))
    for path in ("/handover", "/price"):
        page.goto(empty_server + path)
        page.get_by_role("link", name=text("common.first.give")).click()
        expect(page).to_have_url(f"{empty_server}/survey")
    page = open_page(demo_server, "/proof")
    expect(page.locator("h1")).to_have_text(text("proof.answer_none"))
    page.goto(f"{demo_server}/handover")
    expect(page.locator("h1")).to_contain_text("0 of 35 connections")


def test_what_is_not_tight_is_told_at_its_curve_and_decided_in_the_log(
    begun_server: str, open_page: OpenPage
) -> None:
    page = open_page(begun_server, "/proof", errors=("422",))
    expect(page.locator("h1")).to_have_text("3 of 4 tested are tight; 3 must be decided")
    row = page.get_by_role("row", name="T01-T02/02")
    expect(row).to_contain_text("17.0 mbar")
    expect(row).to_contain_text("15.0 mbar")
    expect(row).to_contain_text("not tight")
    page.get_by_role("link", name=text("proof.decide_on", id="T01-T02/02")).click()
    expect(page.locator("h1")).to_have_text("T01-T02/02 is sealed and not tight")
    curve = page.get_by_role("img", name=text("proof.leak_named", id="T01-T02/02"))
    expect(curve).to_contain_text("limit 85.0 at 100 s")
    page.get_by_role("button", name=text("proof.decision_act")).click()
    expect(page.get_by_role("alert")).to_contain_text("1 to 1000 characters")
    page.get_by_label(text("proof.decision_label")).fill("Seal again <b>on Monday</b>")
    page.get_by_role("button", name=text("proof.decision_act")).click()
    expect(page.locator("aside")).to_contain_text("Seal again <b>on Monday</b>")
    closed = re.compile(r"The leak test: decided by .+ on \d{4}-\d\d-\d\d: Seal again <b>on Monday")
    expect(page.locator("aside")).to_contain_text(closed)
    expect(page.locator("aside")).not_to_contain_text("Decide on the failed leak test.")
    page.goto(f"{begun_server}/handover")
    expect(page.locator("h1")).to_contain_text("12 have open points")
    expect(page.locator(".records", has_text="Decide on")).not_to_contain_text("T01-T02/02")
    page.locator("summary", has_text=re.compile("closed|open", re.I)).last.click()
    expect(page.get_by_role("row", name="T01-T02/02")).to_contain_text(closed)
    page.goto(f"{begun_server}/proof")
    expect(page.locator("h1")).to_have_text("3 of 4 tested are tight; 2 must be decided")


def test_a_connection_that_is_none_is_not_found(begun_server: str, open_page: OpenPage) -> None:
    page = open_page(begun_server, "/proof", errors=("404",))
    for path in ("/proof/T99-T98/01", "/proof/T02-T03/03", "/proof/x/decision"):
        answer = page.goto(begun_server + path)
        assert answer is not None
        assert answer.status == 404, path


def test_states_stand_on_their_runs_and_in_the_list(begun_server: str, open_page: OpenPage) -> None:
    page = open_page(begun_server, "/handover")
    expect(page.locator("h1")).to_have_text(
        "2 of 35 connections are sealed, tight and closed; 13 have open points"
    )
    assert page.locator(".line svg > svg title").count() == 35
    expect(page.locator(".keys")).to_contain_text("17 planned")
    named = page.get_by_role(
        "img", name=re.compile("^Run T01-T02: 01 sealed and tight, 02 sealed, not")
    )
    expect(named).to_be_visible()


def head(page: Page) -> str:
    return page.locator(".end dd").inner_text().replace(" ", "").replace("\n", "")


def test_a_hash_that_was_noted_shows_what_came_after(
    begun_server: str, open_page: OpenPage
) -> None:
    page = open_page(begun_server, "/handover")
    end = head(page)
    assert re.fullmatch("[0-9a-f]{64}", end)
    for typed, told in (
        (end[:10].upper(), "Entry 88 has that hash: nothing up to it was changed. 0 entries"),
        ("0123456789abcdef", text("handover.head_unknown")),
        ("xyz", text("handover.head_none", least=8)),
    ):
        page.get_by_label(text("handover.head_label", least=8)).fill(typed)
        page.get_by_role("button", name=text("handover.head_act")).click()
        expect(page.locator("#compared")).to_contain_text(told)


def test_the_log_is_downloaded_by_clicking(begun_server: str, open_page: OpenPage) -> None:
    page = open_page(begun_server, "/handover")
    with page.expect_download() as download:
        page.get_by_role("link", name=text("handover.log_get")).click()
    assert download.value.suggested_filename.endswith("-log.json")


def test_the_price_adds_up_as_it_is_printed(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/price")

    def number(words: str) -> float:
        return float(re.sub(r"[^0-9.]", "", words))

    sums = [number(c) for c in page.locator(".quote tbody tr td:last-child").all_inner_texts()]
    net, overhead, total, _ = (number(c) for c in page.locator(".quote tfoot td").all_inner_texts())
    assert sum(sums) == pytest.approx(net, abs=0.001)
    assert net + overhead == pytest.approx(total, abs=0.001)
    expect(page.locator("h1")).to_contain_text(f"{total:,.0f}".replace(",", "\u202f"))
    expect(page.locator("aside")).to_contain_text("m³ of groundwater a year")


def test_on_the_night_sheet_a_figure_is_drawn_in_its_colours(
    begun_server: str, open_page: OpenPage
) -> None:
    page = open_page(begun_server, "/proof/T01-T02/02")
    page.get_by_role("button", name=text("common.night")).click()
    expect(page.locator("html")).to_have_class("night")
    line = page.locator(".drawn path[stroke='#15171c']").first
    plate = page.locator(".drawn svg rect").first
    assert line.evaluate("e => getComputedStyle(e).stroke") == "rgb(246, 243, 232)"
    assert plate.evaluate("e => getComputedStyle(e).fill") == "rgb(0, 0, 0)"

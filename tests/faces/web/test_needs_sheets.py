"""The needs of a town in the browser: sheets that keys go through, sorted and found as one list."""

import re
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from faces.web.conftest import OpenPage, served
from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep
from teewright.web.pages.needs_list import ROOM, WHOLE
from teewright.web.settings import Settings
from teewright.web.texts import text

HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"
EACH = 20
COUNT = WHOLE + 2 * EACH


@pytest.fixture(scope="module")
def town_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    rows = [
        f"A{run},B{run},{2 + 3 * k}.5,{1 + k % 11},150,junction,open,{'BBFA' if k % 3 else ''},,\n"
        for run in range(COUNT // EACH)
        for k in range(EACH)
    ]
    path = tmp_path_factory.mktemp("town") / "town.tee"
    survey = (Document("town.csv", (HEAD + "".join(rows)).encode()),)
    keep(path, Inputs(survey, None, None, Options(liner_mm=6.0)))
    with served(Settings(path, quick=True)) as address:
        yield address


def shown(page: Page) -> list[str]:
    return page.locator(".needs tbody tr th").all_text_contents()


def ready(page: Page) -> None:
    page.locator("html[data-ready]").wait_for(state="attached")


def test_keys_go_on_to_the_next_sheet_and_back(town_server: str, open_page: OpenPage) -> None:
    page = open_page(town_server, "/needs")
    ready(page)
    first = shown(page)
    assert len(first) == ROOM
    expect(page.locator(".sheets p")).to_contain_text(
        text("needs.sheet_all", first=1, last=ROOM, all=COUNT)
    )
    page.locator(".needs tbody tr td.why").last.click()
    page.keyboard.press("j")
    row = page.locator("tr[aria-current]")
    expect(page.get_by_text(text("needs.sheet", sheet=2, sheets=11)).first).to_be_visible()
    ready(page)
    second = shown(page)
    assert not set(second) & set(first)
    expect(row).to_have_attribute("data-id", second[0])
    expect(page.locator("tr[aria-current] th a")).to_be_focused()
    page.keyboard.press("k")
    expect(page.get_by_text(text("needs.sheet", sheet=1, sheets=11)).first).to_be_visible()
    expect(row).to_have_attribute("data-id", first[-1])
    page.reload()
    expect(row).to_have_attribute("data-id", first[-1])


def test_sorted_and_filtered_over_the_whole_list(town_server: str, open_page: OpenPage) -> None:
    page = open_page(town_server, "/needs?sheet=3")
    ready(page)
    page.get_by_role("link", name=text("needs.column.chainage"), exact=True).click()
    expect(page.locator("th[aria-sort=ascending]")).to_have_text(text("needs.column.chainage"))
    places = set(page.locator(".needs td.chainage").all_text_contents())
    assert {place.split()[0] for place in places} <= {"2.50", "5.50"}
    page.get_by_role("link", name=text("needs.column.chainage"), exact=True).click()
    expect(page.locator("th[aria-sort=descending]")).to_be_visible()
    places = set(page.locator(".needs td.chainage").all_text_contents())
    assert {place.split()[0] for place in places} <= {"59.50", "56.50"}
    page.keyboard.press("/")
    page.keyboard.type("A77-")
    page.keyboard.press("Enter")
    expect(page.locator(".needs tbody tr")).to_have_count(EACH)
    assert shown(page)[0] == "A77-B77/20"  # still by chainage, the greatest first
    page.get_by_role("searchbox").fill("nothing like this")
    page.get_by_role("searchbox").press("Enter")
    expect(page.locator("#none")).to_be_visible()
    expect(page.locator("table.needs")).to_have_count(0)
    page.get_by_role("link", name=text("needs.none_clear")).click()
    expect(page.locator(".needs tbody tr")).to_have_count(ROOM)


def test_decided_on_a_sheet_and_undone_there(town_server: str, open_page: OpenPage) -> None:
    page = open_page(town_server, "/needs?sheet=2&sort=clock")
    ready(page)
    name = shown(page)[4]
    page.locator(f"tr[data-id='{name}'] td.why").click()
    page.keyboard.press("v")
    page.get_by_role("dialog").get_by_role("textbox").fill("dry for years")
    page.keyboard.press("Enter")
    row = page.locator("tr[aria-current]")
    expect(row).to_contain_text("dry for years")
    expect(page.locator("[data-filter=v] span")).to_have_text("1")
    expect(page.locator("#undo")).to_contain_text(name)
    page.keyboard.press("z")
    expect(page.locator("[data-filter=v] span")).to_have_text("0")
    expect(row).to_have_attribute("data-id", name)
    expect(page).to_have_url(re.compile(r"sheet=2"))


def test_the_print_says_which_part_it_is(town_server: str, open_page: OpenPage) -> None:
    page = open_page(town_server, "/needs?sheet=2")
    ready(page)
    page.emulate_media(media="print")
    expect(page.locator(".sheets p")).to_be_visible()
    expect(page.locator(".sheets p")).to_contain_text(
        text("needs.sheet_all", first=ROOM + 1, last=2 * ROOM, all=COUNT)
    )
    expect(page.locator(".pager").first).to_be_hidden()
    expect(page.locator(".needs tbody tr").last).to_be_visible()


@pytest.mark.parametrize("width", [1440, 390])
def test_a_sheet_is_accessible_and_fits(town_server: str, open_page: OpenPage, width: int) -> None:
    page = open_page(town_server, "/needs?sort=reason&down=1&words=A1", width=width)
    ready(page)
    wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide[0] <= wide[1]
    found = Axe().run(page).response["violations"]
    assert [one["id"] for one in found if one["impact"] in {"serious", "critical"}] == []
    for link in page.locator(".pager a, .by-need a").all():
        box = link.bounding_box()
        assert box is not None
        assert box["height"] >= 44

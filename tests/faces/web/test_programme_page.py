"""The programme in a real browser: dragged, moved with keys, kept, undone, planned again."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from faces.web.conftest import PLANNED_WITHIN, OpenPage, served
from teewright.web.settings import Settings
from teewright.web.texts import text

ONE = "T02-T03/03"
"""First of its shift, followed in the same run by another from the same packer."""


AHEAD = 94
"""So far on [min] its packer is still under pressure when the next collar needs it."""
LAID = "22:18"
"""Where its batch, dropped AHEAD or an hour later, waits for hands: T03-T04/01 is at pressure at
21:40; 12 min of way and 25 min of set-up later it is 22:17, in whole minutes with its seconds
22:18."""


def bar(page: Page, connection: str) -> Locator:
    return page.locator(f'.bar[data-visit="{connection}"]')


def mixed(page: Page, connection: str) -> str:
    label = bar(page, connection).get_attribute("aria-label") or ""
    found = re.search(r"mix (\d\d:\d\d)", label)
    assert found, label
    return found.group(1)


def minutes(clock: str) -> int:
    hours, rest = clock.split(":")
    return (int(hours) * 60 + int(rest) - 12 * 60) % 1440


def drag(page: Page, connection: str, across: float, down: float = 0.0) -> None:
    bar(page, connection).scroll_into_view_if_needed()
    box = bar(page, connection).locator(".hold").bounding_box()
    assert box
    x, y = box["x"] + 12, box["y"] + 10
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + across / 2, y + down / 2, steps=4)
    page.mouse.move(x + across, y + down, steps=4)


def hour(page: Page) -> float:
    """Width of an hour [px]."""
    box = page.locator(".plot").first.bounding_box()
    assert box
    return box["width"] / 10.0


def kept(page: Page) -> None:
    """Nothing waits to be kept."""
    expect(page.locator(".standing")).to_have_attribute("data-pending", "0")


def test_a_dragged_bar_says_in_words_what_breaks(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/programme")
    before = mixed(page, ONE)
    drag(page, ONE, AHEAD / 60.0 * hour(page))
    expect(page.locator("#aloud")).to_contain_text("breaks")
    expect(page.locator("#ghost")).to_be_visible()
    page.mouse.up()
    expect(page.locator(".told").first).to_contain_text(ONE)
    expect(page.locator("h1")).to_contain_text("broken")
    assert minutes(mixed(page, ONE)) > minutes(before)
    assert minutes(mixed(page, ONE)) == minutes(LAID)
    assert page.locator(".joint").count() > 0
    expect(page.locator(".changes")).to_contain_text("Made way")


def test_a_bar_laid_where_the_hands_are_full_waits_and_says_so(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    drag(page, ONE, hour(page))  # into the set-up and the batch of the other manhole
    expect(page.locator("#aloud")).to_contain_text("the crew is free for it only at")
    page.mouse.up()
    said = page.locator("#aloud")
    expect(said).to_contain_text("laid down: mix")
    assert f"laid down: mix {mixed(page, ONE)}" in said.inner_text()
    assert mixed(page, ONE) == LAID


def test_what_is_not_kept_outlives_a_reload_and_can_be_undone(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    before = mixed(page, ONE)
    drag(page, ONE, hour(page))
    page.mouse.up()
    expect(page.locator(".changes")).to_be_visible()
    moved = mixed(page, ONE)
    page.reload()
    expect(page.locator(".changes")).to_be_visible()
    assert mixed(page, ONE) == moved
    page.get_by_role("button", name=text("programme.undo_step")).click()
    kept(page)
    assert mixed(page, ONE) == before
    page.reload()
    kept(page)


def test_without_a_signal_a_change_waits(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/programme", errors=("ERR_INTERNET_DISCONNECTED",))
    bar(page, ONE).click()
    page.context.set_offline(True)
    page.get_by_role("button", name=text("programme.later_by", n=30)).click()
    expect(page.locator("#aloud")).to_contain_text(text("programme.js.offline"))
    page.context.set_offline(False)
    page.reload()
    expect(page.locator(".changes")).to_contain_text(f"{ONE} moved")


def test_a_broken_programme_is_kept_only_by_who_says_so(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    before = mixed(page, ONE)
    drag(page, ONE, AHEAD / 60.0 * hour(page))
    page.mouse.up()
    keep = page.get_by_role("button", name=text("programme.keep"), exact=True)
    expect(keep).to_be_visible()
    moved = mixed(page, ONE)
    keep.click()  # the browser asks for the tick first
    expect(page.locator(".changes")).to_be_visible()
    page.get_by_label(text("programme.although")).check()
    keep.click()
    kept(page)
    page.reload()
    kept(page)
    assert mixed(page, ONE) == moved
    expect(page.locator(".told").first).to_contain_text(ONE)
    page.get_by_role("button", name=text("programme.undo"), exact=True).click()
    kept(page)
    assert mixed(page, ONE) == before


def test_a_bar_is_moved_with_the_keys_alone(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/programme")
    before = mixed(page, ONE)
    bar(page, ONE).focus()
    page.keyboard.press("Enter")
    expect(page.locator("#aloud")).to_contain_text("taken up")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Escape")
    expect(page.locator("#ghost")).to_be_hidden()
    assert mixed(page, ONE) == before
    page.keyboard.press("Enter")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    expect(page.locator(".changes")).to_contain_text(ONE)
    assert minutes(mixed(page, ONE)) == (minutes(before) // 5 + 3) * 5  # three steps of the grid
    assert page.evaluate("document.activeElement.dataset.visit") == ONE


def test_a_bar_goes_to_another_crew_and_day_with_the_keys(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    days = page.locator(".crew-day")
    here = page.locator(".crew-day", has=bar(page, ONE))
    order = [(d.get_attribute("data-day"), d.get_attribute("data-crew")) for d in days.all()]
    at = order.index((here.get_attribute("data-day"), here.get_attribute("data-crew")))
    assert at + 2 < len(order)
    bar(page, ONE).focus()
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.locator(".changes")).to_contain_text(ONE)
    there = page.locator(".crew-day", has=bar(page, ONE))
    found = (there.get_attribute("data-day"), there.get_attribute("data-crew"))
    assert found == order[at + 2]
    assert found[0] != order[at][0]


def test_fixed_collars_stay_when_the_rest_is_planned_again(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    bar(page, ONE).focus()
    page.keyboard.press("f")
    expect(page.locator(".changes")).to_contain_text(text("programme.fixed_now", what=ONE))
    other = "T02-T03/01"
    drag(page, other, -hour(page) / 2)
    page.mouse.up()
    expect(page.locator(".changes")).to_contain_text(other)
    fixed, moved = mixed(page, ONE), mixed(page, other)
    page.get_by_role("button", name=text("programme.replan_short")).click()
    undo = page.get_by_role("button", name=text("programme.undo"), exact=True)
    expect(undo).to_be_visible(timeout=PLANNED_WITHIN)  # it is there once the new programme is kept
    kept(page)
    assert (mixed(page, ONE), mixed(page, other)) == (fixed, moved)
    expect(page.get_by_role("row", name=ONE)).to_contain_text(text("programme.state.fixed"))


def test_the_chosen_collar_leads_to_its_pages(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/programme")
    bar(page, ONE).click()
    panel = page.locator("#chosen")
    expect(panel.get_by_role("link", name=text("programme.to_clock"))).to_have_attribute(
        "href", "/clock/T02-T03/03%231"
    )
    panel.get_by_role("link", name=text("programme.to_collar")).click()
    expect(page).to_have_url(f"{demo_server}/collars/{ONE}")


def test_on_a_phone_a_collar_is_moved_without_dragging(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme", width=390, height=800)
    expect(page.locator(".drawing")).to_be_hidden()
    page.locator(f'.pick[data-visit="{ONE}"]').click()
    page.get_by_role("button", name=text("programme.later_by", n=30)).click()
    expect(page.locator(".changes")).to_contain_text("mix 21:00")  # 20:31 and 30 min, by fives
    page.get_by_label(text("programme.day")).select_option(index=2)
    page.get_by_role("button", name=text("programme.there_last")).click()
    expect(page.locator(".changes li")).to_have_count(1)
    expect(page.locator(".standing")).to_have_attribute("data-pending", "2")


@pytest.mark.parametrize("width", [1440, 1024, 720, 390])
def test_no_page_is_wider_than_its_window(
    demo_server: str, open_page: OpenPage, width: int
) -> None:
    page = open_page(demo_server, "/programme", width=width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        "[...document.querySelectorAll('main button, main select, main .act')]"
        ".filter(e => e.getClientRects().length)"
        ".filter(e => e.getBoundingClientRect().height < 43.5).length"
    )
    assert small == 0


def test_the_texts_on_the_bars_do_not_overlap(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/programme", width=1440)
    for width in (1440, 1200, 1024, 720):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(OVERLAPS) == [], width


OVERLAPS = """[...document.querySelectorAll('.plot')].flatMap(plot => {
  const texts = [...plot.querySelectorAll('text')]
    .filter(t => t.getClientRects().length)
    .map(t => [t.textContent.trim(), t.getBoundingClientRect()]);
  return texts.flatMap(([a, p], i) => texts.slice(i + 1)
    .filter(([, q]) => Math.min(p.right, q.right) - Math.max(p.left, q.left) > 1
      && Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top) > 5)
    .map(([b]) => `${a} and ${b}`));
})"""


@pytest.mark.parametrize("width", [1440, 390])
def test_it_can_be_used_by_everyone(demo_server: str, open_page: OpenPage, width: int) -> None:
    """No rule of WCAG 2 that a machine can try is broken, with a collar chosen and moved."""
    page = open_page(demo_server, "/programme", width=width)
    page.locator(f'[data-visit="{ONE}"]:visible').first.click()
    page.get_by_role("button", name=text("programme.later_by", n=30)).click()
    expect(page.locator(".changes")).to_be_visible()
    assert [v["id"] for v in Axe().run(page).response["violations"]] == []


def test_without_designs_it_says_what_to_do(tmp_path: Path, open_page: OpenPage) -> None:
    with served(Settings(tmp_path / "new.tee")) as address:
        page = open_page(address, "/programme")
        expect(page.locator("h1")).to_have_text(text("programme.answer_none"))
        expect(page.get_by_role("link", name=text("common.first.give"))).to_be_visible()

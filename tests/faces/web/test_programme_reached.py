"""Every move without dragging, said aloud; the one next act; a programme changed by another."""

import json
import threading
from urllib.request import Request, urlopen

import pytest
from playwright.sync_api import Page, expect

from faces.web.conftest import PLANNED_WITHIN, OpenPage
from faces.web.test_programme_page import ONE, bar, kept, minutes, mixed
from teewright.web.texts import text

SOUND = text("programme.js.sound")


def press(page: Page, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def said(page: Page, words: str) -> None:
    expect(page.locator("#aloud")).to_contain_text(words)


def solid(page: Page) -> list[str]:
    """What the solid buttons of the page say."""
    found = page.locator(".act:not(.quiet):visible")
    return [one.inner_text() for one in found.all()]


def moved_elsewhere(server: str, connection: str, minute: int) -> None:
    """Somebody else keeps a change, over the API."""
    with urlopen(f"{server}/api/v1/programme/state") as answer:
        state = json.load(answer)
    shift = next(
        s for s in state["programme"]["shifts"]
        if connection in {v["connection_id"] for v in s["visits"]}
    )  # fmt: skip
    edit = {
        "connection": connection,
        "crew": shift["crew"],
        "day": shift["day"],
        "mix": f"{shift['day']}T20:{minute}:00",
    }
    body = {"on": state["version"], "edits": [edit], "although": True}
    request = Request(
        f"{server}/api/v1/programme",
        json.dumps(body).encode(),
        {"Content-Type": "application/json"},
        method="PUT",
    )
    with urlopen(request) as answer:
        assert answer.status == 200


def test_the_next_act_stands_in_the_head_and_is_the_only_solid_one(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    head = page.locator("header #act")
    assert solid(page) == [text("programme.open_clock")]
    expect(head.get_by_role("link", name=text("programme.open_clock"))).to_be_visible()
    bar(page, ONE).click()
    page.get_by_role("button", name=text("programme.later_by", n=5)).click()
    said(page, SOUND)
    assert solid(page) == [text("programme.keep")]
    for _ in range(4):
        page.get_by_role("button", name=text("programme.later_by", n=30)).click()
        expect(page.locator(".changes")).to_be_visible()
    expect(page.locator(".told").first).to_be_visible()
    assert solid(page) == [text("programme.replan_short")]
    page.get_by_role("button", name=text("programme.undo_step")).click()
    said(page, text("programme.js.undone"))
    for _ in range(4):
        page.get_by_role("button", name=text("programme.undo_step")).click()
    kept(page)
    assert solid(page) == [text("programme.open_clock")]
    bar(page, ONE).click()
    page.get_by_role("button", name=text("programme.later_by", n=5)).click()
    said(page, SOUND)
    head.get_by_role("button", name=text("programme.keep")).click()
    expect(page.get_by_role("button", name=text("programme.undo"), exact=True)).to_be_visible()
    kept(page)


@pytest.mark.parametrize("width", [1440, 1024])
def test_no_line_of_a_street_runs_through_its_words(
    demo_server: str, open_page: OpenPage, width: int
) -> None:
    page = open_page(demo_server, "/programme", width=width)
    crossed = page.evaluate(
        """() => [...document.querySelectorAll('.plot')].flatMap(plot => {
          const boxes = all => [...plot.querySelectorAll(all)]
            .map(e => [e, e.getBoundingClientRect()]);
          return boxes('text').flatMap(([t, p]) => boxes('line.tick').filter(([l, q]) =>
            q.width > 4 && q.top > p.top + 1 && q.bottom < p.bottom - 1
            && q.right > p.left && q.left < p.right).map(() => t.textContent));
        })"""
    )
    assert crossed == []
    assert page.locator(".plot line.tick").count() > 10


def test_keys_move_in_time_by_half_an_hour_and_say_where_and_what_breaks(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    before = minutes(mixed(page, ONE))
    bar(page, ONE).focus()
    press(page, "Enter", "Shift+ArrowRight")
    held = (before // 5 + 6) * 5 % 1440
    at = f"{(held + 720) // 60 % 24:02d}:{held % 60:02d}"
    said(page, f"mix {at}")
    said(page, SOUND)
    press(page, "Enter")
    said(page, f"{ONE} laid down: mix {at}")
    said(page, SOUND)
    assert mixed(page, ONE) == at


def test_what_a_key_took_up_is_put_back_when_the_reader_goes_elsewhere(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    before = mixed(page, ONE)
    bar(page, ONE).focus()
    press(page, "Enter", "ArrowRight", "ArrowRight")
    expect(page.locator("#ghost")).to_be_visible()
    press(page, "Tab")
    expect(page.locator("#ghost")).to_be_hidden()
    said(page, text("programme.js.back", what=ONE))
    assert mixed(page, ONE) == before
    kept(page)


def test_fixing_and_letting_go_are_said(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/programme")
    bar(page, ONE).focus()
    press(page, "f")
    said(page, text("programme.js.fixed", what=ONE))
    press(page, "f")
    said(page, text("programme.js.loose", what=ONE))


def test_at_a_phone_every_move_is_made_by_touch_and_said(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme", width=390, height=800)
    pick = page.locator(f'.pick[data-visit="{ONE}"]')
    pick.click()
    page.get_by_role("button", name=text("programme.earlier", n=5)).click()
    said(page, f"{ONE} laid down: mix 20:25")
    crew = page.locator("#to-crew")
    names = crew.locator("option").all_inner_texts()
    other = next(name for name in names if name != crew.input_value())
    crew.select_option(other)
    page.get_by_role("button", name=text("programme.there_same")).click()
    said(page, f"{ONE} laid down: mix 20:25, {other}")
    day = page.locator("#to-day")
    day.select_option(index=0)
    where = day.locator("option").first.inner_text()
    page.get_by_role("button", name=text("programme.there_last")).click()
    said(page, f"{other}, {where}")
    expect(page.locator(".standing")).to_have_attribute("data-pending", "3")
    heading = page.locator(".upright section", has=pick).locator("h2")
    expect(heading).to_have_text(f"{where}, {other}")
    page.locator("[data-fix]").click()
    said(page, text("programme.js.loose", what=ONE))


def test_a_collar_without_a_shift_is_placed_with_the_keys(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    place = page.get_by_role("button", name=text("programme.unplanned_place")).first
    which = place.get_attribute("data-visit")
    place.focus()
    press(page, "Enter")
    last = page.get_by_role("button", name=text("programme.there_last"))
    last.focus()
    press(page, "Enter")
    said(page, f"{which} laid down")
    assert which
    expect(bar(page, which)).to_be_visible()


def test_a_change_of_an_old_page_is_tried_on_the_newest(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme", errors=("409",))
    moved_elsewhere(demo_server, "T05-T06/02", 35)
    bar(page, ONE).click()
    page.get_by_role("button", name=text("programme.later_by", n=5)).click()
    said(page, text("programme.js.rebased"))
    expect(page.locator(".changes")).to_contain_text(f"{ONE} moved")
    assert mixed(page, "T05-T06/02") == "20:35"


def test_what_was_to_be_kept_is_not_lost_when_another_was_faster(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme", errors=("409",))
    bar(page, ONE).click()
    page.get_by_role("button", name=text("programme.later_by", n=5)).click()
    said(page, SOUND)
    moved_elsewhere(demo_server, "T05-T06/02", 35)
    page.get_by_role("button", name=text("programme.keep"), exact=True).click()
    said(page, text("programme.js.rebased"))
    expect(page.locator(".changes")).to_contain_text(f"{ONE} moved")
    assert mixed(page, "T05-T06/02") == "20:35"
    page.get_by_role("button", name=text("programme.keep"), exact=True).click()
    kept(page)
    assert mixed(page, "T05-T06/02") == "20:35"


def test_what_was_sent_to_be_planned_is_not_tried_again_on_what_comes_of_it(
    demo_server: str, open_page: OpenPage, held_up: threading.Event
) -> None:
    """Though the page is loaded anew while it is being planned."""
    page = open_page(demo_server, "/programme")
    bar(page, ONE).click()
    page.get_by_role("button", name=text("programme.later_by", n=5)).click()
    said(page, SOUND)
    held_up.clear()
    with page.expect_navigation():
        page.get_by_role("button", name=text("programme.replan_short")).click()
    for _ in range(2):
        page.reload()
        expect(page.locator("#task")).to_contain_text("Working: ")
    held_up.set()
    undo = page.get_by_role("button", name=text("programme.undo"), exact=True)
    expect(undo).to_be_visible(timeout=PLANNED_WITHIN)
    kept(page)


def test_an_old_undo_does_nothing_and_says_so(demo_server: str, open_page: OpenPage) -> None:
    moved_elsewhere(demo_server, ONE, 40)
    page = open_page(demo_server, "/programme", errors=("409",))
    moved_elsewhere(demo_server, "T05-T06/02", 35)
    page.get_by_role("button", name=text("programme.undo"), exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text(text("programme.refused"))
    expect(page).to_have_url(f"{demo_server}/programme")
    assert (mixed(page, ONE), mixed(page, "T05-T06/02")) == ("20:40", "20:35")
    page.reload()
    expect(page.get_by_role("alert")).to_have_count(0)


def test_on_paper_there_is_the_sheet_by_day_without_buttons(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/programme")
    page.get_by_role("button", name=text("common.night")).click()
    expect(page.locator("html.night")).to_be_attached()
    ground = "getComputedStyle(document.documentElement).getPropertyValue('--paper')"
    assert page.evaluate(ground) == "#000"
    page.emulate_media(media="print")
    assert page.evaluate(ground) == "#faf9f4"
    assert page.locator("main button:visible, header button:visible, .act:visible").count() == 0
    expect(page.locator(".drawing")).to_be_visible()

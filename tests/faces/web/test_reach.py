"""Every page with the keys alone, on a narrow screen, with large or spaced letters, forced colours.

WCAG 2.2: 1.4.4 resize text, 1.4.10 reflow, 1.4.12 text spacing, 2.1.1 and 2.1.2 keyboard, 2.4.1
bypass blocks, 2.4.7 focus visible, 2.5.8 target size.
"""

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from faces.web.conftest import OpenPage
from faces.web.test_every_page import PAGES, at_that_time, opened

SPACED = """body :not(svg, svg *) { line-height: 1.5 !important; letter-spacing: .12em !important;
  word-spacing: .16em !important } p { margin-bottom: 2em !important }"""
"""Text spacing of WCAG 1.4.12; the words of a drawing stand in the list beside it too."""
CUT = """() => [...document.querySelectorAll("h1,h2,h3,p,b,dd,dt,a,button,label,summary,th,td,li")]
  .filter((e) => e.checkVisibility({visibilityProperty: true})
    && !e.closest(".visually-hidden,.figure,.skip,svg,details:not([open]) > :not(summary)"))
  .filter((e) => { for (let at = e; at; at = at.parentElement)
    if (getComputedStyle(at).clipPath !== "none") return false; return true; })
  .filter((e) => { const b = e.getBoundingClientRect();
    return b.width > 2 && (b.right > innerWidth + 1 || b.left < -1); })
  .map((e) => e.outerHTML.slice(0, 120))"""
"""What is cut off at the side of the window."""
TALL, CLOCK = 44.0, 64.0
"""Least height of what is pressed, on every page and on the clock [px]."""
SMALL = """(least) => [...document.querySelectorAll(
    "button,select,summary,input:not([type=hidden],[type=checkbox],[type=radio]),a.act,.acts a")]
  .filter((e) => e.checkVisibility() && !e.closest(".visually-hidden,svg"))
  .filter((e) => getComputedStyle(e).display !== "inline")
  .map((e) => [e.outerHTML.slice(0, 120), e.getBoundingClientRect().height])
  .filter(([, tall]) => tall > 0 && tall < least - .5)"""


def no_side_scroll(page: Page) -> None:
    wide: list[int] = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide[0] <= wide[1]
    assert page.evaluate(CUT) == []


def narrow(
    browser: Browser, open_page: OpenPage, address: str, path: str, width: int = 320, **how: Any
) -> Page:
    """A page on a window of 320 px, which is one of 1280 px at 400 %."""
    context = browser.new_context(viewport={"width": width, "height": 640}, **how)
    if path.startswith("/clock"):
        for asked in ("**/api/v1/clock", "**/api/v1/events*"):
            context.route(asked, at_that_time)
    page = open_page(address, path, context=context)
    page.locator("h1").first.wait_for()
    page.wait_for_load_state("networkidle")
    return page


@pytest.mark.parametrize("path", PAGES)
def test_a_page_flows_anew_at_320_pixels_and_with_spaced_letters(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = narrow(browser, open_page, read_server, path, bypass_csp=True)
    no_side_scroll(page)
    page.add_style_tag(content=SPACED)
    no_side_scroll(page)


@pytest.mark.parametrize("path", PAGES)
def test_letters_twice_as_large_are_not_cut(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = narrow(browser, open_page, read_server, path, 720, device_scale_factor=2)  # 1440 px
    no_side_scroll(page)


@pytest.mark.parametrize("path", PAGES)
def test_what_is_pressed_is_tall_enough(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = opened(browser, open_page, read_server, path, 390)
    small = page.evaluate(SMALL, CLOCK if path.startswith("/clock") else TALL)
    assert small == []


@pytest.mark.parametrize("path", PAGES)
def test_the_keys_reach_everything_and_leave_again(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = opened(browser, open_page, read_server, path, 1440)
    page.keyboard.press("Tab")
    skip = page.locator(":focus")
    expect(skip).to_have_class("skip")
    expect(skip).to_be_in_viewport()
    target = (skip.get_attribute("href") or "").removeprefix("#")
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == f"#{target}"
    # from there the next stop lies within or after what was skipped to
    page.keyboard.press("Tab")
    assert page.evaluate(
        """(id) => { const to = document.getElementById(id), at = document.activeElement;
          return at !== document.body && (to.contains(at)
            || Boolean(to.compareDocumentPosition(at) & 4)); }""",
        target,
    )
    # no trap: within as many steps as there are stops the focus leaves the page
    stops = page.evaluate(
        """document.querySelectorAll("a,button,input,select,textarea,summary,[tabindex]").length"""
    )
    for _ in range(stops + 2):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement === document.body"):
            break
    else:
        pytest.fail("the focus never leaves the page")


@pytest.mark.parametrize("path", PAGES)
def test_forced_colours_and_less_motion_leave_a_page_whole(
    path: str, read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = narrow(
        browser, open_page, read_server, path, forced_colors="active", reduced_motion="reduce"
    )
    moving = page.evaluate(
        """() => [...document.querySelectorAll("*")].filter((e) => {
          const s = getComputedStyle(e);
          return s.animationName !== "none" || (s.transitionDuration !== "0s"); })
          .map((e) => e.outerHTML.slice(0, 100))"""
    )
    assert moving == []
    # the words of drawings take the colour of the system, not one that may be its ground
    words = page.evaluate(
        """() => { const ground = getComputedStyle(document.body).backgroundColor;
          return [...document.querySelectorAll("main svg text")]
            .filter((e) => e.checkVisibility())
            .filter((e) => getComputedStyle(e).fill === ground)
            .map((e) => e.textContent); }"""
    )
    assert words == []


def test_a_dialog_takes_the_focus_and_gives_it_back(
    read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = opened(browser, open_page, read_server, "/needs", 1440)
    row = page.locator(".needs tbody th a").nth(2)
    row.focus()
    page.keyboard.press("l")
    expect(page.locator("#decide")).to_be_visible()
    expect(page.locator("#decide-why")).to_be_focused()
    for _ in range(8):  # it stays in the dialog
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement === document.body"
                             " || Boolean(document.activeElement.closest('dialog'))")  # fmt: skip
    page.keyboard.press("Escape")
    expect(page.locator("#decide")).to_be_hidden()
    expect(row).to_be_focused()


def test_the_focus_survives_what_is_swapped_in(
    read_server: str, browser: Browser, open_page: OpenPage
) -> None:
    page = opened(browser, open_page, read_server, "/collars/T02-T03/03", 1440)
    slider = page.locator("#try-angle")
    slider.focus()
    before = page.locator("#instant").inner_text()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#instant")).not_to_have_text(re.compile(f"^{re.escape(before)}$"))
    expect(slider).to_be_focused()

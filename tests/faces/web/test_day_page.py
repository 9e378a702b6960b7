import math
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Page, expect

from faces.web.conftest import OpenPage
from teewright.job.values import Design
from teewright.report.sheets.flow import hour_ranges
from teewright.units import BAR, MINUTE
from teewright.web.app import make_app
from teewright.web.day_view import Part, answer, traces, troubles
from teewright.web.quantities import System
from teewright.web.settings import Settings
from teewright.web.texts import text

ONE = "T03-T04/02"


@pytest.fixture(scope="module")
def designs(demo_project_once: Path) -> Iterator[tuple[Design, ...]]:
    app = make_app(Settings(demo_project_once, quick=True))
    with TestClient(app, base_url="http://localhost"):
        found = app.state.office.known().designs
        assert found is not None
        yield found.designs


@pytest.fixture(scope="module")
def design(designs: tuple[Design, ...]) -> Design:
    return next(d for d in designs if d.connection_id == ONE)


def limit(page: Page, name: str) -> str:
    return page.locator(".limit", has=page.get_by_text(name, exact=True)).inner_text()


def test_all_collars_are_told_and_led_to(
    demo_server: str, open_page: OpenPage, designs: tuple[Design, ...]
) -> None:
    page = open_page(demo_server, "/day")
    expect(page.locator("h1")).to_have_text(text("day.answer", n=len(designs)))
    links = page.locator(".days th a")
    expect(links).to_have_count(len(designs))
    assert sorted(links.all_inner_texts()) == sorted(d.connection_id for d in designs)
    expect(page.locator(".chart .wide-figure svg")).to_be_visible()
    expect(page.locator(".chart .slim-figure svg")).to_be_hidden()
    page.get_by_role("link", name=ONE).click()
    expect(page).to_have_url(f"{demo_server}/day/{ONE}")


@pytest.mark.parametrize("path", ["/day", f"/day/{ONE}"])
def test_charts_fit_a_hand_held_screen(
    path: str, demo_server: str, browser: Browser, open_page: OpenPage
) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = open_page(demo_server, path, context=context)
    drawn = page.locator(".chart svg:visible")
    assert drawn.count() == page.locator(".chart").count() > 0
    for figure in drawn.all():
        wide, scrolls, least = figure.evaluate(
            """(e) => [e.getBoundingClientRect().width, e.parentElement.scrollWidth
              > e.parentElement.clientWidth, Math.min(...[...e.querySelectorAll("text")].map(
              (t) => parseFloat(getComputedStyle(t).fontSize) * e.getScreenCTM().a))]"""
        )
        assert wide <= 390
        assert not scrolls
        assert least >= 11.0


def test_temperatures_and_levels_are_told_in_us_units(
    demo_server: str, browser: Browser, open_page: OpenPage
) -> None:
    context = browser.new_context()
    context.add_cookies([{"name": "units", "value": "us", "url": demo_server}])
    page = open_page(demo_server, f"/day/{ONE}", context=context)
    told = page.locator("main").inner_text()
    assert re.search(r"Mixed at \d+\s°F, main at \d+\s°F", told)
    assert re.search(r"with \d+\.\d\sin left", told)
    level = page.locator(".chart").first.locator("svg:visible").text_content()
    assert level is not None
    assert "in over the invert" in level


def test_one_collar_is_told_with_its_numbers(
    demo_server: str, open_page: OpenPage, design: Design
) -> None:
    page = open_page(demo_server, f"/day/{ONE}")
    expect(page.locator("h1")).to_contain_text("It cures, holds and passes the flow")
    by, release = design.cure.latest_inflation / MINUTE, design.cure.release_time / MINUTE
    assert f"{int(by)} min" in limit(page, text("day.by"))
    assert f"{math.ceil(release)} min" in limit(page, text("day.release"))
    assert design.pressure.set is not None
    assert f"{design.pressure.set / BAR:.2f}" in limit(page, text("day.pressure"))
    wall = design.governing_wall
    assert f"{100.0 * wall.utilisation:.0f}" in limit(page, text("day.wall", part="main"))
    assert design.flow is not None
    hours = [h for h in design.bypass.allowed_hours if h in design.flow.allowed_hours]
    assert hour_ranges(hours) in limit(page, text("day.begin"))


def test_every_number_is_folded_in_and_has_its_source(
    demo_server: str, open_page: OpenPage, design: Design
) -> None:
    page = open_page(demo_server, f"/day/{ONE}")
    rows = page.locator(".trace tbody tr")
    expect(rows).to_have_count(sum(len(found) for _, found in traces(design)))
    expect(rows.first).to_be_hidden()
    page.locator("summary", has_text=text("day.section.wall")).click()
    cells = page.locator("details[open] .trace tbody tr").first.locator("td")
    expect(cells).to_have_count(5)
    expect(cells.first).to_be_visible()


def test_cautions_and_review_stand_on_the_page(
    demo_server: str, open_page: OpenPage, design: Design
) -> None:
    page = open_page(demo_server, f"/day/{ONE}")
    for cause, act in design.cautions:
        expect(page.locator(".cautions")).to_contain_text(cause.rstrip(". "))
        expect(page.locator(".cautions")).to_contain_text(act)
    for said in design.review:
        expect(page.locator(".cautions")).to_contain_text(said)


@pytest.mark.parametrize("width", [1440, 1024, 390])
@pytest.mark.parametrize("path", ["/day", f"/day/{ONE}"])
def test_nothing_is_wider_than_the_page(
    demo_server: str, open_page: OpenPage, path: str, width: int
) -> None:
    page = open_page(demo_server, path, width=width)
    wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide[0] <= wide[1]


@pytest.mark.parametrize("path", ["/day", f"/day/{ONE}"])
def test_nobody_is_shut_out(demo_server: str, open_page: OpenPage, path: str) -> None:
    found = Axe().run(open_page(demo_server, path)).response["violations"]
    assert [(each["id"], each["nodes"][0]["html"]) for each in found] == []


def test_figures_keep_legible_letters(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, f"/day/{ONE}")
    sizes = page.evaluate(
        """() => [...document.querySelectorAll(".drawn svg text")]
          .filter((t) => t.checkVisibility()).map((t) => {
          const svg = t.ownerSVGElement;
          const per = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
          return parseFloat(getComputedStyle(t).fontSize) * per;
        })"""
    )
    assert len(sizes) > 10
    assert min(sizes) >= 13.0
    assert max(sizes) < 30.0


def test_us_units(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, f"/day/{ONE}")
    page.get_by_role("button", name=text("common.units_us")).click()
    expect(page.locator("h1")).to_contain_text("psi")
    expect(page.locator(".asked")).not_to_contain_text(re.compile(r"\d bar"))


# what stands against a collar


def test_a_wall_that_is_too_thin_is_said_first(design: Design) -> None:
    assert troubles(design) == ()
    assert design.walls is not None
    thin = replace(design.walls.parts[0], utilisation=1.2, required=0.006)
    walls = replace(design.walls, parts=(thin, design.walls.parts[1]), governing_part="main")
    found = replace(design, walls=walls)
    assert [part for part, _ in troubles(found)] == [Part.HOLD]
    assert "120 % used" in troubles(found)[0][1]
    assert answer(found, System.METRIC) == text("day.answer_not", what=text("day.not.hold"))


def test_no_pressure_a_doubtful_release_and_no_hour_are_all_said(design: Design) -> None:
    assert design.forecast is not None
    assert design.flow is not None
    found = replace(
        design,
        pressure=replace(design.pressure, set=None),
        forecast=replace(design.forecast, chance=0.4, sure=math.inf),  # at no time
        flow=replace(design.flow, allowed_hours=()),
    )
    assert {part for part, _ in troubles(found)} == set(Part)
    said = answer(found, System.METRIC)
    for part in Part:
        assert text(f"day.not.{part}") in said


def test_each_deadline_says_what_governs_it(
    demo_server: str, open_page: OpenPage, design: Design
) -> None:
    page = open_page(demo_server, f"/day/{ONE}")
    for name, by in (("by", design.cure.latest_by), ("release", design.cure.release_by)):
        said = "The data sheet governs" if by.name == "SHEET" else "The computed cure governs"
        assert said in limit(page, text(f"day.{name}"))

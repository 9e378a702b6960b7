from playwright.sync_api import expect

from faces.web.conftest import OpenPage
from teewright.web.texts import text


def test_an_empty_project_asks_for_the_survey(empty_server: str, open_page: OpenPage) -> None:
    page = open_page(empty_server)
    expect(page.locator("h1")).to_have_text(text("job.answer_empty"))
    page.get_by_role("link", name=text("job.open_survey")).click()
    expect(page).to_have_url(f"{empty_server}/survey")


def test_a_planned_job_says_how_far_it_is(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server)
    expect(page.locator("h1")).to_contain_text(text("job.done_none"))
    expect(page.get_by_role("row", name="Programme")).to_contain_text("shifts")
    assert page.locator(".findings .finding").count() == 5


def test_sheet_and_units_are_remembered(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server)
    page.get_by_role("button", name=text("common.night")).click()
    expect(page.locator("html")).to_have_class("night")
    page.get_by_role("button", name=text("common.units_us")).click()
    expect(page.locator("body")).to_have_attribute("data-units", "us")
    expect(page.locator("html")).to_have_class("night")

"""What a sheet shows: headings, units, long times, leak tests by their number, told limits."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Route, expect

from faces.web.conftest import served
from faces.web.night import ONE, TWO, Tablet, server_log, tablet
from faces.web.signing import PASSWORD, with_people
from faces.web.test_clock_files import picture
from teewright.web.settings import Settings

FITS = "() => document.documentElement.scrollWidth <= document.documentElement.clientWidth"
INSIDE = """() => [...document.querySelectorAll(".times dd, .times dt")]
  .filter((e) => e.checkVisibility())
  .every((e) => e.scrollWidth <= e.clientWidth + 1
    && e.getBoundingClientRect().right <= document.documentElement.clientWidth + 1)"""


@pytest.mark.parametrize("width", [1440, 1024, 760, 390, 320])
def test_a_batch_that_was_left_for_days_still_fits(
    demo_server: str, browser: Browser, width: int
) -> None:
    with tablet(browser, demo_server, width=width, height=844) as crew:
        page = crew.open()
        crew.act("Mixed")
        for hours, shown in ((30, r"29:\d\d h"), (101, r"13[01] h"), (1100, "51 d")):
            crew.later(hours * 3600)
            expect(page.locator(".times .now dd.v")).to_have_text(re.compile(f"^{shown}$"))
            assert page.evaluate(FITS)
            assert page.evaluate(INSIDE)


@pytest.mark.parametrize("width", [1440, 390])
def test_a_page_with_two_sheets_has_one_heading(
    demo_server: str, browser: Browser, width: int
) -> None:
    with tablet(browser, demo_server, width=width, height=900) as crew:
        page = crew.open()
        crew.act("Mixed")
        crew.open(TWO)
        crew.act("Mixed", TWO)
        expect(page.locator("#stage article")).to_have_count(2)
        expect(page.locator("h1")).to_have_count(1)
        titles = page.locator("#stage article .title")
        assert titles.evaluate_all("(all) => all.map((e) => e.tagName)") == ["H1", "H2"]
        page.goto(demo_server + "/clock")
        expect(page.locator("h1")).to_have_count(1)


def test_cautions_are_told_in_the_units_of_the_reader(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        plan = crew.page.request.get(f"{demo_server}/api/v1/clock").json()
        collar = next(c for c in plan["collars"] if f"{c['connection']}#1" == ONE)
        said = dict(map(tuple, collar["cautions"]))["Pressurised packer."]
        found = [re.search(rf"([\d.]+) {unit}\b", said) for unit in ("kJ", "bar")]
        energy, pressure = (float(one[1]) for one in found if one is not None)
        crew.context.add_cookies([{"name": "units", "value": "us", "url": demo_server}])
        page = crew.open()
        assert page.locator("body").get_attribute("data-units") == "us"
        crew.up_to("In place")
        warned = page.locator(".warned")
        energy, pressure = energy * 1000 / 1.3558179, pressure * 14.5037738
        expect(warned).to_contain_text(f"{energy:.0f}\u00a0ft·lbf")
        expect(warned).to_contain_text(f" at {pressure:.1f}\u00a0psi")
        expect(warned).not_to_contain_text(re.compile(r"\d (bar|kN|kJ)\b"))
        crew.act("At pressure")
        crew.gauge("30")
        broken = page.locator(".warns")
        expect(broken).to_contain_text(re.compile(r"Pressure 30.0\spsi at .* to [\d.]+\spsi"))
        expect(broken).not_to_contain_text("bar")


def test_units_that_are_chosen_later_reach_a_page_that_is_stored(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.keep()
        expect(page.locator(".next .how")).to_contain_text("kg of part A")
        crew.context.add_cookies([{"name": "units", "value": "us", "url": demo_server}])
        crew.open()
        crew.run(1000)
        assert page.locator("body").get_attribute("data-units") == "metric"  # the stored page
        expect(page.locator(".next .how")).to_contain_text("lb of part A")
        expect(page.locator(".before")).to_contain_text("°F")
        crew.offline()
        crew.open()
        expect(page.locator(".next .how")).to_contain_text("lb of part A")


def measure(crew: Tablet, act: str, value: str) -> None:
    page = crew.page
    page.locator(".acts .act").filter(has_text=act).first.click()
    expect(page.get_by_role("dialog")).to_be_visible()
    crew.gauge(value)


def to_the_test(crew: Tablet) -> None:
    crew.up_to("At pressure")
    crew.later(crew.limit("release"))
    crew.act("Released")
    crew.act("Packer out")


def test_a_second_leak_test_by_hand_has_its_own_number(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        to_the_test(crew)
        measure(crew, "Test reading", "100")
        crew.later(120)
        measure(crew, "Another test reading", "60")
        page.get_by_role("button", name="Begin a new leak test").click()
        box = page.get_by_role("dialog")
        expect(box).to_contain_text("Reading of leak test 2")
        box.get_by_label("Air, LB").check()
        crew.gauge("50")
        crew.later(240)
        measure(crew, "Another test reading", "49")
        expect(page.locator(".log li").first).to_contain_text("Leak test 2, 49 mbar")
        crew.until_sent()
        data = [
            dict(e["data"]) for e in server_log(page, demo_server) if e["kind"] == "test-reading"
        ]
        assert [d["test"] for d in data] == ["1", "1", "2", "2"]
        assert [d.get("method") for d in data] == ["LC", None, "LB", None]
        page.goto(demo_server + "/proof/" + ONE.removesuffix("#1"))
        expect(page.get_by_text("Test 1: not tight")).to_be_visible()
        expect(page.get_by_text("Test 2, which counts")).to_be_visible()
        expect(page.locator("h1")).to_contain_text("is sealed and tight")


def test_a_low_pressure_test_is_logged_in_psi_and_judged(
    demo_server: str, browser: Browser
) -> None:
    """Where US units are read, the method that is marked is that of ASTM F1417."""
    with tablet(browser, demo_server) as crew:
        crew.context.add_cookies([{"name": "units", "value": "us", "url": demo_server}])
        page = crew.open()
        to_the_test(crew)
        page.locator(".acts .act").filter(has_text="Test reading").first.click()
        box = page.get_by_role("dialog")
        expect(box.get_by_label("F1417, 1 psi")).to_be_checked()
        expect(box.get_by_label("F1417, ½ psi")).not_to_be_checked()
        crew.gauge("3.50")
        crew.later(1200)
        measure(crew, "Another test reading", "3.05")
        crew.until_sent()
        data = [
            dict(e["data"]) for e in server_log(page, demo_server) if e["kind"] == "test-reading"
        ]
        assert [d.get("method") for d in data] == ["F1417", None]
        assert float(data[0]["pressure"]) == pytest.approx(24_131.65, abs=0.01)
        page.goto(demo_server + "/proof/" + ONE.removesuffix("#1"))
        expect(page.locator("h1")).to_contain_text("is sealed and tight")
        facts = page.locator(".facts")
        expect(facts).to_contain_text("F1417")
        expect(facts).to_contain_text(re.compile(r"allowed\s*1\.00+\spsi"))
        fell = re.compile(r"Drop of 0\.4\d+\spsi in 120\d s")
        expect(page.locator("aside")).to_contain_text(fell)


def test_a_loggers_file_after_readings_by_hand_is_a_test_of_its_own(
    demo_server: str, browser: Browser, tmp_path: Path
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        to_the_test(crew)
        measure(crew, "Test reading", "100")
        page.get_by_role("button", name="Logger file").click()
        box = page.get_by_role("dialog")
        box.get_by_label("Leak test").check()
        (tmp_path / "gauge.csv").write_text("elapsed_s;pressure_mbar\n0;100\n240;97\n")
        box.get_by_label("File").set_input_files(tmp_path / "gauge.csv")
        box.get_by_label("Air, LC").check()
        box.get_by_role("button", name="Log it").click()
        expect(page.locator(".log li").first).to_contain_text("Leak test 2, 97 mbar")
        crew.until_sent()
        data = [
            dict(e["data"]) for e in server_log(page, demo_server) if e["kind"] == "test-reading"
        ]
        assert [d["test"] for d in data] == ["1", "2", "2"]
        assert [d.get("method") for d in data] == ["LC", "LC", None]


def test_what_was_told_at_the_mixing_goes_with_it_and_a_later_plan_is_told(
    demo_server: str, browser: Browser
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        told = {name: crew.limit(name) for name in ("latest_inflation", "release")}
        low, high = crew.limit("pressure_low"), crew.limit("pressure_high")
        crew.up_to("At pressure")
        crew.until_sent()
        mixed = dict(server_log(page, demo_server)[0]["data"])
        assert float(mixed["release"]) == pytest.approx(told["release"])
        assert float(mixed["pressure_low"]) == pytest.approx(low)
        assert float(mixed["pressure_high"]) == pytest.approx(high)

        def anew(route: Route) -> None:
            answer = route.fetch()
            plan = answer.json()
            for collar in plan["collars"]:
                collar["limits"]["release"] -= 1200.0
                collar["limits"]["pressure_high"] -= 0.1e5
            plan["server_time"] = crew.now().isoformat()
            route.fulfill(response=answer, json=plan)

        crew.context.route("**/api/v1/clock", anew)
        for _ in range(35):
            crew.run(2000)
        expect(page.locator(".warns")).to_contain_text("The plan was made anew since mixing")
        # held to the stricter: the later release of the two, the lower of the two pressures
        bar = f"{(high - 0.1e5) / 1e5:.2f}"
        expect(page.locator(".next .how")).to_contain_text(f"to {bar}")
        crew.later(told["release"])
        crew.act("Released")
        warned = page.locator(".warns")
        expect(warned).to_contain_text("Mixed for release after")
        expect(warned).to_contain_text("the present design says")
        expect(warned).not_to_contain_text("before the earliest")


def test_the_photo_of_the_label_goes_with_the_batch_where_no_code_is_read(
    demo_server: str, browser: Browser, tmp_path: Path
) -> None:
    with tablet(browser, demo_server) as crew:
        crew.context.add_init_script("delete globalThis.BarcodeDetector;")
        page = crew.open()
        expect(page.locator(".before")).to_contain_text("This browser reads no codes")
        (tmp_path / "label.png").write_bytes(picture(40, 40))
        page.get_by_label("Photo of the label").set_input_files(tmp_path / "label.png")
        expect(page.locator(".before")).to_contain_text("A photo of the label is kept")
        page.get_by_label("Batch number").fill("B-7")
        page.reload()
        expect(page.locator(".before")).to_contain_text("A photo of the label is kept")
        crew.act("Mixed")
        crew.until_sent()
        data = dict(server_log(page, demo_server)[0]["data"])
        assert data["batch"] == "B-7"
        assert page.request.get(f"{demo_server}/api/v1/attachments/{data['photo']}").ok


def test_who_is_signed_in_is_shown_beside_who_logs(demo_project: Path, browser: Browser) -> None:
    with_people(demo_project)
    with (
        served(Settings(demo_project, quick=True, sign_in=True)) as address,
        tablet(browser, address) as crew,
    ):
        page = crew.page
        page.goto(address + "/sign-in?back=/clock")
        page.get_by_label("Name").fill("crew")
        page.get_by_label("Password").fill(PASSWORD)
        page.locator("main form button").first.click()
        crew.open("")
        crew.run(2000)
        expect(page.locator(".device")).to_contain_text("Signed in as crew")
        page.get_by_label("Who logs").fill("AB")
        page.get_by_label("Who logs").blur()
        crew.open()
        crew.act("Mixed")
        crew.until_sent()
        crew.until_heard(1)
        crew.run(1000)
        expect(page.locator(".log li").first).to_contain_text("by AB, crew signed in")
        (event,) = server_log(page, address)
        assert (event["person"], dict(event["data"])["signed_in"]) == ("AB", "crew")

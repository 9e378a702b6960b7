"""Survey: files in by clicking, findings at their lines, corrections and back."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from faces.web.conftest import OpenPage
from teewright import demo
from teewright.web.texts import text

REFUSED = ("422",)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The demo's files in a folder, as an engineer has them."""
    made = tmp_path / "given"
    made.mkdir()
    for name in demo.SURVEY_FILES:
        (made / name).write_bytes(demo.file(name))
    (made / "kit.toml").write_bytes(demo.file(demo.KIT_FILE))
    (made / "site.toml").write_bytes(demo.file(demo.SITE_FILE))
    return made


def give(page: Page, *paths: Path) -> None:
    page.locator("#files").set_input_files(list(paths))
    page.get_by_role("button", name=text("survey.give.button")).click()


def listed(page: Page) -> list[str]:
    return page.locator(".files").first.locator("li a").all_inner_texts()


def test_from_nothing_to_the_needs_by_clicking(
    empty_server: str, open_page: OpenPage, folder: Path
) -> None:
    page = open_page(empty_server, "/survey")
    expect(page.locator("h1")).to_have_text(text("survey.answer_empty"))
    give(page, *sorted(folder.iterdir()))
    expect(page.locator("h1")).to_have_text("35 connections in 6 runs; 6 findings ask for a look")
    assert page.locator(".runs li").count() == 6
    assert sorted(listed(page)) == sorted(path.name for path in folder.iterdir())
    page.get_by_role("link", name=text("survey.to_needs")).click()
    expect(page.locator("h1")).to_contain_text("26 of 35 connections are to be sealed")


def test_files_dropped_on_the_page_are_read(
    empty_server: str, open_page: OpenPage, folder: Path
) -> None:
    page = open_page(empty_server, "/survey")
    words = (folder / "connections.csv").read_text()
    dropped = page.evaluate_handle(
        """words => {
          const held = new DataTransfer();
          held.items.add(new File([words], 'c.csv'));
          return held;
        }""",
        words,
    )
    page.locator("body").dispatch_event("dragenter", {"dataTransfer": dropped})
    expect(page.locator("#give")).to_have_class("give over")
    page.locator("h1").dispatch_event("drop", {"dataTransfer": dropped})
    expect(page.locator("h1")).to_contain_text("4 connections in 1 run")


def test_a_bad_file_is_refused_with_its_sentence_and_nothing_changes(
    demo_server: str, open_page: OpenPage, tmp_path: Path
) -> None:
    page = open_page(demo_server, "/survey", errors=REFUSED)
    before = page.locator("h1").inner_text(), listed(page)
    bad = tmp_path / "levels.csv"
    bad.write_bytes(demo.file("runs.csv").replace(b"47.20", b"4x.20"))
    give(page, bad)
    alert = page.get_by_role("alert")
    expect(alert).to_contain_text("levels.csv, line 2")
    expect(alert).to_contain_text(text("survey.give.refused"))
    assert (page.locator("h1").inner_text(), listed(page)) == before


def test_a_file_out_and_back_again(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/survey")
    page.get_by_role("button", name=text("survey.remove_of", file="connections.csv")).click()
    expect(page.locator("h1")).to_contain_text("31 connections")
    page.get_by_text(text("survey.removed", n=1)).click()
    page.get_by_role("button", name=text("survey.again_of", file="connections.csv")).click()
    expect(page.locator("h1")).to_contain_text("35 connections")


def test_findings_stand_at_the_line_that_caused_them(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/survey")
    page.get_by_role("link", name="survey-night.txt, line 19").click()
    line = page.locator("#l19")
    expect(line.locator("code")).to_have_text(
        demo.file("survey-night.txt").decode("latin-1").splitlines()[18]
    )
    expect(line.locator(".finding")).to_contain_text("The sightings differ in state")
    expect(line).to_be_in_viewport()
    expect(page.locator("#l3")).to_be_hidden()  # no finding: folded away
    page.get_by_text("lines 1 to 5").click()
    expect(page.locator("#l3")).to_be_visible()
    line.get_by_role("link", name="T02-T03/04").click()
    expect(page.locator("li.open")).to_have_attribute("data-id", "T02-T03/04")


def test_a_long_file_is_shown_in_parts_and_opens_where_it_is_asked_for(
    empty_server: str, open_page: OpenPage, tmp_path: Path
) -> None:
    head = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"
    rows = [f"A{k // 500},B{k // 500},{k % 500}.0,3,150,junction,open,,,\n" for k in range(2500)]
    long = tmp_path / "long.csv"
    long.write_text(head + "".join(rows))
    page = open_page(empty_server, "/survey")
    give(page, long)
    page.goto(f"{empty_server}/survey/files/long.csv?line=2102#l2102")
    expect(page.locator("#l2102 code")).to_have_text(rows[2100].strip())
    expect(page.get_by_role("navigation", name=text("survey.file.pages")).first).to_contain_text(
        "part 3 of 3"
    )
    assert page.locator(".lines li").count() < 1001


def test_strip_and_list_are_chosen_together(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/survey/runs/T02-T03")
    opened, drawn = page.locator("li.open"), page.locator(".strip-w .c.chosen")
    expect(opened).to_have_attribute("data-id", "T02-T03/01")
    page.keyboard.press("j")
    page.keyboard.press("j")
    expect(opened).to_have_attribute("data-id", "T02-T03/03")
    expect(drawn).to_have_attribute("data-id", "T02-T03/03")
    page.keyboard.press("k")
    expect(opened).to_have_attribute("data-id", "T02-T03/02")
    page.locator(".strip-w .c[data-id='T02-T03/06'] .frame").click()
    expect(opened).to_have_attribute("data-id", "T02-T03/06")
    page.keyboard.press("f")  # the next finding, round the end of the list
    expect(opened).to_have_attribute("data-id", "T02-T03/03")
    assert page.url.endswith("#c-03")


def test_a_decision_asks_why_is_kept_and_is_undone(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/survey/runs/T02-T03#c-01")
    page.keyboard.press("v")
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("What T02-T03/01 needs")
    page.keyboard.press("Enter")
    expect(dialog).to_be_visible()  # no reason was given
    dialog.get_by_role("textbox").fill("owner renews it in May")
    page.keyboard.press("Enter")
    opened = page.locator("li.open")
    expect(opened).to_have_attribute("data-need", "leave")
    expect(opened).to_contain_text("owner renews it in May")
    page.keyboard.press("z")
    expect(page.locator("#c-01")).to_have_attribute("data-need", "seal")
    expect(page.locator("#undo")).to_have_count(0)


def test_a_disputed_value_is_settled_with_one_click(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/survey/runs/T02-T03#c-05")
    opened = page.locator("li.open")
    expect(opened.locator(".numbers")).to_contain_text("125 mm")
    opened.get_by_role("button", name="150 mm").click()
    expect(opened.locator(".numbers")).to_contain_text("150 mm")
    expect(opened.locator(".finding")).to_have_count(0)
    expect(opened).to_contain_text(text("survey.run.settled", fields="branch"))


def test_bad_values_are_told_at_their_field_and_nothing_is_lost(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/survey/runs/T02-T03#c-02", errors=REFUSED)
    opened = page.locator("li.open")
    opened.get_by_text(text("survey.run.more"), exact=True).click()
    opened.get_by_label("Branch mm").fill("15000")
    opened.get_by_label("Clock h").fill("4")
    opened.get_by_label(text("survey.field.why")).fill("from the film")
    opened.get_by_role("button", name=text("survey.hand.save")).click()
    branch = opened.get_by_label("Branch mm")
    expect(branch).to_have_value("15000")
    expect(branch).to_be_focused()
    expect(branch).to_have_attribute("aria-invalid", "true")
    expect(opened.locator(".fault")).to_have_text(
        "Branch 15000 is not allowed; allowed: 50 to 2000 mm."
    )
    expect(opened.get_by_label("Clock h")).to_have_value("4")
    expect(opened.get_by_label(text("survey.field.why"))).to_have_value("from the film")
    branch.fill("125")
    opened.get_by_role("button", name=text("survey.hand.save")).click()
    expect(opened.locator(".numbers")).to_contain_text("125 mm")
    page.goto(f"{demo_server}/survey")
    rows = page.locator(".by-hand tbody tr")
    expect(rows).to_have_count(2)
    expect(rows.first).to_contain_text("T02-T03/02")
    expect(rows.first).to_contain_text("from the film")


def test_a_length_is_corrected_on_its_page_and_taken_back_from_the_list(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/survey/runs/T02-T03", errors=REFUSED)
    own = page.locator(".own")
    own.locator("summary").click()
    field = page.get_by_label(text("survey.hand.run_length"))
    was = field.input_value()
    field.fill("far")
    own.get_by_label(text("survey.field.why")).fill("taped at the manholes")
    own.get_by_role("button", name=text("survey.hand.save")).click()
    fault = page.locator("#run-length-fault")
    expect(fault).to_contain_text("far")
    expect(fault).to_contain_text("0.5 to 5000 m")
    expect(own.get_by_label(text("survey.field.why"))).to_have_value("taped at the manholes")
    field.fill("52,30")
    own.get_by_role("button", name=text("survey.hand.save")).click()
    expect(page.locator("figcaption")).to_contain_text("52.30 m")
    page.goto(f"{demo_server}/survey")
    row = page.locator(".by-hand tbody tr")
    # the two passes of the run do not agree; the one that counted stood in the field
    expect(row).to_contain_text(f"length of the run 52.30 m instead of 51.10 m and {was} m")
    expect(row).to_contain_text("taped at the manholes")


def test_each_correction_of_the_list_can_be_taken_back(
    demo_server: str, open_page: OpenPage
) -> None:
    for number, value in (("01", "7"), ("02", "8"), ("05", "9")):
        page = open_page(demo_server, f"/survey/runs/T02-T03#c-{number}")
        item = page.locator(f"#c-{number}")
        item.locator(".hand > summary").click()
        item.get_by_label(text("survey.field.clock")).fill(value)
        item.get_by_role("button", name=text("survey.hand.save")).click()
        expect(page.locator("#undo")).to_contain_text(f"clock {value}")
    page.goto(f"{demo_server}/survey")
    rows = page.locator(".by-hand tbody tr")
    expect(rows).to_have_count(3)
    middle = rows.nth(1)
    expect(middle).to_contain_text("/02")
    middle.get_by_role("button").click()
    expect(rows).to_have_count(2)
    expect(rows.nth(0)).to_contain_text("/05")
    expect(rows.nth(1)).to_contain_text("/01")


def test_split_and_join_again(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, "/survey/runs/T02-T03#c-03")
    more = text("survey.run.more")
    assert page.locator(".list > li").count() == 7
    opened = page.locator("li.open")
    opened.get_by_text(more, exact=True).click()
    opened.get_by_role("button", name="another connection").first.click()
    expect(page.locator(".list > li")).to_have_count(8)
    page.locator("#c-03 a.id").click()
    opened.get_by_text(more, exact=True).click()
    opened.get_by_label(text("survey.hand.join")).select_option("T02-T03/08")
    opened.get_by_role("button", name=text("survey.hand.join_button")).click()
    expect(page.locator(".list > li")).to_have_count(7)
    expect(page.locator("#c-03")).to_contain_text("The sightings differ in clock")


def test_a_run_without_script_can_be_decided_too(
    demo_server: str, open_page: OpenPage, browser: object
) -> None:
    context = browser.new_context(java_script_enabled=False)  # type: ignore[attr-defined]
    page = open_page(demo_server, "/survey/runs/T02-T03#c-01", context=context)
    item = page.locator("#c-01")
    item.get_by_label(text("survey.hand.decide_why")).fill("no house")
    item.get_by_role("button", name="leave").click()
    expect(page.locator("#c-01")).to_contain_text("no house")
    context.close()


@pytest.mark.parametrize("width", [1440, 1024, 700, 390])
@pytest.mark.parametrize(
    "path", ["/survey", "/survey/runs/T03-T04", "/survey/files/site.toml", "/needs"]
)
def test_pages_fit_their_width(
    demo_server: str, open_page: OpenPage, path: str, width: int
) -> None:
    page = open_page(demo_server, path, width=width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """[...document.querySelectorAll("main svg text")].filter((text) => {
          const on = text.getScreenCTM();
          const size = parseFloat(getComputedStyle(text).fontSize) * Math.hypot(on.a, on.b);
          return text.checkVisibility() && size < 12.9;
        }).length"""
    )
    assert small == 0


@pytest.mark.parametrize(
    "path", ["/survey", "/survey/runs/T02-T03", "/survey/files/survey-night.txt", "/needs"]
)
def test_nothing_keeps_anyone_out(demo_server: str, open_page: OpenPage, path: str) -> None:
    page = open_page(demo_server, path)
    if "runs" in path:
        page.locator("li.open").get_by_text(text("survey.run.more"), exact=True).click()
    assert [v["id"] for v in Axe().run(page).response["violations"]] == []


def test_kit_and_site_are_got_as_files_filled_in_and_given_back(
    empty_server: str, open_page: OpenPage, folder: Path, tmp_path: Path
) -> None:
    page = open_page(empty_server, "/survey")
    give(page, *(folder / name for name in demo.SURVEY_FILES))
    expect(page.locator("h1")).to_contain_text("35 connections in 6 runs")
    for name, changed in (("kit", b"# mine\n"), ("site", b"ground_m = 24.0\n")):
        with page.expect_download() as got:
            page.get_by_role("link", name=text(f"survey.starter.{name}")).click()
        begun = Path(got.value.path()).read_bytes()
        made = tmp_path / f"{name}.toml"
        made.write_bytes(
            changed + begun if name == "kit" else begun.replace(b"# ground_m =\n", changed, 1)
        )
        assert made.read_bytes() != begun
        give(page, made)
        expect(page.locator(".files").first).to_contain_text(f"{name}.toml")
        expect(page.get_by_text(text(f"survey.missing.{name}"))).to_have_count(0)


def test_every_faulty_line_of_a_list_is_told_at_once(
    empty_server: str, open_page: OpenPage, tmp_path: Path
) -> None:
    wrong = tmp_path / "list.csv"
    head = "upstream;downstream;chainage_m;clock;dn_mm\n"
    wrong.write_text(f"{head}A;B;;3;150\nA;B;4,0;14;150\nA;B;5,0;3;0,15\nA;B;6,0;3;150\n")
    page = open_page(empty_server, "/survey", errors=REFUSED)
    give(page, wrong)
    told = page.locator(".refused .finding")
    expect(told).to_have_count(3)
    for line, field in (("2", "chainage_m"), ("3", "clock"), ("4", "dn_mm")):
        expect(told.filter(has_text=f"line {line}: {field}")).to_have_count(1)

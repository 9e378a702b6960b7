"""The whole job by clicking alone, from an empty project to the pack that is handed over.

The steps are those of the guide: each function here does one of them, and must press what the
guide says is pressed. What the pages say is held against the values of the job.
"""

import io
import math
import re
import threading
import zipfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from pypdf import PdfReader

from faces.web.conftest import OpenPage, serving, whole
from faces.web.night import Tablet, server_log, tablet
from faces.web.steps import steps
from teewright import demo
from teewright.assess.values import Need
from teewright.job.values import Design, Job
from teewright.proof.values import HandoverRecord, HandoverState
from teewright.units import BAR, MBAR, MINUTE
from teewright.web.app import make_app
from teewright.web.office import Known, Office
from teewright.web.settings import Settings
from teewright.web.texts import text

LEFT = "T01-T02/02"
"""A connection that the rules would seal, and that is left by hand."""
DISPUTED = "T02-T03/05"
"""A connection whose two sightings differ in the size of the branch."""
DESIGNED_WITHIN = 420_000
"""Collars and shifts on a slow machine that does other work too [ms]."""


@dataclass
class Walk:
    """One engineer before one page, with a tablet beside."""

    page: Page
    office: Office
    folder: Path
    tablets: Callable[[], Tablet]
    held_up: threading.Event
    pressed: set[str] = field(default_factory=set)
    crew: Tablet | None = None

    def press(self, key: str, within: Any = None, **values: object) -> None:
        """Click what is named so, a button, a link or a summary."""
        place = self.page if within is None else within
        named = text(key, **values)
        found = place.get_by_role("button", name=named, exact=True)
        found = found.or_(place.get_by_role("link", name=named, exact=True))
        found = found.or_(place.locator("summary").filter(has_text=re.compile(f"^{named}$")))
        found.locator("visible=true").first.click()
        self.pressed.add(key)

    def room(self, name: str) -> None:
        """Go to another question by its name in the head."""
        self.press(f"common.rooms.{name}", self.page.locator("nav.rooms"))
        expect(self.page.locator(".kind")).to_have_text(text(f"common.questions.{name}"))

    def act(self, kind: str) -> Tablet:
        """Press the next act on the tablet, which must be that one."""
        assert self.crew is not None
        self.crew.act(text(f"clock.act.{kind}"), f"{self.design.connection_id}#1")
        self.pressed.add(f"clock.act.{kind}")
        return self.crew

    @property
    def head(self) -> Locator:
        return self.page.locator("h1")

    @property
    def known(self) -> Known:
        return self.office.known()

    @property
    def job(self) -> Job:
        found = self.known.job
        assert found is not None
        return found

    @property
    def design(self) -> Design:
        """The collar that is set first."""
        shift = min(self.job.programme.shifts, key=lambda s: (s.day, s.crew))
        found = self.job.designs.of(shift.visits[0].connection_id)
        assert found is not None
        return found

    @property
    def record(self) -> HandoverRecord:
        return next(r for r in self.job.records if r.connection_id == self.design.connection_id)


def give(walk: Walk) -> None:
    walk.press("job.open_survey")
    expect(walk.head).to_have_text(text("survey.answer_empty"))
    walk.page.locator("#files").set_input_files(sorted(walk.folder.iterdir()))
    walk.press("survey.give.button")
    survey = survey_of(walk)
    assert (len(survey.connections), len(survey.runs)) == (35, 6)
    expect(walk.head).to_contain_text("35 connections in 6 runs")
    expect(walk.page.locator(".runs li")).to_have_count(6)
    expect(walk.page.locator(".files").first.locator("li")).to_have_count(
        len(demo.SURVEY_FILES) + 2
    )


def survey_of(walk: Walk) -> Any:
    loaded = walk.known.loaded
    assert loaded is not None
    return loaded.survey


def look(walk: Walk) -> None:
    asking = walk.page.locator(".findings.two").first.locator(".finding")
    number = asking.count()
    expect(walk.head).to_contain_text(text("survey.looks", n=number))
    found = asking.filter(has_text=DISPUTED).first
    place = found.get_by_role("link", name=re.compile("line [0-9]+$"))
    name, line = place.inner_text().split(", line ")
    place.click()
    given = (walk.folder / name).read_text(encoding="latin-1").splitlines()[int(line) - 1]
    expect(walk.page.locator(f"#l{line} code")).to_have_text(given)
    expect(walk.page.locator(f"#l{line} .finding")).to_contain_text(DISPUTED)


def correct(walk: Walk) -> None:
    walk.page.locator(".finding").get_by_role("link", name=DISPUTED).first.click()
    opened = walk.page.locator("li.open")
    expect(opened).to_have_attribute("data-id", DISPUTED)
    opened.get_by_role("button", name="150 mm").click()
    expect(opened.locator(".finding")).to_have_count(0)
    assert survey_of(walk).connection(DISPUTED).diameter == pytest.approx(0.150)
    walk.press("survey.run.more", opened)
    opened.get_by_label(text("survey.field.angle")).fill("60")
    opened.get_by_label(text("survey.field.why")).fill("measured on the film")
    walk.press("survey.hand.save", opened)
    expect(opened).to_contain_text(text("survey.run.settled", fields="angle, branch"))
    expect(opened.locator(".numbers")).to_contain_text("60°")
    assert survey_of(walk).connection(DISPUTED).angle == pytest.approx(math.radians(60.0))


def needs(walk: Walk) -> None:
    walk.room("survey")
    expect(walk.page.locator(".by-hand tbody tr")).to_have_count(2)
    walk.press("survey.to_needs")
    walk.page.locator("html[data-ready]").wait_for(state="attached")
    before = sealed(walk)
    expect(walk.head).to_contain_text(f"{before} of 35 connections are to be sealed")
    walk.page.locator(f"tr[data-id='{LEFT}'] td.why").click()
    walk.page.keyboard.press("v")
    dialog = walk.page.get_by_role("dialog")
    dialog.get_by_role("textbox").fill("the house is to be pulled down")
    walk.press("survey.hand.decide_save", dialog)
    expect(walk.head).to_contain_text(f"{before - 1} of 35 connections are to be sealed")
    assert sealed(walk) == before - 1


def sealed(walk: Walk) -> int:
    found = walk.known.assessment
    assert found is not None
    return sum(verdict.need in {Need.SEAL, Need.MAKE_READY} for verdict in found.verdicts)


def design(walk: Walk) -> None:
    walk.press("needs.design")
    expect(walk.head).to_have_text(text("collars.answer_open"))
    walk.held_up.clear()
    walk.press("collars.design")
    expect(walk.page.locator("#task")).to_contain_text("Working: ")
    walk.held_up.set()
    ready = walk.page.get_by_role("link", name=text("job.open_clock"))
    ready.wait_for(timeout=DESIGNED_WITHIN)
    walk.pressed.add("job.open_clock")  # awaited; it is pressed on the tablet
    job = walk.job
    made, refused = job.designs.designs, job.designs.refusals
    assert made
    assert {d.connection_id for d in made}.isdisjoint({r.connection_id for r in refused} | {LEFT})
    shifts, left = job.programme.shifts, len(job.programme.unplanned)
    planned = sum(len(shift.visits) for shift in shifts)
    assert planned + left == len(made)
    without = text("job.left", n=left) if left else ""
    expect(walk.head).to_have_text(
        f"{planned} collars in {len(shifts)} shifts{without}; {text('job.done_none')}"
    )
    expect(walk.page.get_by_role("row", name="Price")).to_contain_text(
        f"{job.quote.total:,.0f}".replace(",", "\u202f")
    )


def collars(walk: Walk) -> None:
    walk.room("collars")
    made = walk.job.designs.designs
    patterns = {d.collar.pattern for d in made}
    expect(walk.head).to_contain_text(f"{len(patterns)} patterns serve {len(made)} connections")
    served = walk.page.locator(".patterns .served a[href^='/collars/']")
    assert sorted(served.all_inner_texts()) == sorted(d.connection_id for d in made)
    walk.press("collars.make_files")
    expect(walk.page.get_by_role("link", name=text("collars.all"))).to_be_visible(timeout=90_000)
    with walk.page.expect_download() as got:
        walk.press("collars.all")
    names = zipfile.ZipFile(got.value.path()).namelist()
    assert {Path(n).stem for n in names if n.endswith(".dxf")} >= patterns
    one = walk.design
    walk.page.locator(".served").get_by_role("link", name=one.connection_id, exact=True).click()
    expect(walk.head).to_contain_text(one.collar.pattern)
    expect(walk.page.locator("#solid")).not_to_have_attribute("data-state", "", timeout=20_000)
    facts = walk.page.locator("details.more").first.locator("tr")
    expect(facts.filter(has_text=text("collar.fact_area"))).to_contain_text(
        f"{one.collar.fabric_area:.3f}"
    )
    expect(facts.filter(has_text=text("collar.fact_triangles"))).to_contain_text(
        str(one.collar.landing.triangles)
    )


def day(walk: Walk) -> None:
    walk.room("day")
    one = walk.design
    expect(walk.page.locator(".days th a")).to_have_count(len(walk.job.designs.designs))
    walk.page.locator(".days").get_by_role("link", name=one.connection_id, exact=True).click()
    limits = walk.page.locator(".limit")
    by = limits.filter(has_text=text("day.by")).first
    expect(by).to_contain_text(f"{int(one.cure.latest_inflation / MINUTE)} min")
    release = limits.filter(has_text=text("day.release")).first
    expect(release).to_contain_text(f"{math.ceil(one.cure.release_time / MINUTE)} min")
    assert one.pressure.set is not None
    pressure = limits.filter(has_text=text("day.pressure")).first
    expect(pressure).to_contain_text(f"{one.pressure.set / BAR:.2f}")
    share = f"{100.0 * one.governing_wall.utilisation:.0f}"
    expect(limits.filter(has_text="Wall in the").filter(has_text=share).first).to_be_visible()


def programme(walk: Walk) -> None:
    walk.room("programme")
    found, name = walk.job.programme, walk.design.connection_id
    planned = [visit for shift in found.shifts for visit in shift.visits]
    expect(walk.head).to_contain_text(
        f"All {len(planned)} batches land in time, in {len(found.shifts)} shifts"
    )
    assert walk.page.locator(".bar").count() == len(planned)
    visit = next(v for v in planned if v.connection_id == name)
    bar = walk.page.locator(f'.bar[data-visit="{name}"]')
    expect(bar).to_have_attribute("aria-label", re.compile(f"mix {visit.mix:%H:%M}"))
    bar.click()
    walk.press("programme.fix")
    expect(walk.page.locator(".changes")).to_contain_text(text("programme.fixed_now", what=name))
    walk.press("programme.keep")
    expect(walk.page.locator(".standing")).to_have_attribute("data-pending", "0")
    expect(walk.page.get_by_role("row", name=name)).to_contain_text(text("programme.state.fixed"))


def clock(walk: Walk) -> None:
    one, crew = walk.design, walk.tablets()
    walk.crew = crew
    # the server's clock goes on as that of the tablet, or the record would tell that they differ
    walk.office.desk.ask(lambda project: setattr(project, "_clock", crew.now))
    page = crew.page
    page.goto(crew.address)
    page.locator("nav.rooms").get_by_role("link", name=text("common.rooms.clock")).first.click()
    walk.pressed.add("common.rooms.clock")
    page.get_by_role("link", name=one.connection_id).first.click()
    page.get_by_label(text("clock.ask.batch")).fill("B-0503-1")
    walk.act("mixed")
    crew.later(120)
    name = f"{one.connection_id}#1"
    assert abs(crew.seconds(name) - (one.cure.latest_inflation - 120.0)) < 15.0
    walk.act("wet-out")
    page.get_by_role("button", name=text("clock.act.correct")).click()
    walk.pressed.add("clock.act.correct")
    page.get_by_role("dialog").get_by_role("button", name=text("clock.close")).click()
    walk.act("lowered")
    walk.act("in-place")
    assert one.pressure.set is not None
    gauge = f"{one.pressure.set / BAR:.2f}"
    expect(page.locator(".next h1")).to_have_text(text("clock.todo.inflate", set=f"{gauge} bar"))
    walk.act("at-pressure").gauge(gauge)
    crew.later(one.cure.release_time - 1200.0)
    walk.act("reading").gauge(gauge)
    crew.later(1200.0)
    walk.act("released")
    walk.act("out")
    crew.until_sent()


def leak(walk: Walk) -> None:
    crew = walk.crew
    assert crew is not None
    walk.act("test-reading").gauge("100")
    crew.later(600.0)
    again = crew.page.locator(".acts .act").filter(has_text="est reading").first
    again.click()
    crew.gauge("97")
    walk.act("inspected")
    crew.page.get_by_role("button", name=text("clock.ask.inspect_ok")).click()
    expect(crew.page.locator(".next h1")).to_have_text(text("clock.todo.done"))
    crew.until_sent()
    log = server_log(crew.page, crew.address)
    assert [event["kind"] for event in log] == [
        "mixed", "wet-out", "lowered", "in-place", "at-pressure", "reading", "reading",
        "released", "out", "test-reading", "test-reading", "inspected",
    ]  # fmt: skip


def proof(walk: Walk) -> None:
    walk.room("proof")
    assert walk.record.departures == ()
    expect(walk.head).to_have_text(text("proof.answer_all", n=1))
    test = walk.record.test
    assert test is not None
    assert test.passed
    assert test.measured == pytest.approx(3.0 * MBAR)
    row = walk.page.get_by_role("row", name=walk.record.connection_id)
    expect(row).to_contain_text(f"{test.measured / MBAR:.1f}")
    expect(row).to_contain_text(f"{test.limit / MBAR:.1f}")
    row.get_by_role("link").click()
    expect(walk.head).to_contain_text(f"{walk.record.connection_id} is sealed and tight")


def handover(walk: Walk) -> None:
    walk.room("handover")
    records = walk.job.records
    assert sum(record.state is HandoverState.TIGHT for record in records) == 1
    closed = 0 if walk.record.open_points else 1
    expect(walk.head).to_contain_text(f"{closed} of {len(records)} connections")
    walk.press("handover.pack_make")
    ready = walk.page.get_by_role("link", name=text("handover.pack_get"))
    ready.wait_for(timeout=DESIGNED_WITHIN)
    with walk.page.expect_download() as got:
        walk.press("handover.pack_get")
    pack = zipfile.ZipFile(got.value.path())
    named = next(name for name in pack.namelist() if name.endswith("pack.pdf"))
    pages = PdfReader(io.BytesIO(pack.read(named))).pages
    printed = "".join("".join(page.extract_text().split()) for page in pages)
    end = "".join(walk.page.locator(".end dd").inner_text().split())
    assert end == walk.job.events[-1].hash
    assert end in printed
    assert walk.record.connection_id in printed
    assert "B-0503-1" in printed
    assert f"{walk.job.quote.total:,.0f}".replace(",", "") in printed.replace(",", "")


def price(walk: Walk) -> None:
    walk.room("price")
    quote = walk.job.quote
    expect(walk.head).to_contain_text(f"{quote.total:,.0f}".replace(",", "\u202f"))
    cells = walk.page.locator(".quote tbody tr td:last-child").all_inner_texts()
    sums = [float(re.sub(r"[^0-9.]", "", cell)) for cell in cells]
    assert sums == pytest.approx([line.sum for line in quote.lines], abs=0.006)
    assert sum(sums) == pytest.approx(quote.net, abs=0.01)


ACTS = (
    give, look, correct, needs, design, collars, day, programme, clock, leak, proof, handover,
    price,
)  # fmt: skip


@pytest.fixture(scope="module")
def browser(browser: Browser) -> Iterator[Browser]:
    """Chromium with all that belongs to it: these are the nights and days that must be real."""
    with whole(browser) as made:
        yield made


def test_every_step_of_the_guide_is_walked() -> None:
    assert [act.__name__ for act in ACTS] == [step.name for step in steps()]


def test_the_whole_job_by_clicking(
    browser: Browser, open_page: OpenPage, tmp_path: Path, held_up: threading.Event
) -> None:
    folder = tmp_path / "given"
    folder.mkdir()
    for name in demo.SURVEY_FILES:
        (folder / name).write_bytes(demo.file(name))
    (folder / "kit.toml").write_bytes(demo.file(demo.KIT_FILE))
    (folder / "site.toml").write_bytes(demo.file(demo.SITE_FILE))
    app = make_app(Settings(tmp_path / "town.tee", quick=True))
    with serving(app) as address, ExitStack() as stack:
        page = open_page(address)
        tablets = partial(stack.enter_context, tablet(browser, address))
        walk = Walk(page, app.state.office, folder, tablets, held_up)
        expect(walk.head).to_have_text(text("job.answer_empty"))
        for step, act in zip(steps(), ACTS, strict=True):
            walk.pressed.clear()
            act(walk)
            assert step.pressed <= walk.pressed, step.name

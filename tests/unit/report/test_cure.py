"""The cure on the sheets: its curve, what governs, and the line for the crew."""

import math
import re
from dataclasses import replace
from datetime import datetime

import pytest

from teewright.heat.values import Forecast
from teewright.job.values import PlannedCure
from teewright.report.figures.cure import HEIGHT, WIDTH, cure_figure
from teewright.report.index import JobIndex
from teewright.report.sheets import appendix, cure, shift
from teewright.report.sheets.collar import temperature_rows
from teewright.resin.governing import governed
from teewright.trace import Origin, TraceRow
from teewright.units import kelvin
from unit.report.sample import make_job

CURVE = tuple((1100.0 + 120.0 * k, 1.0 - 0.9**k, 1.0 - 0.91**k, 1.0 - 0.93**k) for k in range(40))
FOUND = Forecast(
    cases=63, planned=1100.0, told=4400.0, working=(1400.0, 1500.0, 1700.0),
    release=(3100.0, 3400.0, 3900.0), wanted=0.95, sure=3900.0, chance=0.98, workable=0.98,
    peak=kelvin(38.0), curve=CURVE, notes=(), assumed=(),
    trace=(
        TraceRow("conversion at gel", "α_g", 0.55, "%", "", "resin", Origin.TABLE),
        TraceRow("conversion at release", "α_f", 0.88, "%", "", "resin", Origin.TABLE),
        TraceRow("chance to be hard at t_r", "P_r", 0.98, "%", "share of the cases"),
    ),
    latest=1260.0, peak_bladder=kelvin(37.0), peak_liner=kelvin(28.0),
)  # fmt: skip
PLANNED = PlannedCure(
    "A-B/1", datetime(2027, 5, 3, 21, 0), (kelvin(15.6), kelvin(13.4)), 960.0, 1266.0, 3790.0,  # noqa: DTZ001
    0.95, 0.98, kelvin(33.0),
)  # fmt: skip


def words_of(svg: str) -> list[str]:
    return re.findall(r">([^<]+)</text>", svg)


def index(found: Forecast | None = FOUND) -> JobIndex:
    job = make_job((3,), (30.0,))
    design = replace(job.designs.designs[0], forecast=found)
    return JobIndex(replace(job, designs=replace(job.designs, designs=(design,))))


def test_the_three_lines_both_marks_and_the_release_are_named() -> None:
    said = words_of(cure_figure(CURVE, marks=(0.55, 0.88), release=4400.0))
    for word in ("inner face, bladder", "middle", "outer face, liner", "gel, 55 %"):
        assert word in said
    assert "may be released, 88 %" in said
    assert "release from 74 min" in said


@pytest.mark.parametrize("release", [1500.0, 4400.0, 9000.0])
def test_nothing_is_drawn_off_the_paper(release: float) -> None:
    svg = cure_figure(CURVE, marks=(0.55, 0.88), release=release)
    xs = [float(x) for x in re.findall(r'\bx[12]?="(-?[\d.]+)"', svg)]
    ys = [float(y) for y in re.findall(r'\by[12]?="(-?[\d.]+)"', svg)]
    assert xs
    assert min(xs) >= 0.0
    assert max(xs) <= WIDTH
    assert min(ys) >= 0.0
    assert max(ys) <= HEIGHT


def test_the_names_stand_apart_where_the_lines_end_together() -> None:
    same = tuple((t, a, a, a) for t, a, _, _ in CURVE)
    svg = cure_figure(same, marks=(0.55, 0.88), release=4400.0)
    feet = [
        float(y)
        for y, text in re.findall(r'<text[^>]*? y="([\d.]+)"[^>]*>([^<]+)</text>', svg)
        if text in {"inner face, bladder", "middle", "outer face, liner"}
    ]
    assert len(feet) == 3
    first, second, third = sorted(feet)
    assert second - first >= 4.0
    assert third - second >= 4.0


def test_the_appendix_draws_the_collar_that_is_hard_last_and_says_what_governs() -> None:
    one = index()
    shown = cure.curve(one)
    assert isinstance(shown, dict)
    assert "Gel at 55 %" in str(shown["words"])
    (sheet,) = appendix.sheets(one, appendix.build(one), shown)
    assert sheet.body["cure"] == shown
    assert cure.curve(index(None)) is None


def test_the_sheet_says_which_time_governs_and_tells_the_other() -> None:
    told = make_job((3,), (30.0,)).designs.designs[0].cure
    assert cure.by_words(told) == "data sheet"
    kept = governed(told, latest=told.latest_inflation + 130.0, release=told.release_time + 60.0)
    assert cure.by_words(kept).startswith("data sheet, computed ")
    assert cure.from_words(kept).startswith("computed, data sheet ")
    never = governed(told, latest=told.latest_inflation, release=math.inf)
    assert cure.from_words(never) == "data sheet, none computed"


def test_the_computed_row_tells_the_heat_at_the_liner() -> None:
    one = index()
    (row,) = cure.rows(one.job.designs.designs[0], appendix.build(one))
    assert row.unit == "min; resin up to 38, liner 28 °C"
    assert row.answer == "98 % by 74 min"
    assert cure.rows(index(None).job.designs.designs[0], appendix.build(one)) == []


def test_the_plan_is_marked_at_the_temperature_for_which_the_deadline_is_told() -> None:
    design = index().job.designs.designs[0]
    kept = replace(
        design.cure, mix_temperature=kelvin(16.0), cure_temperature=kelvin(11.0),
        coldest=kelvin(9.0),
        working_table=tuple((kelvin(T), 1000.0) for T in (14.0, 15.0, 16.0, 17.0)),
        release_table=tuple((kelvin(T), 4000.0) for T in (8.0, 9.0, 10.0, 11.0)),
    )  # fmt: skip
    rows = temperature_rows(replace(design, cure=kept))
    for key, wanted in (("by_table", "16°"), ("from_table", "9°")):
        cells = rows[key]
        assert isinstance(cells, list)
        marked = [c["degrees"] for c in cells if isinstance(c, dict) and c["plan"]]
        assert marked == [wanted]


def test_the_crew_reads_the_computed_deadlines_beside_its_own() -> None:
    parts = cure.crew_line(PLANNED)
    assert parts[0] == ["Computed alone, air 16 to 13 °C: at pressure by", "21:21", ""]
    # a release is rounded up to the next minute, a latest time down
    assert parts[1] == ["hard from", "22:04", "in 95 of 100 cases"]
    never = cure.crew_line(replace(PLANNED, release=math.inf, chance=0.81))
    assert never[1] == ["hard", "not sure", "81 of 100 at the release"]
    assert cure.crew_line(None) == []


def test_the_line_stands_on_the_sheet_of_its_visit_only() -> None:
    job = make_job((3,), (30.0,))
    visits = [v for s in job.programme.shifts for v in s.visits]
    bare = shift.sheets(JobIndex(job))
    planned = replace(PLANNED, connection_id=visits[0].connection_id)
    with_cure = shift.sheets(JobIndex(replace(job, cures=(planned,))))
    shown = [v for s in with_cure for v in s.body["visits"] if isinstance(v, dict)]  # type: ignore[union-attr]
    assert sum(bool(v["cure"]) for v in shown) == 1
    assert all(not v["cure"] for s in bare for v in s.body["visits"])  # type: ignore[union-attr,index,call-overload]

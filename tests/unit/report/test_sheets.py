import json
from dataclasses import replace

import pytest

from teewright.assess.values import Need
from teewright.findings import Finding, FindingKind, Place
from teewright.report import pack
from teewright.report.index import OPEN, SEALED, Decision, JobIndex
from teewright.report.sheets import (
    appendix,
    cautions,
    collar,
    connections,
    findings,
    pattern,
    price,
    record,
    run,
    shift,
    summary,
)
from unit.report.sample import MADE, make_job


def index(*, logged: bool = True) -> JobIndex:
    return JobIndex(make_job(logged=logged))


def test_decisions_part_the_connections() -> None:
    one = index()
    parts = [one.decided(d) for d in Decision]
    assert sorted(cid for part in parts for cid in part) == sorted(one.connections)


def test_a_need_without_a_design_is_refused_and_open() -> None:
    one = index()
    job = replace(one.job, designs=replace(one.job.designs, designs=()))
    bare = JobIndex(job)
    assert bare.decided(*SEALED) == []
    wanted = [v for v in job.assessment.verdicts if v.need in {Need.SEAL, Need.MAKE_READY}]
    assert len(bare.decided(Decision.REFUSED)) == len(wanted)


def test_a_run_is_lined_as_declared_then_as_surveyed_then_as_designed() -> None:
    job = make_job()
    run_ = job.survey.runs[0]
    silent = replace(job, site=replace(job.site, runs=()))
    assert JobIndex(job).lined(replace(run_, lined=False)) is True
    assert JobIndex(silent).lined(replace(run_, lined=False)) is False
    assert JobIndex(silent).lined(replace(run_, lined=None)) is True
    bare = replace(silent, designs=replace(job.designs, designs=()))
    assert JobIndex(bare).lined(replace(run_, lined=None)) is None


def test_the_summary_counts_as_the_index_does() -> None:
    one = index()
    sealed, unsettled = len(one.decided(*SEALED)), len(one.decided(*OPEN))
    total = len(one.connections)
    expected = f"{sealed} of {total} connections will be sealed; {unsettled} are still open"
    assert summary.answer(one) == expected


def test_many_runs_are_drawn_on_sheets_of_their_own() -> None:
    few = summary.sheets(JobIndex(make_job((2,) * 8, (40.0,) * 8)))
    many = summary.sheets(JobIndex(make_job((2,) * 9, (40.0,) * 9)))
    assert (len(few), len(many)) == (1, 2)
    assert many[0].body["runs"] == ""


def test_the_ranked_list_holds_every_connection_once() -> None:
    one = index()
    (sheet,) = connections.sheets(one)
    rows = sheet.body["rows"]
    assert isinstance(rows, list)
    assert [r["name"] for r in rows] == [v.connection_id for v in one.job.assessment.verdicts]
    assert connections.sheets(JobIndex(make_job((), ()))) == []


def test_every_run_with_connections_has_a_sheet_and_the_rest_share_one() -> None:
    one = JobIndex(make_job((3, 0, 12, 0), (40.0, 5.0, 60.0, 200.0)))
    kinds = [s.kind for s in run.sheets(one)]
    assert kinds == ["run", "run", "run", "bare"]
    rows = run.sheets(one)[-1].body["rows"]
    assert isinstance(rows, list)
    assert len(rows) == 2


@pytest.mark.parametrize(
    ("hours", "text"),
    [
        (range(24), "any hour"),
        ((), "never"),
        ((22, 23, 0, 1), "22–02"),
        ((3, 4, 12), "03–05, 12–13"),
    ],
)
def test_hours_are_said_as_ranges(hours: tuple[int, ...], text: str) -> None:
    assert collar.hour_ranges(hours) == text


def test_the_collar_sheet_says_what_to_set() -> None:
    one = index()
    design = one.job.designs.designs[0]
    assert "bar by 35 min, release from 3 h 40" in collar.answer(design)
    unset = replace(design, pressure=replace(design.pressure, set=None))
    assert "no pressure" in collar.answer(unset)
    thin = replace(design, wall=replace(design.wall, utilisation=1.2))
    assert "too thin" in collar.answer(thin)


def test_traces_point_at_the_row_that_holds_the_value() -> None:
    one = index()
    numbers = appendix.build(one)
    design = one.job.designs.designs[-1]
    found = numbers.find(design, "Pressure", design.pressure.low)
    assert found is not None
    (sheet,) = appendix.sheets(one, numbers)
    blocks = sheet.body["blocks"]
    assert isinstance(blocks, list)
    rows = [row for block in blocks for row in block["rows"] if row["number"] == found]
    assert {row["quantity"] for row in rows} == {"Least forming pressure"}
    assert numbers.find(design, "Pressure", 1.234) is None
    assert numbers.find(design, "Pressure", None) is None


def test_equal_results_stand_in_one_column() -> None:
    one = JobIndex(make_job((10, 10), (80.0, 80.0)))
    numbers = appendix.build(one)
    by_section = {t.section: t for t in numbers.tables}
    assert len(by_section["Times"].columns) == 1
    assert len(by_section["Collar"].columns) == len(pattern.by_pattern(one))
    ids = [cid for _, members in by_section["Pressure"].columns for cid in members]
    assert sorted(ids) == sorted(one.designs)


def test_patterns_list_their_own_cutting_files_only() -> None:
    one = index()
    sheets = pattern.sheets(one, ("cutting/P1.dxf", "cutting/P1-main.svg", "cutting/P11.dxf"))
    assert sheets[0].body["drawings"] == ["cutting/P1.dxf", "cutting/P1-main.svg"]
    assert sheets[1].body["drawings"] == []


def test_shift_sheets_hold_every_visit_once() -> None:
    one = JobIndex(make_job((12, 12), (90.0, 90.0), per_shift=9))
    sheets = shift.sheets(one)
    held = [v for s in sheets if isinstance(v := s.body["visits"], list)]
    assert sum(len(v) for v in held) == sum(len(s.visits) for s in one.job.programme.shifts)
    assert sum(s.body["bars"] != "" for s in sheets) == len(one.job.programme.shifts)


def test_logged_times_fill_the_boxes() -> None:
    one = index()
    (first, *_) = shift.sheets(one)
    visits = first.body["visits"]
    assert isinstance(visits, list)
    done = [step["done"] for step in visits[0]["steps"]]
    assert done == ["20:21", "20:39", "20:41", "20:48", "20:51", "00:05", "00:14", ""]
    assert {step["done"] for step in visits[1]["steps"]} == {""}


def test_the_price_sheet_sums_up() -> None:
    one = index()
    (sheet,) = price.sheets(one)
    totals = sheet.body["totals"]
    assert isinstance(totals, dict)
    assert totals["number"] == str(len(one.designs))
    assert totals["packs"] == str(sum(d.resin.packs for d in one.designs.values()))


def test_there_is_no_record_before_the_first_event() -> None:
    assert record.sheets(index(logged=False)) == []
    (sheet,) = record.sheets(index())
    assert sheet.answer == "One collar has been placed; one is sealed and tight"
    assert "pressure 0.65 bar" in json.dumps(sheet.body)


def test_equal_findings_stand_together_with_their_lines() -> None:
    many = [
        Finding(FindingKind.REPAIRED, "comma", "Read as a point.", Place("a.txt", k), "1,5")
        for k in range(1, 35)
    ]
    said = findings.places(many)
    assert said == "a.txt lines 1, 2, 3, 4, 5, 6 and 28 more"
    (sheet,) = findings.sheets(index())
    groups = sheet.body["groups"]
    assert isinstance(groups, list)
    assert [g["kind"] for g in groups] == ["doubt", "dropped", "guessed", "repaired", "assumed"]
    assert sheet.answer == "1 of 38 findings needs a decision"


def test_every_collar_has_its_cautions_once() -> None:
    given = (("Pressurised packer.", "Stored energy 8 kJ."), ("Flow.", "Watch the level."))
    found = cautions.of_collar(given, ("isocyanates", "styrene"))
    causes = [cause for cause, _ in found]
    assert causes[:2] == ["Pressurised packer", "Flow"]
    assert "Isocyanates and styrene" in causes
    assert {"Heat", "Waste"} <= set(causes)
    assert len(causes) == len(set(causes))
    again = cautions.of_collar(found, ("isocyanates", "styrene"))
    assert again == found


def test_no_sheet_tells_anyone_to_enter() -> None:
    said = json.dumps(pack.pack_data(make_job(), made=MADE)).casefold()
    assert "enter the manhole" not in said
    assert "go down" not in said
    assert "climb" not in said


def test_the_contents_point_at_sheets_that_exist() -> None:
    data = json.loads(json.dumps(pack.pack_data(make_job(), made=MADE)))
    ids = [s["id"] for s in data["sheets"]]
    assert len(ids) == len(set(ids))
    rows = data["sheets"][0]["contents"]
    assert {r["first"] for r in rows} | {r["last"] for r in rows} <= set(ids)
    assert rows[0]["first"] == "sheet-2"
    assert rows[-1]["last"] == ids[-1]

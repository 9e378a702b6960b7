import json
from dataclasses import replace
from datetime import timedelta

import pytest

from teewright.assess.values import Need, Reason
from teewright.findings import Finding, FindingKind, Place
from teewright.job.values import Designs, Job
from teewright.price.values import QuoteLine
from teewright.programme.values import Programme, Unplanned
from teewright.report import pack
from teewright.report.figures import panels, views
from teewright.report.index import OPEN, SEALED, Decision, JobIndex
from teewright.report.sheets import (
    appendix,
    cautions,
    collar,
    collar_drawing,
    connections,
    findings,
    flow,
    pattern,
    price,
    record,
    run,
    shift,
    summary,
    unsealed,
)
from teewright.report.sheets.sheet import Sheet
from teewright.site.values import EventKind
from unit.report.sample import MADE, make_job, overloaded


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
    few = summary.sheets(JobIndex(make_job((2,) * 4, (40.0,) * 4)))
    many = summary.sheets(JobIndex(make_job((2,) * 40, (40.0,) * 40)))
    assert (len(few), len(many)) == (1, 3)
    assert few[0].body["runs"] != ""
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
    assert flow.hour_ranges(hours) == text


def test_the_collar_sheet_says_what_to_set() -> None:
    one = index()
    design = one.job.designs.designs[0]
    assert "bar by 35 min, release from 3 h 40" in collar.answer(design)
    unset = replace(design, pressure=replace(design.pressure, set=None))
    assert "no pressure" in collar.answer(unset)
    thin = overloaded(design, 1.2)
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


def record_sheets(one: JobIndex) -> list[Sheet]:
    return record.sheets(one, appendix.build(one))


def test_there_is_no_record_before_the_first_event() -> None:
    assert record_sheets(index(logged=False)) == []
    first, *others = record_sheets(index())
    assert first.answer == "One collar has been placed; one is sealed and tight"
    assert len(others) == len({e.installation for e in index().job.events})
    assert "pressure 0.65 bar" in json.dumps(others[0].body)


def test_an_installation_is_measured_against_its_limits() -> None:
    one = index()
    _, sheet, *_ = record_sheets(one)
    rows = sheet.body["limits"]
    assert isinstance(rows, list)
    by_name = {row["name"]: row for row in rows}
    assert by_name["At pressure after mixing"]["measured"] == "30 min"
    assert by_name["At pressure after mixing"]["verdict"] == "within, 5 min spare"
    assert by_name["Release after mixing"]["verdict"].startswith("within")
    assert by_name["Pressure while held"]["verdict"] == "within"
    assert sheet.body["held"] != ""


def test_a_decision_stands_with_the_departures_and_not_with_what_is_open() -> None:
    job = index().job
    said = "The leak test: decided by Engineer on 2027-05-05: It stays."
    records = tuple(
        replace(r, decided=(said,), open_points=()) if r.installation else r for r in job.records
    )
    table, sheet, *_ = record_sheets(JobIndex(replace(job, records=records)))
    rows, closed, still = table.body["records"], sheet.body["decided"], sheet.body["open"]
    assert isinstance(rows, list)
    assert isinstance(closed, list)
    assert isinstance(still, list)
    assert any("decided by" in str(row["departures"]) for row in rows)
    assert all("decided by" not in str(row["open"]) for row in rows)
    assert [str(words).replace("\u200b", "") for words in closed] == [said]
    assert "decided by" not in str(still)


def late(job: Job) -> Job:
    events = tuple(
        replace(e, at=e.at + timedelta(minutes=30)) if e.kind is EventKind.AT_PRESSURE else e
        for e in job.events
    )
    return replace(job, events=events)


def test_a_late_inflation_is_late_on_its_sheet() -> None:
    _, sheet, *_ = record_sheets(JobIndex(late(index().job)))
    rows = sheet.body["limits"]
    assert isinstance(rows, list)
    assert rows[0]["verdict"] == "late by 25 min"


def told(job: Job, **limits: float) -> Job:
    """The job, its batch mixed under other limits than those of its design."""
    data = tuple((name, str(value)) for name, value in limits.items())
    events = tuple(
        replace(e, data=(*e.data, *data)) if e.kind is EventKind.MIXED else e for e in job.events
    )
    return replace(job, events=events)


def test_an_installation_is_measured_against_what_was_told() -> None:
    job = told(index().job, latest_inflation=1500.0, release=15_000.0)
    state = replace(job.installations[0], differs=("Told otherwise.",), repeats=("Out again.",))
    _, sheet, *_ = record_sheets(JobIndex(replace(job, installations=(state,))))
    rows = sheet.body["limits"]
    assert isinstance(rows, list)
    assert [row["limit"] for row in rows[:2]] == ["≤ 25 min", "≥ 4 h 10"]
    assert rows[0]["verdict"] == "late by 5 min"
    assert rows[1]["verdict"] == "early by 26 min"
    assert sheet.body["remarks"] == ["Told otherwise.", "Out again."]


def test_every_leak_test_has_its_row_and_label() -> None:
    job = readings_logged(index().job, 4)
    again = tuple(
        replace(e, id=f"again-{e.id}", data=(("test", "2"), *e.data))
        for e in job.events
        if e.kind is EventKind.TEST_READING
    )
    _, sheet, *_ = record_sheets(JobIndex(replace(job, events=(*job.events, *again))))
    rows = sheet.body["limits"]
    assert isinstance(rows, list)
    tests = [row for row in rows if row["name"].startswith("Leak test")]
    assert [row["name"] for row in tests] == ["Leak test 1, LC", "Leak test 2, LC"]
    _, alone, *_ = record_sheets(JobIndex(job))
    assert isinstance(alone.body["limits"], list)
    assert alone.body["limits"][-1]["name"] == "Leak test LC"


def test_who_was_signed_in_stands_beside_who_logged() -> None:
    job = index().job
    first, second, *rest = job.events
    events = (
        replace(first, data=(*first.data, ("signed_in", "anna"))),
        replace(second, data=(*second.data, ("signed_in", second.person))),
        *rest,
    )
    _, sheet, *_ = record_sheets(JobIndex(replace(job, events=events)))
    rows = sheet.body["events"]
    assert isinstance(rows, list)
    plain = [row["who"].replace("\u200b", "") for row in rows[:3]]
    assert plain == ["crew leader; anna signed in", "crew leader, signed in", "crew leader"]
    assert "signed_in" not in json.dumps([row["data"] for row in rows])


def readings_logged(job: Job, count: int) -> Job:
    last = job.events[-1]
    more = tuple(
        replace(
            last,
            id=f"t{k}",
            kind=EventKind.TEST_READING,
            data=(("method", "LC"), ("elapsed", f"{30.0 * k}"), ("pressure", f"{1e4 - 50 * k}")),
        )
        for k in range(count)
    )
    return replace(job, events=(*job.events, *more))


def test_test_readings_stand_together_and_are_drawn() -> None:
    one = JobIndex(readings_logged(index().job, 7))
    _, sheet, *_ = record_sheets(one)
    rows = sheet.body["events"]
    assert isinstance(rows, list)
    together = [row for row in rows if row["what"] == "Test readings"]
    assert len(together) == 1
    assert "elapsed 180 s, pressure 97.0 mbar" in together[0]["data"]
    assert sheet.body["leak"] != ""


def planned_without(job: Job, connection_id: str) -> Job:
    left_out = Unplanned(connection_id, "packer", "no crew has a packer that fits")
    shifts = tuple(
        replace(s, visits=tuple(v for v in s.visits if v.connection_id != connection_id))
        for s in job.programme.shifts
    )
    programme = replace(job.programme, shifts=shifts, unplanned=(left_out,))
    return replace(job, programme=programme)


def test_a_collar_without_a_shift_is_open_and_not_counted_as_sealed() -> None:
    job = make_job()
    cid = job.designs.designs[0].connection_id
    before = JobIndex(replace(job, programme=replace(job.programme, unplanned=())))
    after = JobIndex(planned_without(job, cid))
    assert after.decision(cid) is Decision.UNPLANNED
    assert len(after.decided(*SEALED)) == len(before.decided(*SEALED)) - 1
    assert after.reason(cid) == "No crew has a packer that fits"
    said = str(summary.sheets(after)[0].body["sealed"])
    assert "One collar is designed but fits no shift." in said


def test_the_heading_is_true_where_nothing_is_sealed() -> None:
    job = make_job()
    bare = replace(job, designs=Designs((), (), ()), programme=Programme((), (), 0, proved=True))
    assert summary.answer(JobIndex(bare)) == "None of 12 connections can be sealed yet"
    left = tuple(replace(v, need=Need.LEAVE) for v in job.assessment.verdicts)
    none = replace(bare, assessment=replace(job.assessment, verdicts=left))
    assert summary.answer(JobIndex(none)) == "12 connections are left as they are"
    closed = (replace(left[0], need=Need.CLOSE_OFF), *left[1:])
    some = replace(bare, assessment=replace(job.assessment, verdicts=closed))
    assert summary.answer(JobIndex(some)) == "None of 12 connections needs a collar"
    assert summary.answer(JobIndex(make_job((), ()))) == "No connection was found"


def test_a_plan_that_is_missing_and_a_wall_that_is_thin_are_in_the_heading() -> None:
    job = make_job()
    unplanned = replace(job, programme=Programme((), (), 0, proved=True))
    assert "can be sealed, none is planned" in summary.answer(JobIndex(unplanned))
    first, *others = job.designs.designs
    thin = overloaded(first, 1.3)
    weak = replace(job, designs=replace(job.designs, designs=(thin, *others)))
    assert "will be sealed, 1 after review" in summary.answer(JobIndex(weak))


def test_every_connection_that_is_not_sealed_is_on_its_sheet_once() -> None:
    one = index()
    groups = unsealed.groups(one)
    ids = [cid for group in groups for cid in group.ids]
    assert sorted(ids) == sorted(set(one.connections) - set(one.decided(*SEALED)))
    (sheet,) = unsealed.sheets(one)
    assert f"{len(ids)} connections are not sealed" in sheet.answer
    assert unsealed.by_run(one, tuple(ids[:1])).replace("\u2060", "") == ids[0]


def test_small_lines_of_the_price_go_together_and_the_largest_are_shown() -> None:
    job = make_job()
    kinds = [QuoteLine(f"Make ready: kind {k}", 1.0, "each", 9.0, 9.0, "") for k in range(4)]
    lines = [QuoteLine(f"Item {k}", 1.0, "each", 10.0 * k, 10.0 * k, "") for k in range(1, 12)]
    quote = replace(job.quote, lines=(*kinds, *lines), overhead=0.0)
    rows = summary.sheets(JobIndex(replace(job, quote=quote)))[0].body["cost"]
    assert isinstance(rows, list)
    assert [row["item"] for row in rows] == [
        *(f"Item {k}" for k in range(5, 12)), "Five smaller lines",
    ]  # fmt: skip
    sums = sum(int(row["sum"]) for row in rows)
    assert sums == sum(q.sum for q in quote.lines)


def test_long_reasons_that_many_share_become_a_note() -> None:
    job = make_job()
    long = "the run is not lined as far as the survey and the site file say, so nothing is cut"
    verdicts = tuple(
        replace(v, need=Need.LEAVE, make_ready=(), reasons=(Reason("not-lined", long),))
        for v in job.assessment.verdicts
    )
    bare = replace(
        job,
        assessment=replace(job.assessment, verdicts=verdicts),
        programme=replace(job.programme, unplanned=()),
        designs=Designs((), (), ()),
    )
    (sheet,) = connections.sheets(JobIndex(bare))
    assert sheet.body["notes"] == [long[:1].upper() + long[1:]]
    rows = sheet.body["rows"]
    assert isinstance(rows, list)
    assert {row["reason"] for row in rows} == {"Not lined: note 1"}


def test_lists_of_connections_leave_the_text_of_a_finding() -> None:
    one = index()
    ids = list(one.connections)[:3]
    listed = f"angle assumed for 9 connections ({', '.join(ids)} and 6 more)"
    text, named = findings.told(one, Finding(FindingKind.ASSUMED, "angle", listed))
    assert text == "angle assumed for 9 connections"
    assert named == [*ids, "6 more"]
    plain = f"gap taken as 50 mm at {', '.join(ids)}"
    text, named = findings.told(one, Finding(FindingKind.ASSUMED, "gap", plain))
    assert text == "gap taken as 50 mm at three connections"
    assert named == ids
    single = f"gap taken at {ids[0]}"
    assert findings.told(one, Finding(FindingKind.ASSUMED, "gap", single)) == (single, [])


@pytest.mark.parametrize("clock", [None, 12.0, 3.0, 5.0, 7.5])
@pytest.mark.parametrize("height", [75.0, 90.0, 120.0, 150.0])
def test_the_drawings_of_a_collar_fit_the_paper(clock: float | None, height: float) -> None:
    design = index().job.designs.designs[0]
    layout = collar_drawing.choose(design, clock, height)
    junction, made = design.collar.junction, design.collar
    view = views.size_of(
        junction,
        layout.views,
        sleeve=made.sleeve_length,
        branch=made.branch_length,
        clock=clock,
    )
    main, branch = (panels.size_of(p, layout.panels) for p in made.panels)
    if layout.abreast:
        assert view[0] + main[0] + branch[0] <= 178.0
        assert max(view[1], main[1], branch[1]) + 36.0 <= height
        return
    beside, under = (branch, main) if layout.beside == "branch" else (main, branch)
    assert view[0] + beside[0] <= 178.0
    assert under[0] <= 178.0
    assert max(view[1], beside[1]) + under[1] <= height


def test_columns_of_the_appendix_are_even_and_equal_rows_are_not_repeated() -> None:
    one = JobIndex(make_job((12, 12), (90.0, 90.0)))
    (sheet,) = appendix.sheets(one, appendix.build(one))
    blocks = sheet.body["blocks"]
    assert isinstance(blocks, list)
    sizes = [len(b["letters"]) for b in blocks if b["title"].startswith("Connection")]
    assert max(sizes) - min(sizes) <= 1
    for block in blocks:
        if not block["first"]:
            assert all(len(row["values"]) > 1 or row["number"] for row in block["rows"])
    first = [row["number"] for b in blocks if b["first"] for row in b["rows"]]
    assert first == list(range(1, len(first) + 1))


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

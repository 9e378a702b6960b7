import csv
import io
import zipfile
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from teewright.findings import Finding, FindingKind, Place
from teewright.formats.lists import lists, write_csv, write_xlsx
from teewright.job.values import Job
from unit.report.sample import make_job

HOSTILE = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1")


def with_finding(text: str) -> Job:
    finding = Finding(FindingKind.NOTE, "rule", text, Place("a.txt", 1), text)
    return replace(make_job((1,), (10.0,)), findings=(finding,))


def rows_of(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline="")))


def workbook(job: Job) -> Any:
    return load_workbook(io.BytesIO(write_xlsx(job)))


def test_every_list_has_its_rows_in_both_forms() -> None:
    job = make_job()
    book, texts = workbook(job), write_csv(job)
    assert book.sheetnames == [one.name for one in lists(job)]
    for one in lists(job):
        rows = rows_of(texts[f"{one.name}.csv"])
        assert rows[0] == [c.head for c in one.columns]
        assert len(rows) == len(one.rows) + 1
        assert book[one.name].max_row == len(one.rows) + 1


def test_counts_are_those_of_the_job() -> None:
    job = make_job()
    sizes = {one.name: len(one.rows) for one in lists(job)}
    assert sizes["connections"] == 12
    assert sizes["sightings"] == 24
    assert sizes["runs"] == 3
    assert sizes["collars"] == len(job.designs.designs)
    assert sizes["refused"] == len(job.designs.refusals) + len(job.programme.unplanned)
    assert sizes["shifts"] == sum(len(s.visits) for s in job.programme.shifts)
    assert sizes["findings"] == len(job.findings)
    assert sizes["events"] == len(job.events)


def test_numbers_stay_numbers_in_the_unit_of_their_head() -> None:
    job = make_job()
    sheet = workbook(job)["collars"]
    heads = [cell.value for cell in sheet[1]]
    design = job.designs.designs[0]
    first = dict(zip(heads, [cell.value for cell in sheet[2]], strict=True))
    assert first["branch, mm"] == pytest.approx(design.collar.junction.branch_diameter * 1e3)
    assert first["pressure set, bar"] == pytest.approx((design.pressure.set or 0.0) / 1e5)
    assert first["at pressure by, min"] == 35
    assert first["release from, min"] == 220
    assert sheet.cell(2, heads.index("fabric, m2") + 1).number_format == "0.000"


def test_times_are_times() -> None:
    sheet = workbook(make_job())["shifts"]
    heads = [cell.value for cell in sheet[1]]
    assert isinstance(sheet.cell(2, heads.index("mix") + 1).value, datetime)


def test_the_head_is_frozen_and_can_be_filtered() -> None:
    sheet = workbook(make_job())["connections"]
    assert sheet.freeze_panes == "B2"
    assert sheet.auto_filter.ref is not None


@pytest.mark.parametrize("text", HOSTILE)
def test_formulas_stay_text(text: str) -> None:
    job = with_finding(text)
    (row,) = rows_of(write_csv(job)["findings.csv"])[1:]
    assert row[2] == "'" + text
    cell = workbook(job)["findings"].cell(2, 3)
    assert cell.data_type == "s"
    assert str(cell.value).strip() == text.strip()


def test_negative_numbers_are_no_formulas() -> None:
    job = make_job((1,), (10.0,))
    line = replace(job.quote.lines[0], sum=-12.5)
    job = replace(job, quote=replace(job.quote, lines=(line,)))
    assert rows_of(write_csv(job)["price.csv"])[1][4] == "-12.50"


@settings(max_examples=25, deadline=None)
@given(st.text(st.characters(), max_size=40))
def test_any_text_can_be_written(text: str) -> None:
    job = with_finding(text)
    written = write_csv(job)["findings.csv"].encode("utf-8")
    assert len(rows_of(written.decode("utf-8"))) == 2
    assert workbook(job)["findings"].max_row == 2


def test_what_is_not_known_is_empty() -> None:
    job = make_job()
    rows = rows_of(write_csv(job)["connections.csv"])
    clocks = [row[3] for row in rows[1:]]
    assert clocks.count("") == sum(c.clock is None for c in job.survey.connections) > 0


def test_the_same_job_gives_the_same_bytes() -> None:
    job = make_job()
    first, second = write_xlsx(job), write_xlsx(job)
    assert first == second
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert {item.date_time for item in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_an_empty_job_gives_empty_lists() -> None:
    texts = write_csv(make_job((), ()))
    assert len(rows_of(texts["connections.csv"])) == 1
    assert workbook(make_job((), ()))["collars"].max_row == 1

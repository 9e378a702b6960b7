"""The sheet that tells what sealing saves."""

from dataclasses import replace
from typing import Any

import pytest

from teewright.job.savings import savings_of
from teewright.job.values import Job
from teewright.report.index import JobIndex
from teewright.report.sheets.savings import MOST, sheets, years
from unit.report.sample import make_job


def job(counts: tuple[int, ...] = (4, 3), water: float = 1.5) -> Job:
    made = make_job(counts, tuple(30.0 for _ in counts))
    kit = replace(made.kit, rates=replace(made.kit.rates, water=water))
    savings = savings_of(made.assessment, made.designs, made.quote, kit, made.site)
    return replace(made, kit=kit, savings=savings)


def body_of(made: Job) -> Any:
    (sheet,) = sheets(JobIndex(made))
    return sheet.body


def test_the_heading_answers_and_the_rows_add_up() -> None:
    made = job()
    assert made.savings is not None
    (sheet,) = sheets(JobIndex(made))
    kept = sum(one.saving.volume_kept_out for one in made.savings.connections)
    assert f"{kept:.0f} m³ a year" in sheet.answer
    body = body_of(made)
    assert body["kept"] == f"{kept:.0f}"
    assert len(body["rows"]) == len(made.savings.connections)
    assert body["rows"][0]["share"] == 1.0


def test_there_is_no_sheet_without_a_price_or_where_nothing_is_kept_out() -> None:
    assert sheets(JobIndex(job(water=0.0))) == []
    made = job()
    assert made.savings is not None
    dry = tuple(
        replace(one, saving=replace(one.saving, volume_kept_out=0.0))
        for one in made.savings.connections
    )
    assert sheets(JobIndex(replace(made, savings=replace(made.savings, connections=dry)))) == []


def test_a_long_list_stays_on_one_page() -> None:
    body = body_of(job((30, 30)))
    assert len(body["rows"]) == MOST
    assert "in the totals alone" in body["text"]


@pytest.mark.parametrize(
    ("value", "text"), [(None, "never"), (1.44, "1.4"), (99.99, "100.0"), (250.0, "over 100")]
)
def test_a_payback_as_it_is_printed(value: float | None, text: str) -> None:
    assert years(value) == text


def test_the_sheet_tells_what_is_declared_what_computed_and_what_assumed() -> None:
    made = job()
    assert made.savings is not None
    plain = body_of(made)
    assert {row["from"] for row in plain["rows"]} == {"computed"}
    assert "Declared" not in plain["text"]
    assert "an assumption" in plain["text"]
    first, *others = made.savings.connections
    savings = replace(
        made.savings,
        connections=(replace(first, declared="dripping"), *others),
        left=0.05,
        source="buckets of the winter",
        moving=True,
    )
    told = body_of(replace(made, savings=savings))
    assert told["rows"][0]["from"] == "declared, dripping"
    assert "(buckets of the winter)" in told["text"]
    assert "5 % of it" in told["text"]
    assert "not followed" in told["text"]

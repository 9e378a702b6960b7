"""Several attempts at one connection: each has its sheet, and each sheet says what became of it."""

from dataclasses import replace

from teewright.job.proving import prove_job
from teewright.job.values import Job
from teewright.report.index import JobIndex
from teewright.report.sheets import appendix, record
from teewright.report.sheets.sheet import Json, Sheet
from teewright.site.values import Event, EventKind
from unit.report.sample import make_job


def attempt(events: tuple[Event, ...], number: int) -> tuple[Event, ...]:
    """The same work as another attempt."""
    name = events[0].installation.rpartition("#")[0]
    return tuple(replace(e, id=f"{number}-{e.id}", installation=f"{name}#{number}") for e in events)


def with_test(events: tuple[Event, ...], drop: float) -> tuple[Event, ...]:
    """The work, and a test with air that loses so much in 3 min [Pa]."""
    last = events[-1]
    readings = tuple(
        replace(
            last,
            id=f"test-{last.installation}-{k}",
            kind=EventKind.TEST_READING,
            data=(
                ("method", "LC"),
                ("elapsed", str(60.0 * k)),
                ("pressure", str(1e4 - k * drop / 3)),
            ),
        )
        for k in range(10)
    )
    return (
        *events,
        *readings,
        replace(last, id=f"i-{last.installation}", kind=EventKind.INSPECTED),
    )


def more(before: Event, kind: EventKind, **data: str) -> Event:
    return replace(before, id=f"{kind.value}-{before.id}", kind=kind, data=tuple(data.items()))


def sheets_of(job: Job, *events: Event) -> list[Sheet]:
    states, records = prove_job(
        job.survey, job.site, job.assessment, job.designs, job.programme, events
    )
    one = JobIndex(replace(job, events=events, installations=states, records=records))
    return record.sheets(one, appendix.build(one))[1:]


def rows_of(sheet: Sheet) -> dict[str, str]:
    rows = sheet.body["limits"]
    assert isinstance(rows, list)
    found: list[dict[str, Json]] = rows
    return {str(row["name"]): str(row["verdict"]) for row in found}


def test_an_attempt_that_was_not_tight_keeps_its_test_on_its_sheet() -> None:
    job = make_job(logged=True)
    first = with_test(job.events, 5000.0)
    second = with_test(attempt(job.events, 2), 100.0)
    earlier, counts = sheets_of(job, *first, *second)
    name = job.events[0].installation.rpartition("#")[0]
    said = "was finished and done again; its leak test: not tight"
    assert earlier.answer == f"{name}: attempt 1 {said}"
    assert rows_of(earlier)["Leak test LC"] == "not tight"
    assert earlier.body["leak"] != ""
    assert counts.answer == f"{name} is sealed and tight; 1 departure"
    assert counts.body["departures"] == [f"Attempt 1 {said}."]


def test_an_attempt_that_was_given_up_says_why_and_waits_for_nothing() -> None:
    job = make_job(logged=True)
    mixed = job.events[0]
    stopped = more(job.events[1], EventKind.ABORTED, reason="packer lost air")
    earlier, counts = sheets_of(job, mixed, stopped, *attempt(job.events, 2))
    assert earlier.answer.endswith("attempt 1 was given up: packer lost air")
    assert "open" not in rows_of(earlier).values()
    assert rows_of(counts)["Leak test"] == "open"


def test_a_mixing_that_was_taken_back_is_not_told_as_given_up() -> None:
    job = make_job(logged=True)
    mixed = job.events[0]
    back = more(mixed, EventKind.CORRECTED, event=mixed.id, void="yes", reason="tapped")
    (sheet,) = sheets_of(job, mixed, back)
    assert sheet.answer.endswith("attempt 1 was taken back: nothing counts")
    assert rows_of(sheet) == {}

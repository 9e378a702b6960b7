from dataclasses import replace

from teewright.job.proving import tests_of as leak_tests_of
from teewright.report.index import JobIndex
from teewright.report.sheets.installation import leak_figure
from teewright.site.values import EventKind
from unit.report.sample import make_job

Readings = tuple[tuple[float, float], ...]
TEST: Readings = ((0.0, 241.0), (300.0, 235.0), (900.0, 230.0))
"""(time [s], pressure [mbar]) of a low-pressure test from 3.5 psi."""
DIAMETER = 0.2


def drawn(readings: Readings) -> str:
    job = make_job()
    name = job.events[-1].installation
    logged = tuple(
        replace(
            job.events[-1],
            id=f"t{time}",
            kind=EventKind.TEST_READING,
            data=(("method", "F1417"), ("elapsed", f"{time}"), ("pressure", f"{mbar * 100}")),
        )
        for time, mbar in readings
    )
    ((_, test),) = leak_tests_of(name, logged, DIAMETER)
    records = tuple(replace(r, test=test) if r.installation == name else r for r in job.records)
    job = replace(job, events=(*job.events, *logged), records=records)
    return leak_figure(JobIndex(job), name)


def later(readings: Readings, seconds: float) -> Readings:
    return tuple((time + seconds, pressure) for time, pressure in readings)


def test_a_leak_test_is_drawn_from_its_start_whatever_the_gauges_clock_said() -> None:
    assert "<svg" in drawn(TEST)
    assert drawn(later(TEST, 100.0)) == drawn(TEST)


def test_what_settled_before_the_test_is_not_drawn_as_part_of_it() -> None:
    settling = ((10.0, 276.0), (70.0, 260.0))
    assert drawn((*settling, *later(TEST, 100.0))) == drawn(TEST)

"""Level behind the packer as drawn, and the row of the collar sheet for a main never free."""

import re
from dataclasses import replace

from teewright.hydraulics.values import FlowForecast
from teewright.report.figures.hold import hold_figure
from teewright.report.index import JobIndex
from teewright.report.sheets import appendix, flow
from unit.report.sample import make_job

FLOW = FlowForecast(
    duration=3600.0,
    starts=(0.0, 43200.0),
    greatest=(20.2, 20.5),
    freeboards=(0.1, -0.2),
    first=("A-B/1", "A-B/1"),
    allowed=(False, False),
    pumps=(0.001, 0.003),
    allowed_hours=(),
    latest_start=None,
    shown=0,
    times=(0.0, 1800.0, 3600.0),
    levels=(20.0, 20.1, 20.2),
    invert=20.0,
    places=(("A-B/1", 20.3), ("A", 23.0), ("far", 20.4), ("A-B/2", 20.35)),
    notes=(),
    trace=(),
)


def test_the_lowest_places_are_named_and_the_cover_is_not() -> None:
    drawn = re.findall(r">([^<]+)</text>", hold_figure(FLOW))
    assert {"water", "A-B/1", "A-B/2", "far"} <= set(drawn)
    assert "A" not in drawn


def test_a_cover_far_above_has_few_ticks() -> None:
    drawn = re.findall(r">([^<]+)</text>", hold_figure(replace(FLOW, places=(("A", 23.0),))))
    assert len([text for text in drawn if re.fullmatch(r"\d\.\d", text)]) < 10


def test_a_main_that_is_never_free_tells_the_pump() -> None:
    job = make_job((3,), (30.0,))
    design = replace(job.designs.designs[0], flow=FLOW)
    index = JobIndex(replace(job, designs=replace(job.designs, designs=(design,))))
    hours = flow.hours_row(design, appendix.build(index))
    # the level decides: the least pump of its starts, whatever the steady check makes of it
    assert hours.allowed == ()
    assert hours.answer == "needs 1.00 l/s pumped"
    assert flow.pumps(design) == "00–01: 1.00 l/s; 12–13: 3.00 l/s"

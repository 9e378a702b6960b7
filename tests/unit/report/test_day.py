"""The sheet with the deadlines at other temperatures than the day's."""

import math
from dataclasses import replace
from typing import Any

from teewright.heat.values import DayWindow
from teewright.report.figures.day import day_figure
from teewright.report.index import JobIndex
from teewright.report.sheets.day import sheets
from teewright.report.sheets.sheet import Sheet
from teewright.units import kelvin
from unit.report.sample import make_job

AIR = tuple(kelvin(t) for t in (5.0, 15.0, 25.0))
DAY = DayWindow(
    air=AIR,
    packs=(kelvin(5.0), kelvin(15.0), kelvin(25.0)),
    latest=((1500.0, 1320.0, 1140.0), (1320.0, 1200.0, 1080.0), (1200.0, 1080.0, 960.0)),
    release=((4200.0, 3900.0, 3600.0), (3900.0, 3600.0, 3300.0), (3600.0, 3300.0, 3000.0)),
    today=kelvin(14.0),
    planned=1140.0,
    thickness=0.0041,
    main_diameter=0.189,
    ground=kelvin(10.0),
)


def sheets_of(day: DayWindow | None) -> list[Sheet]:
    job = make_job((3,), (30.0,))
    return sheets(JobIndex(replace(job, designs=replace(job.designs, day=day))))


def body_of(day: DayWindow) -> Any:
    (sheet,) = sheets_of(day)
    return sheet.body


def test_the_heading_tells_the_deadline_at_both_ends_of_the_air() -> None:
    (sheet,) = sheets_of(DAY)
    assert sheet.answer == "At pressure within 22 min in air of 5 °C, 18 min at 25 °C"


def test_there_is_no_sheet_where_no_cure_is_computed() -> None:
    assert sheets_of(None) == []


def test_a_line_that_ends_is_explained() -> None:
    cut = ((math.inf, 3900.0, 3600.0), *DAY.release[1:])
    assert len(body_of(DAY)["words"]) == 2
    assert "Where a line ends" in body_of(replace(DAY, release=cut))["words"][-1]


def test_every_line_is_drawn_and_named() -> None:
    svg = day_figure(DAY)
    assert svg.count("at pressure by") == 3
    assert svg.count("release from") == 3
    gone = replace(DAY, release=((math.inf,) * 3, *DAY.release[1:]))
    assert day_figure(gone).count("release from") == 2

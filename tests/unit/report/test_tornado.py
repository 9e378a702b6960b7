"""The chart of what moves the wall, and its sheet."""

from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from teewright.job.values import Job
from teewright.report import words
from teewright.report.figures.tornado import tornado_figure
from teewright.report.index import JobIndex
from teewright.report.sheets.walls import sheets
from teewright.wall.answers import Tornado
from teewright.wall.sensitivity import Declared, tornado
from unit.report.sample import make_job, overloaded
from wall_cases import CASE

RANGES = tuple(
    Declared(key=key, low=low, high=high, evidence="a trial")
    for key, low, high in (
        ("head", 2.0, 6.0),
        ("thickness", 0.0054, 0.0066),
        ("ovality", 0.0, 0.05),
        ("branch_ovality", 0.0, 0.05),
    )
)
CHART = tornado(CASE, RANGES)


def blacks(svg: str) -> list[float]:
    """Width of each filled rectangle, in drawing order [mm]."""
    found = []
    for mark in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}path"):
        if mark.get("fill") not in {"none", None}:
            xs = [float(p.split()[0]) for p in mark.get("d", "")[1:-1].split("L")]
            found.append(max(xs) - min(xs))
    return found


def test_bars_are_as_long_as_their_swing() -> None:
    wide = blacks(tornado_figure(CHART))
    assert len(wide) == 4
    for bar, length in zip(CHART.bars[:3], wide[:3], strict=True):
        expected = wide[0] * bar.swing / CHART.bars[0].swing
        assert abs(length - expected) < 0.03
    assert CHART.bars[3].swing == 0.0


def test_the_grid_ends_with_the_axis() -> None:
    for used in (1.0, 0.93, 0.7, 0.4):
        bars = tuple(replace(b, at_low=0.8 * used, at_high=1.16 * used) for b in CHART.bars)
        svg = tornado_figure(replace(CHART, utilisation=used, bars=bars))
        marks = ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
        middles = [float(m.get("x", "0")) for m in marks if m.get("text-anchor") == "middle"]
        assert max(middles) == 142.0
        assert min(middles) == 76.0


def test_what_moves_nothing_is_told_in_words() -> None:
    assert tornado_figure(CHART).count("0.0 to 5.0 %: moves nothing") == 1


def texts(svg: str) -> dict[str, float]:
    """Each text and where it is across the paper [mm]."""
    marks = ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    return {str(mark.text): float(mark.get("x", "0")) for mark in marks}


def test_each_end_tells_its_input_and_what_is_used_there() -> None:
    told = texts(tornado_figure(CHART))
    for bar in CHART.bars[:3]:
        scale, unit = {"m": (1.0, "m"), "mm": (1e-3, "mm"), "%": (0.01, "%")}[bar.shown_in]
        digits = 2 if unit == "m" else 1
        low, high = (
            f"{end / scale:.{digits}f} {unit}: {100.0 * used:.0f} %"
            for end, used in ((bar.low, bar.at_low), (bar.high, bar.at_high))
        )
        # the end that uses less stands on the left
        assert (told[low] < told[high]) == (bar.at_low < bar.at_high)


def test_the_limit_is_in_sight_however_far_it_is() -> None:
    for used in (0.2, 0.95, 1.0, 1.6):
        bars = tuple(replace(b, at_low=0.9 * used, at_high=1.1 * used) for b in CHART.bars)
        told = texts(tornado_figure(replace(CHART, utilisation=used, bars=bars)))
        checked = told[f"as checked, {100.0 * used:.0f} %"]
        # the words stand on the sides away from each other
        assert (checked < told["limit, 100 %"]) == (used <= 1.0)
        assert 76.0 - 1.5 <= told["limit, 100 %"] <= 142.0 + 1.5


def charted(index: JobIndex, chart: Tornado) -> Job:
    job = index.job
    designs = tuple(replace(d, tornado=chart) for d in job.designs.designs)
    return replace(job, designs=replace(job.designs, designs=designs))


def test_the_sheet_shows_the_collar_used_most_of_each_pattern() -> None:
    index = JobIndex(make_job((3,), (30.0,)))
    assert sheets(index) == []
    job = charted(index, CHART)
    (sheet,) = sheets(JobIndex(job))
    designs = job.designs.designs
    most = max(designs, key=lambda d: d.governing_wall.utilisation)
    assert sheet.title.endswith("?")
    assert f"{100.0 * most.governing_wall.utilisation:.0f} % is used" in sheet.answer
    assert most.connection_id in sheet.answer
    charts, ranges = sheet.body["charts"], sheet.body["ranges"]
    assert isinstance(charts, list)
    assert isinstance(ranges, list)
    assert len(charts) == len({d.collar.pattern for d in designs})
    # what a range rests on is said once, however many charts have it
    assert [r["name"] for r in ranges] == [words.capital(bar.name) for bar in CHART.bars]
    assert {r["evidence"] for r in ranges} == {"a trial."}


@pytest.mark.parametrize(
    ("ends", "used", "text"),
    [
        ((0.5, 0.9), 0.7, "Nothing within its range"),
        ((0.5, 1.1), 0.7, "Groundwater above the main's invert"),
        ((1.0, 1.4), 1.2, "too thin as it is"),
    ],
)
def test_the_heading_names_what_goes_past_the_limit(
    ends: tuple[float, float], used: float, text: str
) -> None:
    bar = next(b for b in CHART.bars if b.key == "head")
    chart = replace(CHART, utilisation=used, bars=(replace(bar, at_low=ends[0], at_high=ends[1]),))
    job = charted(JobIndex(make_job((3,), (30.0,))), chart)
    designs = tuple(overloaded(d, used) for d in job.designs.designs)
    job = replace(job, designs=replace(job.designs, designs=designs))
    (sheet,) = sheets(JobIndex(job))
    assert text in sheet.answer

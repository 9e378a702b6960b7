"""The chart of what moves the wall, and its sheet."""

from dataclasses import replace
from xml.etree import ElementTree as ET

from teewright.report.figures.tornado import tornado_figure
from teewright.report.index import JobIndex
from teewright.report.sheets.walls import sheets
from teewright.wall.sensitivity import Declared, tornado
from unit.report.sample import make_job
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
        assert max(middles) == 152.0
        assert min(middles) == 62.0


def test_what_moves_nothing_is_told_in_words() -> None:
    assert tornado_figure(CHART).count("moves nothing") == 1


def test_the_sheet_shows_the_collar_used_most_of_each_pattern() -> None:
    job = make_job((3,), (30.0,))
    assert sheets(JobIndex(job)) == []
    designs = tuple(replace(d, tornado=CHART) for d in job.designs.designs)
    job = replace(job, designs=replace(job.designs, designs=designs))
    (sheet,) = sheets(JobIndex(job))
    most = max(designs, key=lambda d: d.wall.utilisation)
    assert f"{100.0 * most.wall.utilisation:.0f} %" in sheet.answer
    charts = sheet.body["charts"]
    assert isinstance(charts, list)
    assert len(charts) == len({d.collar.pattern for d in designs})
    assert "a trial" in str(charts[0])

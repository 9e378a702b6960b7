"""Figures for a narrow place and in other units than the sheets': nothing outside, nothing over
another, no letter smaller than on the sheet.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations
from xml.etree import ElementTree as ET

import pytest

from teewright.report import letters
from teewright.report.figures.day import day_figure
from teewright.report.figures.hold import hold_figure
from teewright.report.figures.reader import METRIC, NARROW, Units, decimals_of, step_of
from teewright.report.figures.tornado import tornado_figure
from teewright.units import FOOT
from unit.report.test_day import DAY
from unit.report.test_hold import FLOW
from unit.report.test_tornado import CHART

FEET = Units(
    FOOT,
    "ft",
    lambda k: 1.8 * k - 459.67,
    "°F",
    lambda v, unit: f"{v / FOOT:.3g} {unit}",
    METRIC.gauge,
)
FIGURES: dict[str, Callable[[Units], str]] = {
    "day": lambda units: day_figure(DAY, units, narrow=True),
    "hold": lambda units: hold_figure(FLOW, units, narrow=True),
    "tornado": lambda units: tornado_figure(CHART, units, narrow=True),
}
LEAST = 8.0
"""Letters [pt]: in 358 px of a hand-held screen 8 pt are 11.5 px."""


@dataclass(frozen=True)
class Word:
    """One text and the paper that it takes [mm]."""

    said: str
    left: float
    right: float
    foot: float
    size: float


def words_of(svg: str) -> list[Word]:
    found = []
    for mark in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text"):
        said, size = str(mark.text), float(mark.get("font-size", "0"))
        wide = letters.width(said, size / letters.POINT, int(mark.get("font-weight", "400")))
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.get("text-anchor", "start")]
        left = float(mark.get("x", "0")) - share * wide
        found.append(Word(said, left, left + wide, float(mark.get("y", "0")), size))
    return found


@pytest.mark.parametrize("units", [METRIC, FEET], ids=["metric", "other"])
@pytest.mark.parametrize("name", FIGURES)
def test_a_narrow_figure_can_be_read(name: str, units: Units) -> None:
    svg = FIGURES[name](units)
    _, _, width, height = map(float, ET.fromstring(svg).get("viewBox", "").split())
    assert width == NARROW
    found = words_of(svg)
    assert min(word.size for word in found) > LEAST * letters.POINT - 0.01
    for word in found:
        assert word.left > -0.01, word
        assert word.right < width + 1.5, word
        assert 0.0 < word.foot < height, word
    for one, other in combinations(found, 2):
        beside = one.right < other.left or other.right < one.left
        above = abs(one.foot - other.foot) > 0.7 * min(one.size, other.size)
        assert beside or above, (one, other)


def test_names_on_lines_that_lie_close_stand_beside_each_other() -> None:
    feet = {word.said: word for word in words_of(FIGURES["hold"](METRIC))}
    assert abs(feet["A-B/1"].foot - feet["A-B/2"].foot) < 10.0
    assert {"A-B/1", "A-B/2", "far", "water"} <= set(feet)


def test_a_height_is_told_in_the_units_asked_for() -> None:
    said = [word.said for word in words_of(hold_figure(FLOW, FEET))]
    assert "ft over the invert at the packer" in said
    # the highest of the three lowest places stands 0.4 m over the invert: 1.3 ft
    assert {"0.0", "0.5", "1.0", "1.5"} <= set(said)


def test_a_temperature_is_told_in_the_units_asked_for() -> None:
    said = [word.said for word in words_of(day_figure(DAY, FEET))]
    assert "planned for 57 °F" in said
    assert "release from, packs 41 °F" in said
    assert {"50°", "60°", "70°"} <= set(said)
    assert not any("°C" in each for each in said)


@pytest.mark.parametrize("narrow", [False, True])
def test_every_line_of_the_day_has_a_name(*, narrow: bool) -> None:
    said = [word.said for word in words_of(day_figure(DAY, narrow=narrow))]
    assert "inflated as planned, 19 min" in said
    assert "planned for 14 °C" in said
    for pack in (5, 15, 25):
        assert any(each.endswith(f"packs {pack} °C") for each in said)


@pytest.mark.parametrize(
    ("most", "step", "decimals"),
    [(0.364, 0.1, 1), (3.15, 1.0, 0), (14.3, 5.0, 0), (0.02, 0.005, 3), (50.0, 10.0, 0)],
)
def test_ticks_are_round_numbers(most: float, step: float, decimals: int) -> None:
    assert step_of(most) == pytest.approx(step)
    assert decimals_of(step_of(most)) == decimals

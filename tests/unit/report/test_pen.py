import math
import re
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.report import letters
from teewright.report.pen import HAIR, LAP, Lettering, Pen, number

HOSTILE = ("a & b", "<script>", '"quoted"', "\x00\x07", "#let x = 1", "\ud800", "ω ≤ 3")


def parsed(pen: Pen) -> ElementTree.Element:
    return ElementTree.fromstring(pen.svg())


@settings(max_examples=50)
@given(st.text(st.characters(), max_size=30))
def test_any_text_leaves_well_formed_xml(text: str) -> None:
    pen = Pen(10.0, 10.0)
    pen.text((1.0, 1.0), text, Lettering(plate=True))
    assert parsed(pen).tag.endswith("svg")


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text(text: str) -> None:
    pen = Pen(10.0, 10.0)
    pen.text((1.0, 1.0), text)
    (only,) = list(parsed(pen))
    assert only.tag.endswith("text")
    assert len(only.text or "") == len(text)


def test_a_figure_has_its_true_size() -> None:
    root = parsed(Pen(178.0, 60.5))
    assert (root.get("width"), root.get("height")) == ("178mm", "60.5mm")
    assert root.get("viewBox") == "0 0 178 60.5"


@settings(max_examples=40)
@given(st.floats(1.0, 40.0), st.floats(1.0, 40.0), st.floats(0.5, 5.0))
def test_hatching_stays_inside_its_rectangle(wide: float, tall: float, step: float) -> None:
    pen = Pen(50.0, 50.0)
    pen.hatch((3.0, 4.0), (wide, tall), step=step)
    for mark in parsed(pen):
        for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", mark.get("d") or ""):
            assert 3.0 - 0.011 <= float(x) <= 3.0 + wide + 0.011
            assert 4.0 - 0.011 <= float(y) <= 4.0 + tall + 0.011


def test_dashes_and_shapes_are_drawn() -> None:
    pen = Pen(10.0, 10.0)
    pen.path(((0.0, 0.0), (1.0, 1.0)), LAP)
    pen.shape(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), None, "#000")
    pen.path(((0.0, 0.0),), HAIR)
    dashed, filled = list(parsed(pen))
    assert dashed.get("stroke-dasharray") == LAP.dash
    assert (filled.get("d") or "").endswith("Z")
    assert filled.get("stroke") is None


def test_numbers_are_short_and_never_minus_zero() -> None:
    assert [number(v) for v in (1.0, 0.126, -0.001, 12.5)] == ["1", "0.13", "0", "12.5"]


def test_widths_add_up_and_scale() -> None:
    one, two = letters.width("Sewer", 10.0), letters.width("SewerSewer", 10.0)
    assert two == pytest.approx(2 * one)
    assert letters.width("Sewer", 20.0) == pytest.approx(2 * one)
    assert letters.width("Sewer", 10.0, 700) > one


def test_greek_is_measured_in_the_font_that_sets_it() -> None:
    omega, unknown = letters.width("ω", 10.0), letters.width("\ue000", 10.0)
    assert math.isclose(letters.width("ωω", 10.0), 2 * omega)
    assert omega != pytest.approx(unknown)


@settings(max_examples=40)
@given(st.text(st.characters(codec="ascii"), max_size=60), st.floats(8.0, 60.0))
def test_shortened_text_fits(text: str, room: float) -> None:
    assert letters.width(letters.shorten(text, room, 9.0), 9.0) <= room + 1e-9


def test_wrapping_keeps_every_word() -> None:
    text = "groundwater drips in at the cut edge"
    lines = letters.wrap(text, 25.0, 9.0)
    assert " ".join(lines) == text
    assert all(letters.width(line, 9.0) <= 25.0 for line in lines)

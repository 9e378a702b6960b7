import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from shapely import LineString, Polygon

from collar_shapes import FABRIC, collar, tee
from piece_shapes import all_collars
from teewright.collar.nesting import shelves
from teewright.collar.values import Collar, Panel
from teewright.formats.cutting_svg import write_nest, write_panel

MADE = collar(tee(0.2, 0.1, 60.0))
PIECES = [
    pytest.param((panel, owner), id=f"{key}-{panel.name}")
    for key, owner in {"closed": MADE, **all_collars()}.items()
    for panel in owner.panels
]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(params=PIECES, scope="module")
def drawn(request: pytest.FixtureRequest) -> tuple[Panel, ET.Element]:
    given: tuple[Panel, Collar] = request.param
    return given[0], ET.fromstring(write_panel(*given))


def paths(root: ET.Element, kind: str) -> list[list[tuple[float, float]]]:
    found = []
    for path in root.iter(f"{SVG}path"):
        if path.get("class") == kind:
            numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", path.get("d", ""))]
            found.append(list(zip(numbers[::2], numbers[1::2], strict=True)))
    return found


def test_one_unit_is_one_millimetre(drawn: tuple[Panel, ET.Element]) -> None:
    _, root = drawn
    _, _, width, height = (root.get("viewBox") or "").split()
    assert root.get("width") == f"{width}mm"
    assert root.get("height") == f"{height}mm"


def test_cut_lines_enclose_the_panel(drawn: tuple[Panel, ET.Element]) -> None:
    panel, root = drawn
    areas = [Polygon(line).area / 1e6 for line in paths(root, "cut")]
    assert areas[0] - sum(areas[1:]) == pytest.approx(panel.area, abs=1e-6)


def test_seams_keep_their_length(drawn: tuple[Panel, ET.Element]) -> None:
    panel, root = drawn
    lengths = [LineString(line).length / 1e3 for line in paths(root, "seam")]
    wanted = [LineString(line).length for _, line in panel.seams]
    assert lengths == pytest.approx(wanted, abs=1e-6)


def test_lines_are_told_apart_without_colour(drawn: tuple[Panel, ET.Element]) -> None:
    _, root = drawn
    looks = {
        path.get("class"): (path.get("stroke-width"), path.get("stroke-dasharray"))
        for path in root.iter(f"{SVG}path")
    }
    assert looks["cut"] == ("0.4", None)
    assert looks["seam"][1]
    assert looks["seam"][1] != looks.get("lap", (None, "none"))[1]
    assert len({path.get("stroke") for path in root.iter(f"{SVG}path")}) == 1


def test_everything_keeps_within_the_sheet(drawn: tuple[Panel, ET.Element]) -> None:
    _, root = drawn
    _, _, width, height = (float(n) for n in (root.get("viewBox") or "").split())
    for kind in ("cut", "seam", "lap", "notch", "mark", "grain", "label"):
        for line in paths(root, kind):
            assert all(0.0 < x < width and 0.0 < y < height for x, y in line)


def test_check_line_is_100_mm(drawn: tuple[Panel, ET.Element]) -> None:
    _, root = drawn
    assert max(LineString(line).length for line in paths(root, "label")) == pytest.approx(100.0)


def test_upstream_is_up(drawn: tuple[Panel, ET.Element]) -> None:
    _, root = drawn
    (start, end, *_), *_ = paths(root, "grain")
    assert end[1] < start[1]


def test_notches_are_named(drawn: tuple[Panel, ET.Element]) -> None:
    panel, root = drawn
    texts = [text.text for text in root.iter(f"{SVG}text")]
    assert all(notch.label in texts for notch in panel.notches)
    assert len(paths(root, "notch")) == len(panel.notches)


def test_names_are_written_as_text_not_as_markup() -> None:
    made = collar(tee(0.2, 0.1, 60.0), fabric=replace(FABRIC, name="<b>felt & co</b>"))
    root = ET.fromstring(write_panel(made.panels[0], made))
    assert "<b>felt & co</b>" in [text.text for text in root.iter(f"{SVG}text")]


def test_equal_panels_give_equal_drawings() -> None:
    panel = MADE.panels[0]
    assert write_panel(panel, MADE) == write_panel(panel, MADE)


def test_a_nest_is_drawn_at_full_size() -> None:
    made = [all_collars()["four"]]
    laid = shelves([(panel, 1) for panel in made[0].panels], roll_width=1.5, gap=0.006)
    root = ET.fromstring(write_nest(laid, made))
    (roll,) = paths(root, "roll")
    assert Polygon(roll).area / 1e6 == pytest.approx(1.5 * laid.length, abs=1e-6)
    areas = [Polygon(line).area / 1e6 for line in paths(root, "cut")]
    assert sum(areas) == pytest.approx(sum(p.area for p in made[0].panels), abs=1e-6)
    assert f"{laid.length:.2f} m" in (root.findtext(f"{SVG}title") or "")


def test_words_of_a_turned_piece_are_turned() -> None:
    made = all_collars()["strip"]
    root = ET.fromstring(write_panel(made.panels[1], made))
    turned = [t.get("transform", "") for t in root.iter(f"{SVG}text")]
    assert any(text.startswith("rotate(") for text in turned)

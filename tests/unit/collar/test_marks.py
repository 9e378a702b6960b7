import math

import pytest
from shapely import LineString, Point, Polygon

from collar_shapes import FABRIC, collar, tee
from teewright.collar.marks import grain_arrow, label_lines, notch_label_at, notch_triangle
from teewright.collar.values import Panel

MADE = collar(tee(0.2, 0.1, 60.0))


@pytest.fixture(params=MADE.panels, ids=lambda p: p.name)
def panel(request: pytest.FixtureRequest) -> Panel:
    found: Panel = request.param
    return found


def test_labels_say_what_the_sewer_needs(panel: Panel) -> None:
    text = "\n".join(label_lines(panel, MADE))
    for part in ("P1", panel.name, "200 / 100 mm", "60°", FABRIC.name, "1.050", "top side"):
        assert part in text
    assert ("upstream" in text) == (panel.name == "main")


def test_notches_are_cut_from_the_edge_and_stop_before_the_seam(panel: Panel) -> None:
    ring = panel.hole or panel.cut
    edge = LineString([*ring, ring[0]])
    seam = LineString(dict(panel.seams)["saddle"])
    for notch in panel.notches:
        left, tip, right = notch_triangle(panel, notch)
        middle = Point((left[0] + right[0]) / 2, (left[1] + right[1]) / 2)
        assert edge.distance(middle) < 1e-6
        assert seam.distance(Point(tip)) == pytest.approx(0.4 * FABRIC.seam_allowance, rel=0.05)
        assert math.dist(left, right) == pytest.approx(0.005)


def test_notch_labels_stand_on_the_fabric_clear_of_every_seam(panel: Panel) -> None:
    body = Polygon(panel.cut, [panel.hole] if panel.hole else [])
    for notch in panel.notches:
        at = Point(notch_label_at(panel, notch))
        assert body.contains(at)
        assert all(LineString(line).distance(at) > 0.003 for _, line in panel.seams)


def test_grain_runs_up_the_panel(panel: Panel) -> None:
    start, end, left, again, right = grain_arrow(panel)
    assert start[0] == end[0]
    assert end[1] > left[1] == right[1] > start[1]
    assert again == end
    assert Polygon(panel.cut, [panel.hole] if panel.hole else []).contains(LineString([start, end]))

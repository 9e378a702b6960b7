import math
from dataclasses import replace

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from collar_shapes import FABRIC, collar, tee
from teewright.collar.cover import branch_reach
from teewright.collar.outline import line_length
from teewright.collar.values import Collar, Panel
from teewright.errors import GeometryError
from teewright.junction.fillet import roll_ball
from teewright.junction.saddle import mid_surface, quadrant_angles, saddle_lengths

SHAPES = [
    tee(0.2, 0.1, 90.0),
    tee(0.2, 0.1, 45.0),
    tee(0.15, 0.15, 90.0),
    tee(0.2, 0.2, 60.0),
    tee(0.6, 0.15, 75.0, 0.010),
]


@pytest.fixture(params=SHAPES, ids=str)
def made(request: pytest.FixtureRequest) -> Collar:
    return collar(request.param)


def saddle(panel: Panel) -> LineString:
    return LineString(dict(panel.seams)["saddle"])


def body(panel: Panel) -> Polygon:
    return Polygon(panel.cut, [panel.hole] if panel.hole else [])


def test_panels_wrap_their_pipes(made: Collar) -> None:
    sizes = (made.junction.main_diameter, made.junction.branch_diameter)
    for panel, diameter in zip(made.panels, sizes, strict=True):
        left, _, right, _ = body(panel).bounds
        wrap = math.pi * (diameter - made.thickness) / made.stretch
        assert right - left == pytest.approx(wrap + 0.03)


def test_main_panel_is_the_sleeve(made: Collar) -> None:
    _, low, _, high = body(made.panels[0]).bounds
    assert high - low == pytest.approx(made.sleeve_length / made.stretch)


def test_branch_panel_stands_above_the_highest_point_of_its_seam(made: Collar) -> None:
    panel = made.panels[1]
    above = body(panel).bounds[3] - saddle(panel).bounds[3]
    assert above == pytest.approx(made.branch_length / made.stretch)


def test_areas_are_inside_the_cut_lines(made: Collar) -> None:
    for panel in made.panels:
        assert body(panel).is_valid
        assert panel.area == pytest.approx(body(panel).area, rel=1e-12)
    assert made.fabric_area == pytest.approx(sum(p.area for p in made.panels))


def test_rings_run_counter_clockwise(made: Collar) -> None:
    for panel in made.panels:
        for ring in filter(None, (panel.cut, panel.hole)):
            assert Polygon(ring).exterior.is_ccw


def test_cut_edge_keeps_the_seam_allowance_from_the_seam(made: Collar) -> None:
    main, branch = made.panels
    hole = LineString([*main.hole, main.hole[0]])
    gaps = [saddle(main).distance(Point(p)) for p in main.hole[::10]]
    assert min(gaps) == pytest.approx(FABRIC.seam_allowance, abs=1e-5)
    assert max(gaps) == pytest.approx(FABRIC.seam_allowance, abs=1e-5)
    assert saddle(main).distance(hole) == pytest.approx(FABRIC.seam_allowance, abs=1e-5)
    outer = LineString([*branch.cut, branch.cut[0]])
    inner = [Point(p) for p in dict(branch.seams)["saddle"][40:-40:10]]
    gaps = [outer.distance(p) for p in inner]
    assert gaps == pytest.approx([FABRIC.seam_allowance] * len(gaps), abs=1e-5)


def test_seams_lie_on_the_fabric(made: Collar) -> None:
    for panel in made.panels:
        for _, line in panel.seams:
            assert body(panel).buffer(1e-9).covers(LineString(line))


def test_panels_mirror_themselves(made: Collar) -> None:
    for panel in made.panels:
        mirrored = Polygon([(-x, y) for x, y in panel.cut])
        assert Polygon(panel.cut).symmetric_difference(mirrored).area < 1e-9


def test_chords_keep_within_a_twentieth_of_a_millimetre(made: Collar) -> None:
    shape = mid_surface(made.junction, made.thickness)
    fine = roll_ball(shape, quadrant_angles(11520))
    lines = (fine.main_seam[:, ::-1], fine.branch_seam)
    for panel, exact in zip(made.panels, lines, strict=True):
        drawn = np.array(dict(panel.seams)["saddle"]) * made.stretch
        shift = drawn[0] - exact[0]
        assert LineString(drawn - shift).hausdorff_distance(LineString(exact)) < 5e-5


def test_lengths_reported_are_those_drawn(made: Collar) -> None:
    for panel, length in zip(made.panels, made.seam_edges, strict=True):
        assert saddle(panel).length == pytest.approx(length, rel=1e-9)


def test_the_seam_is_never_shorter_than_the_panels_it_is_stretched_from(made: Collar) -> None:
    """The rounded edge is saddle-shaped, so that carried-on panels are too short, not too long."""
    low, high = made.seam_stretch
    assert made.stretch * 0.9999 < low <= high
    for edge in made.seam_edges:
        assert low - 1e-9 <= made.seam_length / edge <= high + 1e-9


def test_notches_of_both_panels_pair(made: Collar) -> None:
    main, branch = ([n.label for n in p.notches] for p in made.panels)
    assert len(main) == len(set(main)) == 12
    assert set(main) == set(branch)
    assert sorted(branch) == sorted([*main, "H"])


def test_notches_stand_on_the_seam_and_look_at_the_cut_edge(made: Collar) -> None:
    for panel in made.panels:
        outside = Polygon(panel.hole) if panel.hole else None
        for notch in panel.notches:
            (x, y), (nx, ny) = notch.point, notch.normal
            assert saddle(panel).distance(Point(x, y)) < 1e-6
            assert math.hypot(nx, ny) == pytest.approx(1.0)
            beyond = Point(x + 0.03 * nx, y + 0.03 * ny)
            if outside is not None:
                assert outside.distance(beyond) < outside.distance(Point(x, y))
            else:
                assert not body(panel).contains(beyond)


def test_notches_land_at_one_place(made: Collar) -> None:
    """Equal label, equal share of the quadrant: ease between neighbours differs by little."""
    shape = mid_surface(made.junction, made.thickness)
    edge = roll_ball(shape, quadrant_angles(1440))
    for panel, line in zip(made.panels, (edge.main_seam[:, ::-1], edge.branch_seam), strict=True):
        drawn = LineString(np.array(dict(panel.seams)["saddle"]))
        shares = {n.label: drawn.project(Point(n.point)) / drawn.length for n in panel.notches}
        flat = LineString(line)
        at = {"C": len(line) // 2, "L": 3 * len(line) // 4, "R": len(line) // 4}
        for label, index in at.items():
            assert shares[label] == pytest.approx(flat.project(Point(line[index])) / flat.length)


def test_heel_is_where_the_branch_panel_closes() -> None:
    branch = collar(SHAPES[1]).panels[1]
    heels = [n.point[0] for n in branch.notches if n.label == "H"]
    closing = [line[0][0] for name, line in branch.seams if name == "closing"]
    assert sorted(heels) == pytest.approx(sorted(closing))
    assert {n.label: n.point for n in branch.notches}["C"][0] == pytest.approx(0.0, abs=1e-12)


def test_laps_are_where_the_other_edge_lands(made: Collar) -> None:
    for panel in made.panels:
        left, _, right, _ = body(panel).bounds
        turns = right - left - 0.03
        landed = sorted(line[0][0] for line in panel.laps)
        assert landed == pytest.approx([right - turns, left + turns])


def test_undersizing_scales_panels_but_not_laps_and_allowance() -> None:
    one, two = collar(SHAPES[1], stretch=1.0), collar(SHAPES[1], stretch=1.1)
    assert two.seam_edges == pytest.approx([edge / 1.1 for edge in one.seam_edges])
    assert two.seam_stretch == pytest.approx([1.1 * s for s in one.seam_stretch])
    assert two.formed_area == pytest.approx(one.formed_area)
    assert two.seam_length == pytest.approx(one.seam_length)
    assert two.fabric_area < one.fabric_area


def test_formed_area_of_equal_sharp_pipes_is_exact() -> None:
    """Opening and saddle under the branch are both 4 R^2 (half a bicylinder's faces)."""
    made = collar(
        tee(0.2, 0.2, 90.0, 0.0), thickness=0.0, sleeve_length=0.6, branch_length=0.1, stretch=1.0
    )
    main = math.pi * 0.2 * 0.6 - 4 * 0.1**2
    branch = math.pi * 0.2 * (0.1 + 0.1) - 4 * 0.1**2
    assert made.formed_area == pytest.approx(main + branch, rel=1e-6)
    assert made.seam_length == pytest.approx(saddle_lengths(made.junction)[0], rel=1e-5)
    assert made.excess == (0.0, 0.0)


def test_longer_sleeve_and_branch_add_their_cylinders() -> None:
    base = collar(SHAPES[1])
    longer = collar(SHAPES[1], sleeve_length=0.6, branch_length=0.2)
    added = math.pi * (0.196 * 0.1 + 0.096 * 0.05)
    assert longer.formed_area - base.formed_area == pytest.approx(added, rel=1e-9)


def test_excess_of_the_acute_side_is_the_greatest() -> None:
    made = collar(tee(0.2, 0.1, 45.0, 0.010), thickness=0.0)
    assert made.excess[1] == pytest.approx(0.02472, abs=1e-5)


def test_trace_repeats_the_results(made: Collar) -> None:
    rows = {row.symbol: row.value for row in made.trace}
    assert rows["L_s"] == made.seam_length
    assert (rows["L_s,D"], rows["L_s,d"]) == made.seam_edges
    assert (rows["λ_min"], rows["λ_max"]) == made.seam_stretch
    assert rows["A_f"] == made.formed_area
    assert rows["h_b"] == pytest.approx(branch_reach(made), abs=1e-12)


def test_reach_is_counted_from_the_crown() -> None:
    """At a right angle, sharp and thin, the top stands the branch length above the crown."""
    made = collar(tee(0.2, 0.1, 90.0, 0.0), thickness=0.0)
    assert branch_reach(made) == pytest.approx(0.15)


def test_no_lap_and_no_allowance_leave_the_bare_surface() -> None:
    bare = replace(FABRIC, seam_allowance=0.0)
    made = collar(SHAPES[0], fabric=bare, lap=0.0, stretch=1.0)
    assert made.panels[0].laps == ()
    # carried-on panels are a little smaller than the rounded edge they are stretched over
    assert 0.98 * made.formed_area < made.fabric_area < made.formed_area


def test_line_length_adds_the_steps() -> None:
    assert line_length(((0.0, 0.0), (3.0, 4.0), (3.0, 5.0))) == pytest.approx(6.0)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"sleeve_length": 0.15}, "sleeve of 150 mm ends on the rounded edge .* more than 166"),
        ({"branch_length": 0.005}, "branch part of 5 mm ends on the rounded edge"),
        ({"stretch": 0.9}, "stretch of 0.900"),
        ({"stretch": math.nan}, "stretch of nan"),
        ({"lap": -0.01}, "lap of -10 mm"),
        ({"thickness": 0.1}, "100.0 mm thick"),
        ({"fabric": replace(FABRIC, seam_allowance=0.05)}, "seam allowance of 50 mm"),
    ],
)
def test_choices_that_cannot_be_drawn_are_refused(changed: dict[str, object], words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        collar(SHAPES[1], **changed)


def test_an_edge_rounded_too_much_for_a_small_branch_is_refused() -> None:
    with pytest.raises(GeometryError, match="rounded too much"):
        collar(tee(0.6, 0.1, 45.0, 0.045), branch_length=0.4, sleeve_length=1.0)


def test_sleeve_as_long_as_the_refusal_asks_for_is_drawn() -> None:
    with pytest.raises(GeometryError, match="more than") as refused:
        collar(SHAPES[1], sleeve_length=0.15)
    asked = float(str(refused.value).split("more than ")[1].split(" mm")[0]) / 1e3
    assert collar(SHAPES[1], sleeve_length=asked + 0.001).sleeve_length > asked

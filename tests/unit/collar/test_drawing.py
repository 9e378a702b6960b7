"""Panels as drawn: what a cutter and a sewer would find with rule and needle."""

import math
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from collar_shapes import FABRIC, order, sewn, tee
from teewright.collar.drawing import boundary_rings, draw_panels, forwards
from teewright.collar.flat import FlatCollar, FlatPiece
from teewright.collar.mirror import whole
from teewright.collar.values import Notch, Panel
from teewright.errors import GeometryError
from teewright.junction.skin import FloatArray

LAP, TAKE = 0.03, 0.002
FELT = replace(FABRIC, seam_take=TAKE)
EDGE = FELT.seam_allowance + TAKE / 2.0
SHAPES = {
    "right angle": ("saddle seam", tee(0.2, 0.1, 90.0)),
    "oblique": ("saddle seam", tee(0.2, 0.1, 60.0)),
    "equal pipes": ("saddle seam", tee(0.15, 0.15, 90.0)),
    "off-centre": ("saddle seam", replace(tee(0.3, 0.1, 75.0), offset=0.03)),
    "four": ("four pieces", tee(0.2, 0.1, 60.0)),
    "strip": ("edge strip", tee(0.2, 0.1, 60.0, 0.012)),
    "halves": ("mirror halves", tee(0.2, 0.1, 60.0)),
}
MATING = {"saddle", "edge", "crown", "flank"}


@dataclass(frozen=True)
class Drawn:
    flat: FlatCollar
    panels: tuple[Panel, ...]

    @property
    def pairs(self) -> list[tuple[Panel, FlatPiece]]:
        return list(zip(self.panels, self.flat.pieces, strict=True))


@pytest.fixture(params=SHAPES, scope="module")
def drawn(request: pytest.FixtureRequest) -> Drawn:
    layout, junction = SHAPES[request.param]
    flat = whole(sewn(order(junction, layout=layout)).flat)
    return Drawn(flat, draw_panels(flat, FELT, lap=LAP))


def body(panel: Panel) -> Polygon:
    return Polygon(panel.cut, [panel.hole] if panel.hole else [])


def in_space(flat: FlatCollar, piece: FlatPiece, at: tuple[float, float]) -> FloatArray:
    """Place of a point of a border line when formed."""
    found, nearest = np.zeros(3), math.inf
    for _, line in piece.lines:
        for a, b in pairwise(line):
            edge = LineString([piece.flat[a], piece.flat[b]])
            away = edge.distance(Point(at))
            if away < nearest:
                share = edge.project(Point(at)) / edge.length
                ends = flat.mesh.points[piece.vertices[[a, b]]]
                nearest, found = away, (1.0 - share) * ends[0] + share * ends[1]
    assert nearest < 1e-6
    return found


def test_rings_are_simple_and_their_area_is_that_reported(drawn: Drawn) -> None:
    for panel in drawn.panels:
        assert body(panel).is_valid
        assert panel.area == pytest.approx(body(panel).area, rel=1e-12)
        assert all(Polygon(r).exterior.is_ccw for r in (panel.cut, panel.hole) if r)


def test_cloth_is_cut_beyond_the_flat_piece_and_nowhere_inside(drawn: Drawn) -> None:
    for panel, piece in drawn.pairs:
        cloth = [Polygon(piece.flat[t]) for t in piece.triangles]
        assert all(triangle.exterior.is_ccw for triangle in cloth)
        grown = body(panel).buffer(1e-9)
        assert all(grown.covers(triangle) for triangle in cloth)


def corner_area(before: FloatArray, after: FloatArray, wide: float, beside: float) -> float:
    """Of the cloth outside a corner, between the square ends of both strips (signed)."""
    u, v = (step / np.linalg.norm(step) for step in (before, after))
    n, m = np.array([u[1], -u[0]]), np.array([v[1], -v[0]])
    if abs(np.linalg.det([n, m])) < 0.1:
        return 0.0
    tip = np.linalg.solve(np.array([n, m]), [wide, beside])
    return float(wide * np.dot(tip, u) - beside * np.dot(tip, v)) / 2.0


def test_cut_area_is_that_of_the_seam_lines_and_of_strips_beside_them(drawn: Drawn) -> None:
    """Steiner: a strip of width a along a line is a L + a^2/2 times the angle it turns by."""
    widths = {"closing": LAP / 2.0, "end": 0.0}
    for panel, piece in drawn.pairs:
        lines = [(name, piece.flat[forwards(piece, line)]) for name, line in piece.lines]
        wanted = sum(Polygon(piece.flat[t]).area for t in piece.triangles)
        for name, line in lines:
            wide = widths.get(name, EDGE)
            step = np.diff(line, axis=0)
            closed = bool(np.allclose(line[0], line[-1]))
            steps = np.vstack([step, step[:1]]) if closed else step
            turn = np.diff(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))
            wanted += wide * np.linalg.norm(step, axis=1).sum() + wide**2 * np.tan(turn / 2).sum()
            for other, following in () if closed else lines:
                if np.allclose(following[0], line[-1], atol=1e-12):
                    ahead = np.diff(following[:2], axis=0)[0]
                    beside = widths.get(other, EDGE)
                    wanted += corner_area(step[-1], ahead, wide, beside)
        assert panel.area == pytest.approx(wanted, rel=2e-4)


def test_both_edges_of_a_seam_are_equally_long_from_notch_to_notch(drawn: Drawn) -> None:
    """The needle never gets ahead of either edge by more than a twentieth of a millimetre."""
    found: dict[tuple[str, str], list[float]] = {}
    for panel in drawn.panels:
        for kind, line in panel.seams:
            on = [n for n in panel.notches if LineString(line).distance(Point(n.point)) < 1e-7]
            way = LineString(line)
            marks = sorted((way.project(Point(n.point)), n.label) for n in on)
            for (a, one), (b, other) in pairwise(marks):
                key = (kind, "-".join(sorted((one, other))))
                found.setdefault(key, []).append(b - a)
    both = [lengths for lengths in found.values() if len(lengths) > 1]
    assert len(both) >= 3
    for lengths in both:
        assert max(lengths) - min(lengths) < 5e-5


def test_edges_that_are_sewn_to_each_other_have_one_length(drawn: Drawn) -> None:
    sums: dict[str, list[float]] = {}
    for panel in drawn.panels:
        for kind, line in panel.seams:
            sums.setdefault(kind, []).append(LineString(line).length)
    for kind, owners in (("saddle", "main"), ("edge", "edge")):
        if kind in sums:
            mine = total(drawn, kind, owners)
            assert 2.0 * mine == pytest.approx(sum(sums[kind]), abs=1e-4)
    for kind in {"closing", "crown", "flank"} & set(sums):
        lengths = sorted(sums[kind])
        assert lengths[::2] == pytest.approx(lengths[1::2], abs=5e-5)


def total(drawn: Drawn, kind: str, owner: str) -> float:
    return sum(
        LineString(line).length
        for panel in drawn.panels
        for name, line in panel.seams
        if name == kind and panel.name.startswith(owner)
    )


def test_notches_of_one_label_meet_at_one_place(drawn: Drawn) -> None:
    places: dict[str, list[FloatArray]] = {}
    for panel, piece in drawn.pairs:
        for notch in panel.notches:
            places.setdefault(notch.label, []).append(in_space(drawn.flat, piece, notch.point))
    for label, found in places.items():
        assert len(found) >= 2, label
        for one, other in combinations(found, 2):
            assert math.dist(one, other) < 5e-5, label


def test_notches_are_named_by_quadrant(drawn: Drawn) -> None:
    """C towards upstream of the branch, H downstream, L on the left (+y), R on the right."""
    for panel, piece in drawn.pairs:
        for notch in panel.notches:
            x, y, z = in_space(drawn.flat, piece, notch.point)
            junction = drawn.flat.mesh.skin.junction
            off = x - z / math.tan(junction.angle)
            if notch.label == "L":
                assert y > junction.offset + 0.04
            elif notch.label == "R":
                assert y < junction.offset - 0.04
            elif notch.label in {"C", "H"}:
                assert y == pytest.approx(junction.offset, abs=0.002)
                assert off * (1.0 if notch.label == "C" else -1.0) > 0.04


def test_notches_stand_on_a_seam_and_point_off_the_cloth(drawn: Drawn) -> None:
    for panel, piece in drawn.pairs:
        seams = [LineString(line) for kind, line in panel.seams if kind in MATING]
        cloth = Polygon(max((r for r in rings_of(piece)), key=lambda r: Polygon(r).area))
        for notch in panel.notches:
            assert min(s.distance(Point(notch.point)) for s in seams) < 1e-7
            assert math.hypot(*notch.normal) == pytest.approx(1.0)
            assert off_cloth(notch, cloth, panel)


def rings_of(piece: FlatPiece) -> list[FloatArray]:
    lines = [(name, forwards(piece, line)) for name, line in piece.lines]
    return [
        np.vstack([piece.flat[line[:-1]] for _, line in ring]) for ring in boundary_rings(lines)
    ]


def off_cloth(notch: Notch, cloth: Polygon, panel: Panel) -> bool:
    (x, y), (nx, ny) = notch.point, notch.normal
    out = Point(x + 0.5 * EDGE * nx, y + 0.5 * EDGE * ny)
    if panel.hole and any(k == "saddle" and LineString(s).is_closed for k, s in panel.seams):
        return bool(Polygon(dict(panel.seams)["saddle"]).contains(out))
    return not cloth.contains(out)


def test_the_cut_edge_keeps_its_distance_from_the_saddle(drawn: Drawn) -> None:
    for panel in drawn.panels:
        lines = [line for kind, line in panel.seams if kind in {"saddle", "edge"}]
        edge = body(panel).boundary
        for line in lines:
            inner = [Point(p) for p in line[6:-6:4]]
            gaps = [edge.distance(p) for p in inner]
            # farther where the line turns sharply and both its strips end
            assert min(gaps) > 0.97 * EDGE
            assert np.median(gaps) == pytest.approx(EDGE, rel=0.02)


def test_the_arrow_points_along_the_grain_to_upstream_or_up_the_branch(drawn: Drawn) -> None:
    """A thread along the arrow runs along the pipe, away from the rounded edge."""
    mesh = drawn.flat.mesh
    lean = mesh.skin.junction.angle
    # mirror halves share one grain between two pipes and lie a little turned on either
    least = 0.9 if drawn.flat.layout == "mirror halves" else 0.98
    for panel, piece in drawn.pairs:
        (x0, y0), (x1, y1) = panel.grain
        assert x0 == x1
        assert y1 - y0 > 0.4 * np.ptp(piece.flat[:, 1])
        flat = piece.flat[piece.triangles]
        space = mesh.points[piece.vertices[piece.triangles]]
        cut = np.stack([flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]], axis=2)
        formed = np.stack([space[:, 1] - space[:, 0], space[:, 2] - space[:, 0]], axis=2)
        thread = (formed @ np.linalg.inv(cut))[:, :, 1]
        thread /= np.linalg.norm(thread, axis=1)[:, None]
        for zone, way in ((0, (1.0, 0.0, 0.0)), (2, (math.cos(lean), 0.0, math.sin(lean)))):
            here = mesh.zone[piece.faces] == zone
            # in one piece with the main, the branch's cloth lies as it comes
            if here.any() and panel.name.startswith(("main", "", "branch")[zone]):
                assert np.median(thread[here] @ way) > least


def test_the_side_that_is_drawn_meets_the_pipe(drawn: Drawn) -> None:
    """Seen with the arrow up, the cloth's near face looks away from the axis of the main."""
    points = drawn.flat.mesh.points
    for piece in drawn.flat.pieces:
        if piece.name.startswith("main"):
            corners = points[piece.vertices[piece.triangles]]
            normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
            middle = corners.mean(axis=1)
            low = middle[:, 2] < 0.0
            assert np.all((normal * middle)[low, 1:].sum(axis=1) > 0.0)


def test_a_lap_reaches_as_far_over_the_other_edge_as_it_was_given(drawn: Drawn) -> None:
    for panel in drawn.panels:
        closings = [LineString(line) for kind, line in panel.seams if kind == "closing"]
        assert len(panel.laps) == len(closings)
        for lap in map(LineString, panel.laps):
            away = [lap.interpolate(share, normalized=True) for share in (0.2, 0.5, 0.8)]
            near = min(closings, key=lap.distance)
            for point in away:
                assert near.distance(point) == pytest.approx(LAP / 2.0, rel=0.02)
                assert body(panel).contains(point)


def test_a_symmetric_junction_has_symmetric_panels(drawn: Drawn) -> None:
    if not drawn.flat.mesh.skin.junction.symmetric:
        return
    rings = [np.array(p.cut) for p in drawn.panels]
    images = [np.array(p.cut) * [-1.0, 1.0] for p in drawn.panels]
    for ring in rings:
        nearest = min(
            np.abs(ring[:, None] - image[None]).sum(axis=2).min(axis=1).max() for image in images
        )
        assert nearest < 1e-8


def test_the_heel_is_where_a_branch_in_one_piece_closes() -> None:
    flat = whole(sewn(order(tee(0.2, 0.1, 90.0))).flat)
    branch = draw_panels(flat, FELT, lap=LAP)[1]
    heels = sorted(n.point for n in branch.notches if n.label == "H")
    ends = sorted(min(line, key=lambda p: p[1]) for k, line in branch.seams if k == "closing")
    assert np.allclose(heels, ends, atol=1e-9)


def test_without_a_lap_none_is_drawn() -> None:
    flat = whole(sewn(order(tee(0.2, 0.1, 90.0))).flat)
    assert all(panel.laps == () for panel in draw_panels(flat, FELT, lap=0.0))


def test_an_allowance_wider_than_the_opening_is_refused() -> None:
    flat = whole(sewn(order(tee(0.2, 0.1, 90.0))).flat)
    with pytest.raises(GeometryError, match="60 mm does not fit"):
        draw_panels(flat, replace(FABRIC, seam_allowance=0.06), lap=LAP)


def test_lines_that_do_not_close_are_refused() -> None:
    line = np.array([0, 1, 2])
    with pytest.raises(GeometryError, match="does not close"):
        boundary_rings([("end", line)])

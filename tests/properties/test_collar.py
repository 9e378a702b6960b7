"""Whatever the junction: a sound collar, or a refusal that says why."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, affinity

from collar_shapes import FABRIC, cutting, order, sewn, tee
from sharp_saddle import saddle_lengths
from teewright.collar.closing import close
from teewright.collar.drawing import draw_panels
from teewright.collar.flat import FlatCollar
from teewright.collar.making import check
from teewright.collar.mirror import whole
from teewright.collar.order import Effort, Order, edge_size, extent_of
from teewright.collar.values import Panel
from teewright.errors import CannotBeMadeError, ConvergenceError, GeometryError
from teewright.fabric.law import window
from teewright.junction.values import Junction

SOFT = replace(FABRIC, seam_allowance=0.004, stretch_along=1.4, stretch_across=1.5)
"""Bears what the sharpest of junctions ask for, and its seams fit the smallest opening."""
REFUSALS = (GeometryError, CannotBeMadeError, ConvergenceError)
QUICK = (Phase.explicit, Phase.reuse, Phase.generate)
"""A collar takes a second: a failing one is told as it is, not made smaller first."""
FEW = settings(max_examples=8, deadline=None, phases=QUICK)
FEWER = settings(max_examples=4, deadline=None, phases=QUICK)


@st.composite
def junctions(draw: st.DrawFn, *, oval: bool = True) -> Junction:
    main = draw(st.sampled_from([0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.6, 0.9]))
    branch = min(draw(st.sampled_from([0.08, 0.1, 0.125, 0.15, 0.2, 0.25, 0.3])), main)
    ovality = draw(st.sampled_from([0.0, 0.0, 0.03])) if oval else 0.0
    free = (main * (1.0 - ovality) - branch) / 2.0
    share = draw(st.sampled_from([0.0, 0.0, 0.3, -0.6])) if oval else 0.0
    return Junction(
        main_diameter=main,
        branch_diameter=branch,
        angle=math.radians(draw(st.sampled_from([30.0, 45.0, 60.0, 75.0, 90.0]))),
        fillet=draw(st.floats(0.002, 0.015)),
        offset=round(share * free, 4),
        ovality=ovality,
        short_axis=draw(st.sampled_from([0.0, 0.7, math.pi / 2.0])) if ovality else 0.0,
    )


def generous(junction: Junction, **changed: object) -> Order:
    """An order whose lengths leave room."""
    lean = math.sin(junction.angle)
    reach = 2.5 * (junction.branch_diameter + 2.0 * junction.fillet) / lean + 0.15
    lengths = {"sleeve_length": reach, "branch_length": 0.10, "fabric": SOFT, "stretch": 1.03}
    return order(junction, **{**lengths, **changed})


def coarse(given_order: Order) -> float:
    """Edges of a tenth of the branch, whatever the rounding."""
    return given_order.junction.branch_diameter / 10.0 / edge_size(given_order, Effort())


def flat_of(given_order: Order, *, fineness: float | None = None) -> FlatCollar:
    size = coarse(given_order) if fineness is None else fineness
    return whole(sewn(given_order, fineness=size).flat)


def assert_said(refused: Exception) -> None:
    """One line with a number, or with what must be or would help."""
    for text in getattr(refused, "reasons", (str(refused),)):
        assert "\n" not in text
        assert any(c.isdigit() for c in text) or "must be" in text or "would help" in text


def assert_sound(panels: tuple[Panel, ...]) -> None:
    for panel in panels:
        body = Polygon(panel.cut, [panel.hole] if panel.hole else [])
        assert body.is_valid
        assert panel.area == pytest.approx(body.area, rel=1e-9)
        assert all(body.buffer(1e-6).covers(LineString(line)) for _, line in panel.seams)


def ahead(panels: tuple[Panel, ...]) -> float:
    """How far one edge of the saddle gets ahead of the other, notch by notch [m]."""
    ways: list[dict[str, float]] = []
    for panel in panels:
        line = LineString(dict(panel.seams)["saddle"])
        at = {n.label: line.project(Point(n.point)) for n in panel.notches}
        labels = [name for name in at if [n.label for n in panel.notches].count(name) == 1]
        ways.append({name: at[name] for name in labels})
    names = [n for n in ways[0] if all(n in way for way in ways)]
    one, two = (np.array([way[name] for name in names]) for way in ways)
    total = [LineString(dict(p.seams)["saddle"]).length for p in panels]
    # on a ring the count may begin anywhere and run either way
    gaps = [
        (np.sort((sign * (one - one[0])) % total[0]), np.sort((two - two[0]) % total[1]))
        for sign in (1.0, -1.0)
    ]
    return min(float(np.abs(a - b).max()) for a, b in gaps)


@FEW
@given(junctions())
def test_panels_are_sound_and_their_seams_match_or_they_are_refused(junction: Junction) -> None:
    try:
        check(generous(junction))
        panels = draw_panels(flat_of(generous(junction)), SOFT, lap=0.02)
    except REFUSALS as refused:
        assert_said(refused)
        return
    assert_sound(panels)
    lengths = [LineString(dict(p.seams)["saddle"]).length for p in panels]
    assert lengths[0] == pytest.approx(lengths[1], abs=5e-5)
    assert ahead(panels) < 5e-5


@FEWER
@given(junctions())
def test_formed_every_number_is_finite_or_it_is_refused(junction: Junction) -> None:
    ways = cutting(generous(junction), fineness=1.3 * coarse(generous(junction)))
    try:
        check(ways.order)
        closed = close(ways, extent_of(ways.wanted), rounds=1)
    except REFUSALS as refused:
        assert_said(refused)
        return
    formed = closed.trial.formed
    assert np.isfinite(formed.positions).all()
    assert np.isfinite(formed.stretch).all()
    assert formed.stretch.min() > 0.0
    assert all(math.isfinite(limit.value) for limit in closed.trial.limits)
    assert closed.trial.measured.gap < junction.branch_diameter / 4.0


def placed(flat: FlatCollar, *, mirror: bool) -> dict[tuple[float, ...], tuple[float, float]]:
    """Flat place of each place in space; what is closed there is twice in a piece and left out."""
    found: dict[tuple[float, ...], list[tuple[float, float]]] = {}
    side = np.array([1.0, -1.0, 1.0]) if mirror else np.ones(3)
    for number, piece in enumerate(flat.pieces):
        space = np.round(flat.mesh.points[piece.vertices] * side, 8) + 0.0
        flats = piece.flat * ([-1.0, 1.0] if mirror else [1.0, 1.0])
        for at, xy in zip(space.tolist(), flats.tolist(), strict=True):
            found.setdefault((number, *at), []).append(tuple(xy))
    return {at: places[0] for at, places in found.items() if len(places) == 1}


def apart(one: FlatCollar, other: FlatCollar) -> float:
    """Largest distance of the pieces of one collar from the mirrored ones of another [m].

    A piece may be laid out farther along, and its grain may be off by up to half a degree.
    """
    mine, theirs = placed(one, mirror=False), placed(other, mirror=True)
    assert mine.keys() == theirs.keys()
    worst = 0.0
    for number in range(len(one.pieces)):
        keys = [key for key in mine if key[0] == number]
        a, b = (np.array([places[k] for k in keys]) @ [1.0, 1j] for places in (mine, theirs))
        a, b = a - a.mean(), b - b.mean()
        turn = np.exp(1j * np.angle(np.vdot(b, a)))
        assert abs(np.angle(turn)) < math.radians(1.0)
        worst = max(worst, float(np.abs(b * turn - a).max()))
    return worst


@FEW
@given(junctions(oval=False))
def test_symmetric_junctions_have_symmetric_panels(junction: Junction) -> None:
    """A half exactly; a whole, of which the solver has to find it, within 0.001 mm of its image."""
    given_order = generous(junction)
    try:
        check(given_order)
        flat, found = (
            whole(sewn(given_order, fineness=coarse(given_order), half=half).flat)
            for half in (None, False)
        )
    except REFUSALS as refused:
        assert_said(refused)
        return
    assert apart(flat, flat) < 1e-9
    assert apart(found, found) < 1e-6


@FEWER
@given(st.sampled_from([0.01, 0.03]), st.sampled_from([90.0, 60.0]))
def test_a_mirrored_junction_has_mirrored_panels(offset: float, degrees: float) -> None:
    one, other = (
        flat_of(generous(replace(tee(0.3, 0.1, degrees), offset=y))) for y in (offset, -offset)
    )
    assert apart(one, other) < 2e-4
    mine, theirs = (draw_panels(flat, SOFT, lap=0.02) for flat in (one, other))
    for a, b in zip(mine, theirs, strict=True):
        assert a.area == pytest.approx(b.area, rel=1e-4)
        assert sorted(n.label for n in a.notches) == sorted(n.label for n in b.notches)


@pytest.mark.parametrize("degrees", [90.0, 60.0])
def test_a_finer_mesh_gives_the_same_outline(degrees: float) -> None:
    """Within 0.3 mm: the usual mesh is fine enough to cut by. Pieces may lie farther along."""
    given_order = generous(tee(0.2, 0.1, degrees, 0.008))
    usual, fine = (
        draw_panels(flat_of(given_order, fineness=size), SOFT, lap=0.02) for size in (1.0, 0.5)
    )
    for mine, theirs in zip(usual, fine, strict=True):
        one, two = (LineString(dict(panel.seams)["saddle"]) for panel in (mine, theirs))
        off = [
            affinity.translate(one, 0.0, 1e-4 * step).hausdorff_distance(two)
            for step in range(-15, 16)
        ]
        assert min(off) < 3e-4
        assert one.length == pytest.approx(two.length, abs=3e-4)


@FEW
@given(junctions(oval=False), st.floats(1.002, 1.03))
def test_a_stretch_that_cannot_be_met_is_refused_and_never_exceeded(
    junction: Junction, most: float
) -> None:
    stiff = replace(SOFT, stretch_along=most, stretch_across=most)
    low, high = window(stiff)
    try:
        check(generous(junction))
        found = flat_of(generous(junction, fabric=stiff, stretch=1.0))
    except CannotBeMadeError as refused:
        (reason,) = refused.reasons
        assert "largest over smallest stretch is" in reason
        needed = float(reason.split("stretch is ")[1].split()[0])
        assert needed >= high / low - 1e-4
        return
    except REFUSALS:
        return
    assert low * (1.0 - 1e-9) <= found.stretch.min()
    assert found.stretch.max() <= high * (1.0 + 1e-9)


NUMBERS = st.floats(allow_nan=True, allow_infinity=True)


@settings(max_examples=60, deadline=None)
@given(st.tuples(*[NUMBERS | st.floats(0.0, 1.6)] * 7))
def test_any_numbers_are_checked_without_breaking(sizes: tuple[float, ...]) -> None:
    junction = Junction(*sizes)
    try:
        check(order(junction))
    except GeometryError as refused:
        assert_said(refused)
        return
    assert junction.branch_diameter * 1.001 >= 0.06
    assert junction.branch_diameter <= junction.main_diameter * 1.001 <= 1.01
    assert math.radians(29.9) < junction.angle < math.radians(90.1)
    assert 0.0 <= junction.fillet <= junction.branch_diameter / 2.0


@settings(max_examples=25, deadline=None)
@given(junctions(oval=False))
def test_saddle_has_one_length_on_every_sheet(junction: Junction) -> None:
    space, branch, main = saddle_lengths(replace(junction, fillet=0.0))
    assert branch == pytest.approx(space, rel=1e-9)
    assert main == pytest.approx(space, rel=1e-6)

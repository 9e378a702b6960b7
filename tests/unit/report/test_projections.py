import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError
from teewright.junction.skin import FloatArray, IntArray
from teewright.report.figures.colours import CIVIDIS, MARGINS, between, channels
from teewright.report.figures.outlines import in_sight, outline
from teewright.report.figures.patches import boundary_loops, chains
from teewright.report.figures.projections import (
    CROTCH_SIDE,
    View,
    covered,
    mirrored,
    project,
)
from teewright.report.figures.scale import CLASSES, Scale

FRONT = View("from +y", math.pi / 2, 0.0)


def grid_of(rows: int, columns: int, *, closed: bool = False) -> IntArray:
    """Triangles of a net of vertices, turned in one sense."""
    grid = np.arange(rows * columns).reshape(rows, columns)
    if closed:
        grid = np.column_stack([grid, grid[:, 0]])
    a, b, c, d = grid[:-1, :-1], grid[:-1, 1:], grid[1:, :-1], grid[1:, 1:]
    return np.concatenate([np.stack([a, b, d], -1), np.stack([a, d, c], -1)]).reshape(-1, 3)


def plate(y: float, left: float, right: float) -> FloatArray:
    """A square net across the view from +y, 1 m tall, outer side to +y."""
    x, z = np.meshgrid(np.linspace(left, right, 9), np.linspace(0.0, 1.0, 9))
    return np.column_stack([-x.ravel(), np.full(x.size, y), z.ravel()])


def together(*parts: FloatArray) -> tuple[FloatArray, IntArray]:
    one = grid_of(9, 9)
    starts = np.cumsum([0, *(len(part) for part in parts)])
    return np.concatenate(parts), np.concatenate([one + s for s in starts[: len(parts)]])


def drum(count: int) -> tuple[FloatArray, IntArray]:
    """An open cylinder about x, radius 1, from -2 to 2."""
    turn, x = np.meshgrid(
        np.linspace(0.0, 2 * math.pi, count, endpoint=False), np.linspace(-2.0, 2.0, 9)
    )
    points = np.column_stack([x.ravel(), np.cos(turn).ravel(), np.sin(turn).ravel()])
    return points, grid_of(9, count, closed=True)


def spread_length(lines: list[FloatArray]) -> float:
    return sum(float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) for line in lines)


@settings(max_examples=30)
@given(st.floats(-7.0, 7.0), st.floats(-1.5, 1.5))
def test_the_axes_of_a_view_are_square_and_right_handed(azimuth: float, elevation: float) -> None:
    axes = np.stack(View("", azimuth, elevation).axes())
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    assert axes[1, 2] >= 0.0


def test_upstream_is_to_the_left_for_who_looks_from_the_side() -> None:
    right, up, toward = FRONT.axes()
    assert right == pytest.approx([-1.0, 0.0, 0.0], abs=1e-12)
    assert up == pytest.approx([0.0, 0.0, 1.0], abs=1e-12)
    assert toward == pytest.approx([0.0, 1.0, 0.0], abs=1e-12)


def test_what_lies_wholly_behind_is_dropped() -> None:
    points, triangles = together(plate(1.0, 0.0, 1.0), plate(0.0, 0.1, 0.9))
    picture = project(points, triangles, FRONT)
    half = len(triangles) // 2
    assert picture.front.all()
    assert (picture.layer[:half] == 0).all()
    assert (picture.layer[half:] < 0).all()


def test_what_lies_partly_behind_is_painted_first() -> None:
    points, triangles = together(plate(1.0, 0.0, 1.0), plate(0.0, 0.45, 1.4))
    layer = project(points, triangles, FRONT).layer
    half = len(triangles) // 2
    far = layer[half:]
    assert (far >= 0).sum() == half * 4 // 8
    column = points[triangles[half:]].mean(axis=1)[:, 0]
    partly = far[(far >= 0) & (column > -1.05)]
    assert len(partly) == 16
    assert layer[:half].min() > partly.max()


@pytest.mark.parametrize("count", [7, 24, 200])
def test_a_convex_shape_shows_its_front_in_one_layer(count: int) -> None:
    points, triangles = drum(count)
    picture = project(points, triangles, FRONT)
    a, b, c = (picture.plane[triangles[:, k]] for k in range(3))
    area = 0.5 * ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    assert picture.layer.max() == 0
    assert (picture.front == (area > 0.0)).all()
    assert (picture.layer[~picture.front] < 0).all()
    shown = picture.layer >= 0
    assert area[shown].sum() == pytest.approx(area[area > 0.0].sum(), rel=4e-3)


def test_the_outline_of_a_cylinder_is_two_lines_and_two_edges() -> None:
    points, triangles = drum(60)
    lines = outline(points, triangles, project(points, triangles, FRONT))
    straight = [line for line in lines if np.ptp(line[:, 1]) < 1e-3]
    edges = [line for line in lines if np.ptp(line[:, 0]) < 1e-3]
    assert sorted(round(float(line[0, 1]), 2) for line in straight) == [-1.0, 1.0]
    assert all(np.ptp(line[:, 0]) == pytest.approx(4.0, abs=1e-6) for line in straight)
    assert {round(float(line[0, 0])) for line in edges} == {-2, 2}
    assert len(straight) + len(edges) == len(lines)


@pytest.mark.parametrize("view", [FRONT, CROTCH_SIDE, View("", 2.0, -0.7)])
def test_the_outline_of_a_ball_is_a_circle_from_everywhere(view: View) -> None:
    down = np.linspace(0.01, math.pi - 0.01, 40)
    p, t = np.meshgrid(np.linspace(0.0, 2 * math.pi, 80, endpoint=False), down)
    points = np.stack([np.sin(t) * np.cos(p), np.sin(t) * np.sin(p), np.cos(t)], -1).reshape(-1, 3)
    triangles = grid_of(40, 80, closed=True)[:, ::-1]
    lines = outline(points, triangles, project(points, triangles, view))
    round_ = [line for line in lines if np.ptp(line, axis=0).max() > 0.1]
    span = 0.0
    for line in round_:
        assert np.linalg.norm(line, axis=1) == pytest.approx(np.ones(len(line)), abs=0.01)
        turns = np.unwrap(np.arctan2(line[:, 1], line[:, 0]))
        span += float(np.ptp(turns))
    assert span == pytest.approx(2 * math.pi, abs=0.1)


def test_the_hidden_half_of_a_line_is_cut_off() -> None:
    points, triangles = together(plate(1.0, 0.0, 1.0))
    picture = project(points, triangles, FRONT)
    behind = np.array([[-0.25, 0.5, 0.5], [-0.75, 0.5, 0.5]])
    before = behind + np.array([0.0, 1.0, 0.0])
    assert in_sight(behind, picture) == []
    assert spread_length(in_sight(before, picture)) == pytest.approx(0.5)
    across = np.array([[-0.5, 0.5, 0.5], [-0.5, 1.5, 0.5], [-0.9, 1.5, 0.5]])
    assert spread_length(in_sight(across, picture)) == pytest.approx(0.4, abs=0.02)


def test_a_mirrored_half_is_a_whole_with_one_sense() -> None:
    turn, x = np.meshgrid(np.linspace(0.0, math.pi, 13), np.linspace(-1.0, 1.0, 5))
    half = np.column_stack([x.ravel(), np.sin(turn).ravel(), -np.cos(turn).ravel()])
    points, triangles, values = mirrored(half, grid_of(5, 13), np.arange(96.0))
    assert len(points) == 2 * len(half) - 2 * 5
    assert values.tolist() == [*range(96), *range(96)]
    loops = boundary_loops(triangles)
    assert sorted(len(loop) for loop in loops) == [24, 24]
    a, b, c = (points[triangles[:, k]] for k in range(3))
    out = np.einsum("ij,ij->i", np.cross(b - a, c - a), (a + b + c) * [0.0, 1.0, 1.0])
    assert (out > 0.0).all() or (out < 0.0).all()


def test_covered_cells_have_the_area_of_the_triangles() -> None:
    places = np.array([[1.0, 1.0], [31.0, 1.0], [31.0, 21.0], [1.0, 21.0]])
    cells = covered(places, np.array([[0, 1, 2], [0, 2, 3]]), 0.25)
    assert len(cells) * 0.25**2 == pytest.approx(600.0, rel=0.01)
    assert (cells.min(axis=0) > 1.0).all()
    assert (cells.max(axis=0) < [31.0, 21.0]).all()


def test_the_loops_of_a_ring_are_its_two_edges() -> None:
    loops = boundary_loops(grid_of(4, 10, closed=True))
    assert sorted(len(loop) for loop in loops) == [10, 10]
    assert boundary_loops(np.empty((0, 3), dtype=np.int64)) == []


@settings(max_examples=40)
@given(st.lists(st.integers(0, 127), min_size=1, max_size=128, unique=True))
def test_loops_enclose_just_their_triangles(chosen: list[int]) -> None:
    triangles = grid_of(9, 9)[chosen]
    x, y = np.divmod(np.arange(81.0), 9.0)
    total = 0.0
    for loop in boundary_loops(triangles):
        after = np.roll(loop, -1)
        total += float(np.sum(x[loop] * y[after] - x[after] * y[loop])) / 2
    assert abs(total) == pytest.approx(0.5 * len(chosen))


@settings(max_examples=40)
@given(st.lists(st.tuples(st.integers(0, 9), st.integers(10, 19)), unique=True))
def test_chains_use_every_piece_once(pieces: list[tuple[int, int]]) -> None:
    lines = chains(pieces)
    used = [tuple(sorted(pair)) for line in lines for pair in pairwise(line)]
    assert sorted(used) == sorted(pieces)


def test_a_line_in_pieces_becomes_one_and_a_closed_one_ends_where_it_began() -> None:
    assert chains([(2, 3), (1, 2), (4, 3)]) in ([[1, 2, 3, 4]], [[4, 3, 2, 1]])
    (ring,) = chains([(1, 2), (3, 1), (2, 3)])
    assert ring[0] == ring[-1]
    assert set(ring) == {1, 2, 3}


def lab(colour: str) -> tuple[float, float, float]:
    """CIE L*, a*, b* of an sRGB colour (IEC 61966-2-1, D65 white)."""
    linear = np.array(
        [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in _shares(colour)]
    )
    to_xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    x, y, z = (to_xyz @ linear) / (to_xyz @ np.ones(3))
    f = [v ** (1 / 3) if v > 0.008856 else 7.787 * v + 16 / 116 for v in (x, y, z)]
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


def _shares(colour: str) -> list[float]:
    return [channel / 255 for channel in channels(colour)]


def test_magnitudes_grow_lighter_in_even_steps() -> None:
    steps = np.diff([lab(colour)[0] for colour in CIVIDIS])
    assert steps.min() > 0.8 * steps.mean()
    assert steps.max() < 1.25 * steps.mean()


def test_margins_are_lightest_at_the_limit_and_alike_to_both_sides() -> None:
    light = np.array([lab(colour)[0] for colour in MARGINS])
    half = len(light) // 2
    assert (np.diff(light[: half + 1]) > 0.0).all()
    assert (np.diff(light[half:]) < 0.0).all()
    assert np.abs(light - light[::-1]).max() < 10.0


def test_the_sides_of_a_margin_differ_in_blue_against_yellow() -> None:
    blue = [lab(colour)[2] for colour in MARGINS]
    half = len(blue) // 2
    assert min(blue[:half]) > 10.0
    assert max(blue[half + 1 :]) < -5.0


def test_a_map_of_colours_passes_its_anchors() -> None:
    for k, colour in enumerate(MARGINS):
        assert between(MARGINS, k / (len(MARGINS) - 1)) == colour
    assert (between(CIVIDIS, -1.0), between(CIVIDIS, 2.0)) == (CIVIDIS[0], CIVIDIS[-1])


@settings(max_examples=40)
@given(st.lists(st.floats(-10.0, 10.0), min_size=2, max_size=20))
def test_greater_values_never_have_a_lower_class(values: list[float]) -> None:
    for scale in (Scale("A", "", -3.0, 4.0), Scale("A", "", -3.0, 4.0, limit=1.0)):
        classes = scale.classes(np.sort(values))
        assert (np.diff(classes) >= 0).all()
        assert classes.min() >= 0
        assert classes.max() < CLASSES


@pytest.mark.parametrize(("low", "high"), [(-1.0, 5.0), (-5.0, 1.0), (-2.0, 2.0)])
def test_the_colours_of_a_margin_part_at_its_limit(low: float, high: float) -> None:
    scale = Scale("Margin", "%", low, high, limit=0.0)
    least, zero, same = scale.classes(np.array([-1e-6, 0.0, 1e-6]))
    assert (least, zero, same) == (CLASSES // 2 - 1, CLASSES // 2, CLASSES // 2)
    far = scale.classes(np.array([-0.9, 0.9]))
    assert far[0] + far[1] == CLASSES - 1


def test_what_has_no_value_has_no_colour_and_breaks_no_limit() -> None:
    scale = Scale("Stretch", "", 0.97, 1.08)
    values = np.array([np.nan, 0.97, 1.08, 0.9699, 1.0801])
    assert scale.classes(values).tolist() == [-1, 0, CLASSES - 1, 0, CLASSES - 1]
    assert scale.beyond(values).tolist() == [False, False, False, True, True]
    assert scale.colour(-1) == "#ffffff"


@pytest.mark.parametrize(
    ("low", "high", "limit"),
    [(1.0, 1.0, None), (2.0, 1.0, None), (math.nan, 1.0, None), (0.0, 1.0, 2.0)],
)
def test_a_scale_that_does_not_rise_is_refused(
    low: float, high: float, limit: float | None
) -> None:
    with pytest.raises(InputError, match="scale"):
        Scale("Stretch", "", low, high, limit=limit)

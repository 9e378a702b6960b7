import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError
from teewright.junction.mesh import mesh_skin
from teewright.junction.skin import FloatArray, IntArray, SkinMesh
from teewright.junction.values import Junction, Seam, Skin
from teewright.report import letters
from teewright.report.figures.colours import channels
from teewright.report.figures.flat_maps import FlatMap, panels_figure, ratio_for
from teewright.report.figures.maps import INSIDE, junction_figure
from teewright.report.figures.projections import BELOW, CROTCH_SIDE, HEEL_SIDE
from teewright.report.figures.scale import CLASSES, Scale

STRETCH = Scale("Stretch, formed / cut", "", 0.97, 1.08, decimals=3)
MARGIN = Scale("Wrinkle margin", "%", -2.0, 5.0, limit=0.0, decimals=1)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class Words:
    text: str
    box: tuple[float, float, float, float]


def root_of(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def words_of(svg: str) -> list[Words]:
    """Texts with the rectangles of their letters [mm]; turned ones are left out."""
    found = []
    for e in root_of(svg).iter():
        if not e.tag.endswith("}text") or e.get("transform") or not e.text:
            continue
        size = float(e.get("font-size") or 0) / letters.POINT
        wide = letters.width(e.text, size, int(e.get("font-weight") or 400))
        x, y = float(e.get("x") or 0), float(e.get("y") or 0)
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[e.get("text-anchor") or ""]
        tall = size * letters.POINT
        found.append(Words(e.text, (left, y - 0.7 * tall, left + wide, y + 0.2 * tall)))
    return found


def texts(svg: str) -> list[str]:
    return [w.text for w in words_of(svg)]


def regions(svg: str) -> list[tuple[str, list[FloatArray]]]:
    """Colour and loops of each painted region [mm]."""
    found = []
    for e in root_of(svg).iter():
        if e.tag.endswith("}path") and e.get("fill-rule") == "evenodd":
            loops = [
                np.array([float(n) for n in NUMBER.findall(part)]).reshape(-1, 2)
                for part in (e.get("d") or "").split("M")[1:]
            ]
            found.append((e.get("fill") or "", loops))
    return found


def area(loops: list[FloatArray]) -> float:
    """Area of loops, holes taken off by their sense."""
    total = 0.0
    for loop in loops:
        (x, y), (u, v) = loop.T, np.roll(loop, -1, axis=0).T
        total += float(np.sum(x * v - u * y)) / 2
    return abs(total)


def touching(svg: str) -> list[tuple[str, str]]:
    """Pairs of texts of which one lies on the other, and texts out of the figure."""
    words, root = words_of(svg), root_of(svg)
    wide, tall = (float(n) for n in (root.get("viewBox") or "").split()[2:])
    pairs = [
        (a.text, b.text)
        for k, a in enumerate(words)
        for b in words[k + 1 :]
        if a.box[0] < b.box[2] and b.box[0] < a.box[2]
        if a.box[1] < b.box[3] and b.box[1] < a.box[3]
    ]
    out = [
        (w.text, "edge")
        for w in words
        if w.box[0] < -0.1 or w.box[1] < -0.1 or w.box[2] > wide + 0.1 or w.box[3] > tall + 0.1
    ]
    return pairs + out


def tee(main: float, branch: float, degrees: float, size: float) -> SkinMesh:
    angle = math.radians(degrees)
    middle = main / 2 / math.tan(angle)
    half = branch / 2 / math.sin(angle) + 0.09
    top = (main / 2 + branch / 2 * math.cos(angle)) / math.sin(angle) + 0.1
    return mesh_skin(
        Skin(Junction(main, branch, angle, 0.01), 0.002),
        sleeve=(middle - half, middle + half),
        top=top,
        seam=Seam(0.55, 0.55, 0.55),
        size=size,
        half=False,
    )


TEE = tee(0.2, 0.1, 60.0, 0.01)


def seam_of(mesh: SkinMesh) -> IntArray:
    row = mesh.grid[mesh.seam_row]
    return np.append(row, row[0])


def field(mesh: SkinMesh, low: float, high: float) -> FloatArray:
    """A smooth field with its greatest value at the crotch."""
    middle = mesh.points[mesh.triangles].mean(axis=1)
    place = mesh.points[mesh.grid[mesh.seam_row, 0]]
    share = np.exp(-(np.linalg.norm(middle - place, axis=1) ** 2) / 0.03**2)
    return np.asarray(low + (high - low) * share)


def sphere(count: int) -> tuple[FloatArray, IntArray]:
    """A ball of radius 0.1 m, open at its poles."""
    down = np.linspace(0.02, math.pi - 0.02, count)
    round_ = np.linspace(0.0, 2 * math.pi, 2 * count, endpoint=False)
    t, p = np.meshgrid(down, round_, indexing="ij")
    points = 0.1 * np.stack([np.sin(t) * np.cos(p), np.sin(t) * np.sin(p), np.cos(t)], axis=-1)
    grid = np.arange(t.size).reshape(t.shape)
    a, c = grid[:-1], grid[1:]
    b, d = np.roll(a, -1, axis=1), np.roll(c, -1, axis=1)
    triangles = np.concatenate([np.stack([a, c, d], -1), np.stack([a, d, b], -1)])
    return points.reshape(-1, 3), triangles.reshape(-1, 3)


@pytest.mark.parametrize("mesh", [TEE, tee(0.15, 0.15, 45.0, 0.01), tee(0.6, 0.1, 90.0, 0.012)])
@pytest.mark.parametrize("width", [178.0, 90.0])
def test_the_words_of_a_junction_never_touch_or_leave_the_figure(
    mesh: SkinMesh, width: float
) -> None:
    views = (CROTCH_SIDE, HEEL_SIDE) if width > 100.0 else (CROTCH_SIDE,)
    for scale, ends in ((STRETCH, (0.99, 1.10)), (MARGIN, (4.0, -1.0))):
        svg = junction_figure(
            mesh.points,
            mesh.triangles,
            field(mesh, *ends),
            scale=scale,
            lines=[seam_of(mesh)],
            views=views,
            width=width,
        )
        assert touching(svg) == []


@settings(max_examples=6, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(0, 4))
def test_marks_anywhere_keep_their_words_apart(seed: int, hidden: int) -> None:
    values = np.random.default_rng(seed).uniform(0.98, 1.07, len(TEE.triangles))
    values[:hidden] = np.nan
    svg = junction_figure(TEE.points, TEE.triangles, values, scale=STRETCH)
    assert touching(svg) == []
    for value in (np.nanmin(values), np.nanmax(values)):
        assert any(f"{value:.3f}" in text for text in texts(svg))


def test_both_ends_of_the_scale_and_both_extremes_are_written() -> None:
    values = field(TEE, 0.991, 1.0655)
    svg = junction_figure(TEE.points, TEE.triangles, values, scale=STRETCH)
    most = f"{values.max():.3f}"
    assert {"0.970", "1.080", "greatest", most} <= set(texts(svg))
    assert any("0.991" in text for text in texts(svg))
    assert any("Ends of the scale are the limits." in text for text in texts(svg))


def test_a_margin_marks_its_least_and_its_limit_only() -> None:
    values = field(TEE, 4.0, 0.5)
    svg = junction_figure(TEE.points, TEE.triangles, values, scale=MARGIN)
    said = texts(svg)
    assert "least" in said
    assert "greatest" not in said
    assert {"−2.0", "0.0", "5.0"} <= set(said)
    assert "Hatched" not in svg


@pytest.mark.parametrize(
    ("scale", "ends"), [(MARGIN, (4.0, -1.5)), (STRETCH, (1.0, 1.1)), (STRETCH, (1.0, 0.95))]
)
def test_what_is_beyond_a_limit_is_hatched_and_said(
    scale: Scale, ends: tuple[float, float]
) -> None:
    values = field(TEE, *ends)
    svg = junction_figure(TEE.points, TEE.triangles, values, scale=scale)
    assert any("Hatched: beyond." in text for text in texts(svg))
    within = values[~scale.beyond(values)]
    plain = np.where(scale.beyond(values), within.mean(), values)
    assert svg.count("<path") > junction_figure(
        TEE.points, TEE.triangles, plain, scale=scale
    ).count("<path")


def test_a_figure_of_noise_on_two_thousand_triangles_stays_small() -> None:
    mesh = tee(0.2, 0.1, 60.0, 0.008)
    count = len(mesh.triangles)
    assert 1_600 < count < 2_600
    noise = np.random.default_rng(1).uniform(0.97, 1.08, count)
    svg = junction_figure(mesh.points, mesh.triangles, noise, scale=STRETCH)
    assert len(svg) <= 150_000
    colours = {colour for colour, _ in regions(svg)} - {INSIDE}
    assert len(colours) == CLASSES


def test_the_painted_area_is_that_of_the_shape() -> None:
    points, triangles = sphere(24)
    values = np.linspace(0.98, 1.07, len(triangles))
    svg = junction_figure(points, triangles, values, scale=STRETCH, views=[CROTCH_SIDE])
    found = regions(svg)
    painted = sum(area(loops) for colour, loops in found if colour != INSIDE)
    places = np.concatenate([loop for _, loops in found for loop in loops])
    radius = (places[:, 0].max() - places[:, 0].min()) / 2
    assert painted == pytest.approx(math.pi * radius**2, rel=0.015)


def test_the_mark_lies_on_the_triangle_of_the_extreme() -> None:
    points, triangles = sphere(24)
    toward = CROTCH_SIDE.axes()[2]
    middle = points[triangles].mean(axis=1)
    values = 1.0 + 0.05 * (middle @ toward > 0.0995)
    values[int(np.argmax(middle @ toward))] = 1.07
    svg = junction_figure(points, triangles, values, scale=STRETCH, views=[CROTCH_SIDE])
    rings = [e for e in root_of(svg).iter() if e.tag.endswith("}circle")]
    centres = {(e.get("cx"), e.get("cy")) for e in rings}
    places = np.concatenate([loop for _, loops in regions(svg) for loop in loops])
    centre = (places.max(axis=0) + places.min(axis=0)) / 2
    distances = [math.dist((float(x or 0), float(y or 0)), centre) for x, y in centres]
    assert min(distances) < 2.0


def test_an_extreme_that_no_view_shows_is_told() -> None:
    values = np.full(len(TEE.triangles), 1.0)
    lowest = int(np.argmin(TEE.points[TEE.triangles].mean(axis=1)[:, 2]))
    values[lowest] = 1.05
    above = junction_figure(TEE.points, TEE.triangles, values, scale=STRETCH)
    assert any("greatest, out of sight: 1.050" in text for text in texts(above))
    below = junction_figure(TEE.points, TEE.triangles, values, scale=STRETCH, views=[BELOW])
    assert "1.050" in texts(below)


def test_without_any_value_nothing_is_marked() -> None:
    nothing = np.full(len(TEE.triangles), np.nan)
    svg = junction_figure(TEE.points, TEE.triangles, nothing, scale=STRETCH)
    assert "least" not in svg
    assert {colour for colour, _ in regions(svg)} <= {INSIDE, "#ffffff"}


@pytest.mark.parametrize(
    "spoil",
    [
        lambda p, t, v: (p[:, :2], t, v),
        lambda p, t, v: (p, t[:, :2], v),
        lambda p, t, v: (p, t, v[:-1]),
        lambda p, t, v: (p, t[:0], v[:0]),
        lambda p, t, v: (p * np.nan, t, v),
    ],
)
def test_arrays_that_do_not_belong_together_are_refused(
    spoil: Callable[..., tuple[FloatArray, IntArray, FloatArray]],
) -> None:
    points, triangles = sphere(6)
    spoilt = spoil(points, triangles, np.ones(len(triangles)))
    with pytest.raises(InputError, match="map"):
        junction_figure(*spoilt, scale=STRETCH)


def plate(name: str, across: float, along: float, count: int = 6) -> FlatMap:
    """A rectangle of fabric with a value that rises across it."""
    x, y = np.meshgrid(np.linspace(0, across, count), np.linspace(0, along, count))
    grid = np.arange(count * count).reshape(count, count)
    a, b, c, d = grid[:-1, :-1], grid[:-1, 1:], grid[1:, :-1], grid[1:, 1:]
    triangles = np.concatenate([np.stack([a, b, d], -1), np.stack([a, d, c], -1)]).reshape(-1, 3)
    flat = np.column_stack([x.ravel(), y.ravel()])
    values = 0.98 + 0.08 * flat[triangles].mean(axis=1)[:, 0] / across
    lines = (
        ("saddle", grid[0]),
        ("closing", grid[:, -1]),
        ("end", grid[-1, ::-1]),
        ("closing", grid[::-1, 0]),
    )
    return FlatMap(name, flat, triangles, values, lines)


PIECES = (plate("main", 0.63, 0.30), plate("branch", 0.314, 0.178))


@pytest.mark.parametrize("ratio", [5, 10])
def test_the_stated_scale_of_flat_pieces_is_true(ratio: int) -> None:
    svg = panels_figure(PIECES, scale=STRETCH, ratio=ratio)
    painted = sum(area(loops) for _, loops in regions(svg))
    wanted = sum(w * h for w, h in ((0.63, 0.30), (0.314, 0.178))) * (1e3 / ratio) ** 2
    assert painted == pytest.approx(wanted, rel=2e-3)
    assert any(f"1 : {ratio}" in text for text in texts(svg))


def test_a_tall_piece_is_turned_so_that_its_longer_side_lies_across() -> None:
    svg = panels_figure([plate("branch", 0.1, 0.3)], scale=STRETCH, ratio=5)
    places = np.concatenate([loop for _, loops in regions(svg) for loop in loops])
    wide, tall = places.max(axis=0) - places.min(axis=0)
    assert (wide, tall) == (pytest.approx(60.0, abs=0.02), pytest.approx(20.0, abs=0.02))


@pytest.mark.parametrize("width", [178.0, 84.0])
@pytest.mark.parametrize(
    "pieces",
    [PIECES, PIECES[:1], [plate(f"branch {k}", 0.1 + 0.1 * k, 0.2) for k in range(4)]],
)
def test_flat_pieces_and_their_words_find_room(pieces: list[FlatMap], width: float) -> None:
    svg = panels_figure(pieces, scale=STRETCH, width=width)
    assert touching(svg) == []
    places = np.concatenate([loop for _, loops in regions(svg) for loop in loops])
    assert places.min() >= 0.0
    assert places[:, 0].max() <= width
    assert {piece.name for piece in pieces} <= set(texts(svg))


def test_more_room_never_gives_a_smaller_scale() -> None:
    ratios = [ratio_for(PIECES, width=width) for width in (60.0, 84.0, 120.0, 178.0, 400.0)]
    assert ratios == sorted(ratios, reverse=True)


def test_one_value_has_one_colour_in_space_and_on_the_flat() -> None:
    values = np.full(len(TEE.triangles), 1.03)
    solid = junction_figure(TEE.points, TEE.triangles, values, scale=STRETCH)
    piece = PIECES[0]
    flat = panels_figure(
        [FlatMap("main", piece.flat, piece.triangles, np.full(len(piece.values), 1.03))],
        scale=STRETCH,
    )
    (colour,) = {c for c, _ in regions(solid)} - {INSIDE}
    assert {c for c, _ in regions(flat)} == {colour}
    assert all(0 <= channel <= 255 for channel in channels(colour))

"""Cut lines of plain shapes, whose areas are known in closed form."""

import math

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from teewright.collar.allowance import Side, cut_lines
from teewright.errors import GeometryError
from teewright.junction.skin import FloatArray

Corner = tuple[float, float]


def sides(names: list[str], corners: list[Corner]) -> list[Side]:
    """A closed ring of straight sides, fabric on the left."""
    ends = [*corners, corners[0]]
    return [
        Side(name, np.array([ends[k], ends[k + 1]], dtype=np.float64))
        for k, name in enumerate(names)
    ]


def circle(radius: float, *, steps: int = 720, hole: bool = False) -> FloatArray:
    turn = np.linspace(0.0, 2.0 * math.pi, steps + 1) * (-1.0 if hole else 1.0)
    ring = radius * np.column_stack([np.cos(turn), np.sin(turn)])
    ring[-1] = ring[0]
    return ring


def area(cut: tuple[Corner, ...], hole: tuple[Corner, ...] = ()) -> float:
    shape = Polygon(cut, [hole] if hole else [])
    assert shape.is_valid
    return float(shape.area)


def test_each_side_of_a_rectangle_has_its_own_allowance() -> None:
    ring = sides(["a", "b", "c", "d"], [(0, 0), (0.4, 0), (0.4, 0.3), (0, 0.3)])
    cut, hole = cut_lines([ring], {"a": 0.01, "b": 0.02, "c": 0.03, "d": 0.0})
    assert hole == ()
    assert Polygon(cut).bounds == pytest.approx((0.0, -0.01, 0.42, 0.33), abs=1e-8)
    assert area(cut) == pytest.approx(0.42 * 0.34, rel=1e-6)


def test_a_sharp_corner_is_mitred() -> None:
    """Equal allowance round a triangle is a larger triangle: the inradius grows by it."""
    corners = [(0.0, 0.0), (0.3, 0.0), (0.1, 0.25)]
    cut, _ = cut_lines([sides(["s"] * 3, corners)], {"s": 0.012})
    lengths = [math.dist(corners[k], corners[k - 1]) for k in range(3)]
    inradius = 2.0 * Polygon(corners).area / sum(lengths)
    wanted = Polygon(corners).area * ((inradius + 0.012) / inradius) ** 2
    assert area(cut) == pytest.approx(wanted, rel=1e-6)


def test_two_allowances_meet_at_an_oblique_corner() -> None:
    """A rhombus with allowance on two neighbouring sides is a parallelogram."""
    lean = math.radians(60.0)
    side = 0.2
    up = (side * math.cos(lean), side * math.sin(lean))
    corners = [(0.0, 0.0), (side, 0.0), (side + up[0], up[1]), up]
    cut, _ = cut_lines(
        [sides(["low", "right", "end", "end"], corners)], {"low": 0.01, "right": 0.02}
    )
    wanted = (side + 0.02 / math.sin(lean)) * (side + 0.01 / math.sin(lean)) * math.sin(lean)
    assert area(cut) == pytest.approx(wanted, rel=1e-6)


def test_a_needle_corner_is_blunted() -> None:
    corners = [(0.0, 0.0), (0.3, -0.01), (0.3, 0.01)]
    cut, _ = cut_lines([sides(["s"] * 3, corners)], {"s": 0.005})
    reach = max(math.dist(p, (0.0, 0.0)) for p in cut if p[0] < 0.1)
    assert 0.005 < reach <= 3.0 * 0.005 + 1e-6


def test_a_hollow_corner_keeps_its_allowance_without_a_gap_or_a_spike() -> None:
    corners = [(0.0, 0.0), (0.3, 0.0), (0.3, 0.1), (0.1, 0.1), (0.1, 0.3), (0.0, 0.3)]
    cut, _ = cut_lines([sides(["s"] * 6, corners)], {"s": 0.01})
    grown = Polygon(corners).buffer(0.01, join_style="mitre")
    assert Polygon(cut).symmetric_difference(grown).area < 1e-7


def test_an_opening_shrinks_to_a_smaller_circle() -> None:
    outer = sides(["end"] * 4, [(-0.2, -0.2), (0.2, -0.2), (0.2, 0.2), (-0.2, 0.2)])
    cut, hole = cut_lines([outer, [Side("saddle", circle(0.08, hole=True))]], {"saddle": 0.01})
    assert area(cut) == pytest.approx(0.16)
    assert Polygon(hole).area == pytest.approx(math.pi * 0.07**2, rel=1e-4)
    assert Polygon(hole).exterior.is_ccw
    ring = LineString([*hole, hole[0]])
    assert ring.distance(Point(0.0, 0.0)) == pytest.approx(0.07, abs=1e-5)


def test_a_disc_grows_to_a_larger_disc() -> None:
    cut, hole = cut_lines([[Side("saddle", circle(0.1))]], {"saddle": 0.01})
    assert hole == ()
    assert area(cut) == pytest.approx(math.pi * 0.11**2, rel=1e-4)


@pytest.mark.parametrize("turned", [0, 1])
def test_rings_may_come_in_any_order(turned: int) -> None:
    rings = [
        sides(["end"] * 4, [(-0.2, -0.2), (0.2, -0.2), (0.2, 0.2), (-0.2, 0.2)]),
        [Side("saddle", circle(0.05, hole=True))],
    ]
    cut, hole = cut_lines(rings[:: -1 if turned else 1], {"saddle": 0.004})
    assert area(cut, hole) == pytest.approx(0.16 - math.pi * 0.046**2, rel=1e-5)


def test_no_allowance_leaves_the_seam_lines() -> None:
    ring = sides(["a", "b", "c", "d"], [(0, 0), (0.4, 0), (0.4, 0.3), (0, 0.3)])
    cut, _ = cut_lines([ring], {})
    assert cut == ((0.0, 0.0), (0.4, 0.0), (0.4, 0.3), (0.0, 0.3))


def test_an_allowance_that_fills_the_opening_is_refused_with_its_size() -> None:
    outer = sides(["end"] * 4, [(-0.2, -0.2), (0.2, -0.2), (0.2, 0.2), (-0.2, 0.2)])
    rings = [outer, [Side("saddle", circle(0.008, hole=True))]]
    with pytest.raises(GeometryError, match="10 mm does not fit inside the opening"):
        cut_lines(rings, {"saddle": 0.01})


def test_an_allowance_that_closes_a_slit_is_refused() -> None:
    corners = [(0, 0), (0.4, 0), (0.4, 0.3), (0.205, 0.3), (0.205, 0.2), (0.24, 0.1), (0.16, 0.1),
               (0.195, 0.2), (0.195, 0.3), (0, 0.3)]  # fmt: skip
    with pytest.raises(GeometryError, match="20 mm does not fit beside the seams"):
        cut_lines([sides(["s"] * 10, corners)], {"s": 0.02})


def slit(half_width: float, tall: float) -> list[Side]:
    """A square with a slit that allowances of 10 mm close at its mouth, and a chamber below."""
    corners = [
        (0.0, 0.0), (0.2, 0.0), (0.2, 0.2), (0.108, 0.2), (0.108, 0.15),
        (0.1 + half_width, 0.15), (0.1 + half_width, 0.15 - tall),
        (0.1 - half_width, 0.15 - tall), (0.1 - half_width, 0.15), (0.092, 0.15), (0.092, 0.2),
        (0.0, 0.2),
    ]  # fmt: skip
    return sides(["saddle"] * len(corners), corners)


def test_a_sliver_between_allowances_is_cut_away_with_them() -> None:
    # 20 mm shorter and narrower: 0.4 mm by 1 mm of the chamber are left, less than 1 mm2
    cut, hole = cut_lines([slit(0.0102, 0.021)], {"saddle": 0.01})
    assert hole == ()
    assert Polygon(cut).is_valid
    # a square, the slit filled; strips are welded with a nanometre, 1 m round
    assert area(cut) == pytest.approx(0.22**2, abs=1e-9)


def test_a_chamber_between_allowances_is_refused() -> None:
    with pytest.raises(GeometryError, match="10 mm does not fit beside"):
        cut_lines([slit(0.03, 0.06)], {"saddle": 0.01})


def test_a_piece_that_crosses_itself_is_refused() -> None:
    bow = sides(["s"] * 4, [(0, 0), (0.2, 0.2), (0.2, 0), (0, 0.2)])
    with pytest.raises(GeometryError, match="crosses itself"):
        cut_lines([bow], {"s": 0.01})

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity, union_all

from piece_shapes import all_collars
from teewright.collar.nesting import Nest, check_nest, nest, shelves
from teewright.collar.values import Panel
from teewright.errors import GeometryError, InputError

PIECES = [panel for made in all_collars().values() for panel in made.panels]
ORDER = [(panel, 1 + k % 2) for k, panel in enumerate(PIECES)]
GAP = 0.006


def rectangle(width: float, height: float, name: str = "piece") -> Panel:
    return replace(
        PIECES[0],
        name=name,
        cut=((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)),
        hole=(),
        area=width * height,
    )


@pytest.fixture(scope="module")
def laid() -> Nest:
    return nest(ORDER, roll_width=1.5, gap=GAP, seconds=2, seed=7)


def test_every_piece_lies_on_the_roll_apart_from_the_others(laid: Nest) -> None:
    shapes = [Polygon(place.outline()) for place in laid.placements]
    assert len(shapes) == sum(count for _, count in ORDER)
    for k, shape in enumerate(shapes):
        left, low, right, high = shape.bounds
        assert min(left, low) > -1e-6
        assert right < 1.5 + 1e-6
        assert high < laid.length + 1e-6
        assert all(shape.distance(other) > GAP - 1e-6 for other in shapes[k + 1 :])


def test_the_grain_is_kept_and_nothing_is_turned_over(laid: Nest) -> None:
    for place in laid.placements:
        assert place.rotation in {0.0, math.pi}
        start = np.asarray(place.panel.cut)
        turned = affinity.rotate(Polygon(start), math.degrees(place.rotation), origin=(0.0, 0.0))
        moved = affinity.translate(turned, place.x, place.y)
        assert moved.symmetric_difference(Polygon(place.outline())).area < 1e-12


def test_it_is_no_longer_than_shelves_and_its_utilisation_is_right(laid: Nest) -> None:
    plain = shelves(ORDER, roll_width=1.5, gap=GAP)
    assert laid.length <= plain.length
    area = sum(panel.area * count for panel, count in ORDER)
    assert laid.utilisation == pytest.approx(area / (1.5 * laid.length))
    lowest = min(place.outline()[:, 1].min() for place in laid.placements)
    assert lowest == pytest.approx(0.0, abs=1e-12)


def test_two_pieces_that_fill_the_roll_are_laid_edge_to_edge() -> None:
    order = [(rectangle(0.747, 0.4), 2)]
    made = nest(order, roll_width=1.5, gap=GAP, seconds=1, seed=1)
    assert made.length == pytest.approx(0.4)
    assert made.utilisation == pytest.approx(2 * 0.747 / 1.5)


def test_interlocking_pieces_are_packed_closer_than_their_boxes() -> None:
    wedge = replace(rectangle(0.5, 0.4), cut=((0.0, 0.0), (0.5, 0.0), (0.0, 0.4)), area=0.1)
    made = nest([(wedge, 4)], roll_width=0.52, gap=0.0, seconds=1, seed=3)
    assert made.method == "strip packing"
    assert made.length < 0.7 * shelves([(wedge, 4)], roll_width=0.52, gap=0.0).length


def test_a_piece_wider_than_the_roll_is_refused() -> None:
    with pytest.raises(InputError, match=r"wing.*1600 mm.*wider than the roll.*1500 mm"):
        nest([(rectangle(1.6, 0.1, "wing"), 1)], roll_width=1.5, gap=GAP, seconds=1, seed=1)


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"roll_width": float("nan")}, "roll_width"),
        ({"roll_width": 0.0}, "roll_width"),
        ({"gap": -0.001}, "gap"),
        ({"seconds": 0}, "seconds"),
        ({"seed": -1}, "seed"),
    ],
)
def test_arguments_out_of_range_are_named(changed: dict[str, float], field: str) -> None:
    choices = {"roll_width": 1.5, "gap": GAP, "seconds": 1, "seed": 1, **changed}
    with pytest.raises(InputError, match=field):
        nest(ORDER, **choices)  # type: ignore[arg-type]


@pytest.mark.parametrize("order", [[], [(PIECES[0], 0)]])
def test_an_empty_order_is_refused(order: list[tuple[Panel, int]]) -> None:
    with pytest.raises(InputError):
        nest(order, roll_width=1.5, gap=GAP, seconds=1, seed=1)


def moved(made: Nest, number: int, **changed: float) -> Nest:
    places = list(made.placements)
    places[number] = replace(places[number], **changed)  # type: ignore[arg-type]
    return replace(made, placements=tuple(places))


def test_the_check_finds_every_broken_rule() -> None:
    order = [(rectangle(0.4, 0.3, "one"), 2), (rectangle(0.2, 0.2, "two"), 1)]
    good = shelves(order, roll_width=1.5, gap=GAP)
    check_nest(good, order)
    first = good.placements[0]
    broken = {
        r"apart, less than the gap": moved(good, 1, x=good.placements[1].x - 0.001),
        r"off the roll": moved(good, 0, x=first.x - 0.01),
        r"off the grain": moved(good, 0, rotation=math.pi / 2),
        r"as often as it was ordered": replace(good, placements=good.placements[1:]),
        r"0.00 mm apart": moved(good, 1, x=first.x, y=first.y),
    }
    for said, bad in broken.items():
        with pytest.raises(GeometryError, match=said):
            check_nest(bad, order)


def test_a_piece_inside_another_is_an_overlap_though_the_gap_is_nothing() -> None:
    order = [(rectangle(0.4, 0.4), 1), (rectangle(0.1, 0.1), 1)]
    good = shelves(order, roll_width=1.5, gap=0.0)
    check_nest(good, order)
    with pytest.raises(GeometryError, match="apart"):
        check_nest(moved(good, 1, x=0.1, y=0.1), order)


@settings(max_examples=25)
@given(
    st.lists(st.tuples(st.floats(0.05, 1.4), st.floats(0.05, 0.9)), min_size=1, max_size=12),
    st.floats(0.0, 0.02),
)
def test_shelves_keep_every_rule(sizes: list[tuple[float, float]], gap: float) -> None:
    order = [(rectangle(w, h, f"{k}"), 1 + k % 3) for k, (w, h) in enumerate(sizes)]
    made = shelves(order, roll_width=1.5, gap=gap)
    check_nest(made, order)
    area = union_all([Polygon(p.outline()) for p in made.placements]).area
    assert area == pytest.approx(sum(p.area * n for p, n in order))


@pytest.mark.parametrize("spare", [0.0, 5e-5, 1e-4, 1.5e-4, 1.9e-4, 2.1e-4, 1.9e-3, 2.1e-3])
def test_pieces_as_wide_as_the_roll_stay_on_it(spare: float) -> None:
    wide = rectangle(1.5 - spare, 0.3)
    pair = rectangle((1.5 - spare - GAP) / 2.0, 0.2, "half")
    for order in ([(wide, 2)], [(pair, 4)], [(wide, 1), (pair, 4)]):
        check_nest(nest(order, roll_width=1.5, gap=GAP, seconds=1, seed=3), order)


@pytest.mark.parametrize("radius", [0.7498, 0.7494, 0.749, 0.7489])
def test_a_round_piece_near_both_edges_stays_on_the_roll(radius: float) -> None:
    turns = np.linspace(0.0, 2.0 * math.pi, 181)[:-1]
    ring = tuple((0.7 + radius * math.cos(t), radius * math.sin(t)) for t in turns)
    disc = replace(rectangle(1.0, 1.0, "disc"), cut=ring, area=math.pi * radius**2)
    check_nest(nest([(disc, 3)], roll_width=1.5, gap=GAP, seconds=1, seed=1), [(disc, 3)])

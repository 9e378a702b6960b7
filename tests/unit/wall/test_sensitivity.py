import math
from dataclasses import replace

import pytest

from teewright.errors import InputError, RangeError, UnknownNameError
from teewright.units import SHOWN
from teewright.wall.collar import collar_wall
from teewright.wall.sensitivity import INPUTS, Declared, inputs_of, tornado
from wall_cases import CASE, GROUND, MAIN, OPENING

ENDS = {
    "head": (2.0, 5.0),
    "thickness": (0.005, 0.0066),
    "ovality": (0.0, 0.05),
    "branch_ovality": (0.0, 0.05),
    "modulus": (1400e6, 2000e6),
    "strength": (25e6, 35e6),
    "long_term": (0.35, 0.65),
    "enhancement": (5.0, 8.0),
    "angle": (math.radians(70.0), math.radians(90.0)),
}
ALL = tuple(
    Declared(key=key, low=low, high=high, evidence="site") for key, (low, high) in ENDS.items()
)


def test_every_input_can_be_moved_and_read_back() -> None:
    assert set(ENDS) == set(INPUTS)
    for key, known in INPUTS.items():
        low, _ = ENDS[key]
        assert known.read(known.move(CASE, low)) == pytest.approx(low)
        assert known.shown_in in SHOWN


def test_the_bars_are_sorted_and_hold_what_a_chart_needs() -> None:
    found = tornado(CASE, ALL)
    assert found.utilisation == collar_wall(CASE).utilisation
    swings = [bar.swing for bar in found.bars]
    assert swings == sorted(swings, reverse=True)
    for bar in found.bars:
        assert min(bar.at_low, bar.at_high) <= found.utilisation <= bar.worst
        assert bar.low <= bar.nominal <= bar.high


def test_a_bar_is_the_collar_checked_at_the_end_of_the_range() -> None:
    bar = next(bar for bar in tornado(CASE, ALL).bars if bar.key == "head")
    # the water rises over all parts alike
    risen = replace(
        CASE,
        main=replace(MAIN, head=5.0),
        branch=replace(CASE.branch, head=4.9),
        opening=replace(OPENING, head=4.9),
    )
    assert bar.at_high == pytest.approx(collar_wall(risen).utilisation)
    moved = INPUTS["head"].move(CASE, 5.0)
    heads = moved.main.head, moved.branch.head, moved.opening.head
    assert heads == pytest.approx((5.0, 4.9, 4.9))


def test_thicker_in_the_main_is_thicker_everywhere_in_proportion() -> None:
    moved = INPUTS["thickness"].move(CASE, 0.009)
    assert moved.branch.provided == pytest.approx(1.5 * CASE.branch.provided)
    assert moved.opening.provided == pytest.approx(1.5 * OPENING.provided)


def test_a_part_has_bars_of_its_own() -> None:
    slanting = replace(CASE, opening=replace(OPENING, angle=math.radians(70.0)))
    main, opening = (
        {bar.key: bar for bar in tornado(slanting, ALL, part=name).bars}
        for name in ("main", "opening")
    )
    assert main["modulus"].swing > 0.0 == opening["modulus"].swing
    assert opening["angle"].swing > 0.0 == main["angle"].swing
    assert main["modulus"].governing_low == "main: buckling under groundwater"


@pytest.mark.parametrize(
    ("declared", "told"),
    [
        (Declared(key="colour", low=0.0, high=1.0, evidence="x"), "not an input"),
        (Declared(key="head", low=4.0, high=5.0, evidence="x"), "does not hold the value"),
        (Declared(key="head", low=1.0, high=5.0, evidence=" "), "no evidence"),
    ],
)
def test_a_range_that_says_nothing_is_refused(declared: Declared, told: str) -> None:
    with pytest.raises(InputError, match=told):
        tornado(CASE, (declared,))


def test_what_else_is_refused() -> None:
    with pytest.raises(InputError, match="declared twice"):
        tornado(CASE, (ALL[0], ALL[0]))
    with pytest.raises(UnknownNameError, match="no part"):
        tornado(CASE, ALL, part="lid")
    with pytest.raises(RangeError, match="ovality"):
        tornado(CASE, (Declared(key="ovality", low=0.0, high=0.2, evidence="x"),))


def test_the_soil_is_moved_where_it_is_a_load_and_beside_both_pipes() -> None:
    soft = Declared(key="soil_modulus", low=3e6, high=12e6, evidence="site")
    with pytest.raises(InputError, match="is not an input that can be moved"):
        tornado(CASE, (soft,))
    fallen = replace(
        CASE, main=replace(MAIN, ground=GROUND), branch=replace(CASE.branch, ground=GROUND)
    )
    known = inputs_of(fallen)["soil_modulus"]
    assert known.read(fallen) == GROUND.soil_modulus
    moved = known.move(fallen, 3e6)
    grounds = moved.main.ground, moved.branch.ground
    assert grounds == (replace(GROUND, soil_modulus=3e6),) * 2
    (bar,) = tornado(fallen, (soft,)).bars
    assert bar.at_low > tornado(fallen, ()).utilisation > bar.at_high

import math
from dataclasses import replace

import pytest

from collar_shapes import FABRIC, PACKER, collar, tee
from teewright.collar.fit import fitting_packers, packer_shortfalls, refusals
from teewright.collar.values import Collar, Limit
from teewright.kit.values import Packer

FITTING = tee(0.2, 0.1, 75.0)


def test_a_packer_that_serves_the_junction_fits() -> None:
    assert fitting_packers(FITTING, [PACKER]) == (PACKER,)
    assert refusals(FITTING, PACKER, FABRIC) == ()


def test_ends_of_the_ranges_are_served() -> None:
    assert fitting_packers(tee(0.18, 0.09, 60.0), [PACKER]) == (PACKER,)
    assert fitting_packers(tee(0.32, 0.16, 90.0), [PACKER]) == (PACKER,)


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        (tee(0.4, 0.1, 75.0), "serves mains of 180 to 320 mm, this one is 400 mm"),
        (tee(0.3, 0.2, 75.0), "serves branches of 90 to 160 mm, this one is 200 mm"),
        (tee(0.3, 0.1, 45.0), "serves angles of 60 to 90°, this one is 45°"),
    ],
)
def test_a_packer_that_does_not_serve_says_why(shape: object, words: str) -> None:
    assert isinstance(shape, type(FITTING))
    assert packer_shortfalls(shape, PACKER) == (words,)
    (reason,) = refusals(shape, PACKER, FABRIC)
    assert words in reason
    assert reason.endswith("would help.")


def test_one_fitting_packer_is_enough_and_keeps_its_place() -> None:
    small = replace(PACKER, name="Small", main_max=0.19)
    other = replace(PACKER, name="Other")
    assert fitting_packers(FITTING, [small, PACKER, other]) == (PACKER, other)
    assert refusals(FITTING, [small, PACKER], FABRIC) == ()


def test_every_packer_is_named_when_none_fits() -> None:
    packers = [replace(PACKER, name=n, main_max=0.19) for n in ("One", "Two")]
    (reason,) = refusals(FITTING, packers, FABRIC)
    assert "One serves" in reason
    assert "Two serves" in reason
    assert "a main of 200 mm, a branch of 100 mm and 75°" in reason


def test_a_kit_without_packers_is_said_plainly() -> None:
    (reason,) = refusals(FITTING, (), FABRIC)
    assert reason.startswith("The kit holds no packer")


@pytest.mark.parametrize(
    ("packer", "words"),
    [
        (replace(PACKER, sleeve_length=0.4), "carries 400 mm along the main, the collar is 500 mm"),
        (replace(PACKER, branch_reach=0.1), "carries 100 mm up the branch from the crown"),
    ],
)
def test_a_packer_must_carry_the_collar(packer: Packer, words: str) -> None:
    made = collar(FITTING)
    assert fitting_packers(FITTING, [packer]) == (packer,)
    assert fitting_packers(FITTING, [packer], collar=made) == ()
    (reason,) = refusals(FITTING, packer, FABRIC, made)
    assert words in reason


def with_limits(made: Collar, *limits: Limit) -> Collar:
    return replace(made, landing=replace(made.landing, limits=limits))


def test_a_limit_that_the_formed_collar_breaks_is_told_with_both_numbers_and_the_help() -> None:
    long, tall = (
        Limit("stretch along the grain", 1.312, None, 1.25, "-", "a softer fabric", 1.0),
        Limit("height of wrinkles", 0.0081, None, 0.006, "m", "more design stretch"),
    )
    kept = replace(tall, value=0.0059)
    made = with_limits(collar(FITTING), long, kept, tall)
    one, two = refusals(FITTING, PACKER, FABRIC, made)
    for part in ("stretch along the grain is 1.312", "1.250 is allowed", "a softer fabric would"):
        assert part in one
    for part in ("height of wrinkles is 8.1 mm", "6.0 mm is allowed", "more design stretch would"):
        assert part in two


def test_a_collar_is_refused_by_exactly_the_limits_that_it_breaks() -> None:
    limits = [Limit(f"limit {k}", float(k), None, 2.5, "-", "less", 0.0) for k in range(5)]
    reasons = refusals(FITTING, PACKER, FABRIC, with_limits(collar(FITTING), *limits))
    assert len(reasons) == 2
    assert "limit 3" in reasons[0]
    assert "limit 4" in reasons[1]


def test_a_panel_wider_than_the_roll_is_refused() -> None:
    made = collar(FITTING)
    across = [x for x, _ in made.panels[0].cut]
    (reason,) = refusals(FITTING, PACKER, replace(FABRIC, roll_width=0.5), made)
    assert f"main panel is {1e3 * (max(across) - min(across)):.0f} mm" in reason
    assert "roll of Invented felt is 500 mm wide" in reason
    # round the middle of the cloth, and a lap
    assert max(across) - min(across) == pytest.approx(math.pi * 0.196 / 1.05 + 0.03, rel=0.01)


def test_reasons_add_up() -> None:
    broken = Limit("gap behind the fabric", 0.003, None, 0.002, "m", "more pressure")
    made = with_limits(collar(FITTING), broken)
    poor = replace(FABRIC, roll_width=0.2)
    reasons = refusals(FITTING, replace(PACKER, main_max=0.19), poor, made)
    assert len(reasons) == 4

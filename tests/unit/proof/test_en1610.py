import math

import pytest

from teewright.errors import InputError, RangeError
from teewright.proof.en1610 import (
    METHODS,
    formula_time,
    kp,
    required_time,
    rounded_time,
    single_time,
    table_time,
)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("diameter", [0.1, 0.25, 0.5, 1.0])
def test_formula_is_the_time_of_a_decay_of_the_gauge_pressure(method: str, diameter: float) -> None:
    """A pressure falling by dp/dt = -Kp p, stepped through, has dropped by dp at t."""
    chosen, constant = METHODS[method], kp(diameter)
    time, steps = formula_time(diameter, method), 20_000
    pressure = chosen.pressure
    for _ in range(steps):
        pressure -= constant * pressure * time / steps
    assert chosen.pressure - pressure == pytest.approx(chosen.drop, rel=1e-4)


def test_larger_pipes_are_tested_longer_and_small_ones_alike() -> None:
    assert formula_time(0.1, "LC") == formula_time(0.2, "LC") < formula_time(0.21, "LC")
    assert formula_time(0.8, "LC") == pytest.approx(2.0 * formula_time(0.4, "LC"))


def test_dry_concrete_loses_air_faster() -> None:
    assert formula_time(0.6, "LB", dry_concrete=True) == pytest.approx(
        formula_time(0.6, "LB") * 12.0 / 16.0
    )


@pytest.mark.parametrize(
    ("minutes", "rounded"),
    [
        (1.344, 1.5),
        (2.24, 2.0),
        (2.25, 2.5),
        (4.74, 4.5),
        (4.76, 5.0),
        (5.0, 5.0),
        (5.4, 5.0),
        (5.5, 6.0),
        (13.543, 14.0),
    ],
)
def test_rounding(minutes: float, rounded: float) -> None:
    assert rounded_time(60.0 * minutes) == pytest.approx(60.0 * rounded)


def test_the_longer_of_printed_time_and_rounded_formula_counts() -> None:
    assert rounded_time(formula_time(1.0, "LD")) == 6 * 60.0
    assert required_time(1.0, "LD") == 7 * 60.0
    for dn in (100, 200, 300, 400, 600, 800):
        for method in METHODS:
            for dry in (False, True):
                printed = table_time(dn / 1000, method, dry_concrete=dry)
                assert required_time(dn / 1000, method, dry_concrete=dry) == printed


def test_between_the_columns_of_the_table_the_formula_counts() -> None:
    assert table_time(0.25, "LC") is None
    assert table_time(0.3004, "LC") is None
    assert required_time(0.25, "LC") == rounded_time(formula_time(0.25, "LC")) == 210.0


def test_single_connection_equals_the_pipe_when_all_of_it_is_under_test() -> None:
    section = math.pi / 4 * 0.3**2 * 1.2
    whole = single_time(0.3, "LC", test_volume=section, section_length=1.2)
    assert whole == pytest.approx(formula_time(0.3, "LC"))
    half = single_time(0.3, "LC", test_volume=section / 2, section_length=1.2)
    assert half == pytest.approx(whole / 2)


def test_refusals() -> None:
    for diameter in (0.08, 1.2, math.nan):
        with pytest.raises(RangeError, match="diameter"):
            kp(diameter)
    with pytest.raises(InputError, match="LA, LB, LC, LD"):
        formula_time(0.2, "LE")
    for volume, length in ((0.0, 1.0), (0.01, -1.0), (math.nan, 1.0)):
        with pytest.raises(InputError, match="not above 0"):
            single_time(0.2, "LC", test_volume=volume, section_length=length)

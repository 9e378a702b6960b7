import numpy as np
import pytest

from teewright.errors import InputError, RangeError
from teewright.units import HOUR
from teewright.wall.long_term import YEAR, creep_line

TIMES = tuple(HOUR * t for t in (1.0, 10.0, 100.0, 1000.0, 3000.0, 6000.0, 10_000.0))
LIFE = 50.0 * YEAR


def test_a_straight_line_is_carried_on_exactly() -> None:
    values = tuple(1.6e9 * (t / HOUR) ** -0.05 for t in TIMES)
    found = creep_line(TIMES, values, short_term=1.724e9, life=LIFE)
    assert found.value == pytest.approx(1.6e9 * (LIFE / HOUR) ** -0.05)
    assert found.share == pytest.approx(found.value / 1.724e9)
    assert found.slope == pytest.approx(-0.05)
    assert found.lower == pytest.approx(found.value)
    # 10 000 h to 50 years
    assert found.beyond == pytest.approx(1.6418, abs=1e-4)


def test_the_lower_bound_holds_as_often_as_it_says() -> None:
    draw = np.random.default_rng(7)
    held = 0
    for _ in range(2000):
        noise = 10.0 ** draw.normal(0.0, 0.01, len(TIMES) + 1)
        values = tuple(
            1.6e9 * (t / HOUR) ** -0.05 * float(n) for t, n in zip(TIMES, noise[:-1], strict=True)
        )
        found = creep_line(TIMES, values, short_term=1.724e9, life=LIFE)
        held += 1.6e9 * (LIFE / HOUR) ** -0.05 * float(noise[-1]) >= found.lower
    # 97.5 % of 2000, give or take four standard deviations
    assert held / 2000 == pytest.approx(0.975, abs=0.014)


def test_scatter_lowers_the_bound_and_not_the_line() -> None:
    steady = tuple(1.6e9 for _ in TIMES)
    rough = tuple(1.6e9 * (1.02 if i % 2 else 1.0 / 1.02) for i in range(len(TIMES)))
    found, plain = (creep_line(TIMES, v, short_term=1.7e9, life=LIFE) for v in (rough, steady))
    assert found.lower < 0.95 * found.value
    assert found.scatter > plain.scatter


@pytest.mark.parametrize(
    ("times", "values"),
    [
        (TIMES[:5], (1e9,) * 5),
        (TIMES, (1e9,) * 6),
        ((HOUR,) * 7, (1e9,) * 7),
        (TIMES, (1e9,) * 6 + (0.0,)),
    ],
)
def test_readings_that_make_no_line_are_refused(
    times: tuple[float, ...], values: tuple[float, ...]
) -> None:
    with pytest.raises(InputError):
        creep_line(times, values, short_term=1e9, life=LIFE)


def test_a_life_too_far_from_the_test_is_refused() -> None:
    for life in (500.0 * YEAR, HOUR):
        with pytest.raises(RangeError, match="decades"):
            creep_line(TIMES, (1e9,) * 7, short_term=1e9, life=life)

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError
from teewright.fabric.thickness import MOST_POINTS, fit_thickness
from teewright.fabric.values import ThicknessReading
from unit.fabric.made import rules


def readings(*pairs: tuple[float, float]) -> list[ThicknessReading]:
    return [ThicknessReading(pressure, thickness) for pressure, thickness in pairs]


def test_means_of_each_pressure() -> None:
    fit = fit_thickness(
        readings((1e5, 0.0042), (0.0, 0.0050), (0.0, 0.0052), (1e5, 0.0044), (3e5, 0.0040))
    )
    expected = ((0.0, 0.0051), (1e5, 0.0043), (3e5, 0.0040))
    assert np.array(fit.points) == pytest.approx(np.array(expected))
    assert fit.largest == pytest.approx(1e-4)
    assert fit.rms == pytest.approx(1e-4 * np.sqrt(4 / 5))
    assert fit.findings == ()


def test_the_table_begins_at_no_pressure() -> None:
    fit = fit_thickness(readings((2e3, 0.005), (1e5, 0.004)))
    assert fit.points[:2] == ((0.0, 0.005), (2e3, 0.005))
    assert rules(fit.findings) == {"fabric-thickness-zero"}


def test_a_mean_that_grows_is_pooled() -> None:
    fit = fit_thickness(readings((0.0, 0.0050), (1e5, 0.0042), (2e5, 0.0044), (3e5, 0.0040)))
    assert [t for _, t in fit.points] == pytest.approx([0.0050, 0.0043, 0.0043, 0.0040])
    assert rules(fit.findings) == {"fabric-thickness-grows"}


@given(
    st.lists(
        st.tuples(st.floats(0.0, 3e5), st.floats(0.002, 0.008)), min_size=2, max_size=60
    ).filter(lambda p: max(p)[0] > 1.0 and max(p)[0] > 2.0 * min(p)[0])
)
@settings(max_examples=60)
def test_any_readings_make_a_table_that_the_kit_may_hold(pairs: list[tuple[float, float]]) -> None:
    fit = fit_thickness(readings(*pairs))
    pressures, values = np.array(fit.points).T
    assert pressures[0] == 0.0
    assert np.all(np.diff(pressures) > 0.0)
    assert np.all(np.diff(values) <= 0.0)
    assert 2 <= len(pressures) <= MOST_POINTS + 1
    assert min(p[1] for p in pairs) - 1e-12 <= values.min()
    assert values.max() <= max(p[1] for p in pairs) + 1e-12
    assert fit.rms <= fit.largest + 1e-15


def test_a_logger_is_put_together_and_keeps_its_curve() -> None:
    pressure = np.linspace(0.0, 2.5e5, 5000)
    thickness = 0.004 + 0.001 * np.exp(-pressure / 5e4)
    fit = fit_thickness(readings(*zip(pressure.tolist(), thickness.tolist(), strict=True)))
    assert len(fit.points) == MOST_POINTS
    assert fit.largest < 3e-5
    assert fit.points[-1][0] > 2.4e5


@pytest.mark.parametrize(
    "pairs",
    [[], [(1e5, 0.004)], [(1e5, 0.004), (1e5, 0.005)], [(0.0, 0.0), (1e5, 0.004)],
     [(-1.0, 0.005), (1e5, 0.004)], [(0.0, float("nan")), (1e5, 0.004)]],
)  # fmt: skip
def test_what_makes_no_table_is_refused(pairs: list[tuple[float, float]]) -> None:
    with pytest.raises(InputError, match=r"cannot be|too few"):
        fit_thickness(readings(*pairs))


def test_readings_at_one_pressure_stay_in_one_point() -> None:
    """Many pressures are joined to few points; two readings at one of them are not parted."""
    many = [(1e3 * n, 0.005) for n in range(30)] + [(17e3, 0.005)] * 3
    pressures = [p for p, _ in fit_thickness(readings(*many)).points]
    assert all(a < b for a, b in pairwise(pressures))
    assert len(pressures) == MOST_POINTS

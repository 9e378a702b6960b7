import math

import pytest
from scipy.optimize import brentq

from teewright.errors import RangeError
from teewright.hydraulics.leakage import (
    GALLON_PER_DAY_INCH_MILE,
    GALLON_PER_DAY_MILE,
    LITRE_PER_DAY_MM_KM,
    LITRE_PER_SECOND_KM,
    allowed_flow,
    gap_leak,
    hole_leak,
)
from teewright.hydraulics.thin_gap import thin_gap_flow
from teewright.units import SHOWN


def test_the_units_from_their_definitions() -> None:
    gallon = 231.0 * 0.0254**3
    mile = 5280.0 * 12.0 * 0.0254
    assert pytest.approx(gallon / 86400.0 / mile) == GALLON_PER_DAY_MILE
    assert pytest.approx(gallon / 86400.0 / mile / 0.0254) == GALLON_PER_DAY_INCH_MILE
    # 1 l/(s km) on a DN200 sewer is 432 l/(d mm km)
    assert pytest.approx(86400.0 / 200.0 * LITRE_PER_DAY_MM_KM * 0.2) == LITRE_PER_SECOND_KM


def test_a_laminar_gap_is_the_cubic_law() -> None:
    found = gap_leak(3.0, 1e-4, 0.05, 0.6)
    assert not found.is_bound
    assert found.flow == thin_gap_flow(3.0, 1e-4, 0.05, 0.6).flow
    values = {row.symbol: row.value for row in found.trace}
    by_rows = values["w_g"] * values["b"] ** 3 * 9.81 * values["h_g"]
    assert found.flow == pytest.approx(by_rows / (12.0 * values["ν_w"] * values["L_g"]))
    assert all(row.shown_in in SHOWN for row in found.trace)


@pytest.mark.parametrize(("gap", "path"), [(5e-4, 0.05), (2e-3, 0.05), (2e-3, 5.0)])
def test_a_wide_gap_is_bounded_and_says_so(gap: float, path: float) -> None:
    """The bound lies above turbulent flow in a smooth slot (Blasius, entry and exit lost)."""
    found = gap_leak(3.0, gap, path, 0.6)
    assert found.is_bound
    assert "no estimate" in found.text

    def balance(v: float) -> float:
        reynolds = v * 2.0 * gap / 1.31e-6
        friction = max(96.0 / reynolds, 0.3164 * reynolds**-0.25)
        return float((friction * path / (2.0 * gap) + 1.5) * v**2 / (2.0 * 9.81) - 3.0)

    turbulent = brentq(balance, 1e-6, 10.0) * gap * 0.6
    assert turbulent <= found.flow <= 5.0 * turbulent


def test_the_bound_takes_up_where_the_law_ends() -> None:
    gap = brentq(lambda b: thin_gap_flow(3.0, b, 0.05, 0.6).reynolds - 2000.0, 1e-4, 1e-3)
    below, above = (gap_leak(3.0, b, 0.05, 0.6) for b in (0.9999 * gap, 1.0001 * gap))
    assert (below.is_bound, above.is_bound) == (False, True)
    assert above.flow == pytest.approx(below.flow, rel=1e-3)


def test_no_head_no_leak() -> None:
    assert gap_leak(0.0, 5e-4, 0.05, 0.6).flow == 0.0


def test_what_a_water_test_allows() -> None:
    # DN 200, 1 m of pipe: 0.0942 l in half an hour
    flow = allowed_flow(0.15e-3, math.pi * 0.2, 1800.0)
    assert flow * 1800.0 == pytest.approx(0.0942e-3, rel=1e-3)
    with pytest.raises(RangeError, match="time of the test"):
        allowed_flow(0.15e-3, 0.6, 0.0)


def test_a_hole_is_an_orifice() -> None:
    assert hole_leak(2.0, 0.02, coefficient=1.0) == pytest.approx(
        math.pi * 1e-4 * math.sqrt(4.0 * 9.81)
    )

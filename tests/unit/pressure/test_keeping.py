"""A pressure that was set before the collar was formed, against the window after it."""

import math
from dataclasses import replace

import pytest

from teewright.errors import InputError, RangeError
from teewright.pressure.ends import LANDED
from teewright.pressure.keeping import Before, formed_case, keep_pressure
from teewright.pressure.window import NO_FRICTION, pressure_on_fabric, window_after, window_of
from teewright.trace import Origin
from unit.pressure.test_case import FULL, PLAIN

FIRST = replace(PLAIN, friction=3e3, squeeze=12e3, squeeze_to=0.0046)


def before(low: float = 0.0) -> Before:
    found = window_of(FIRST)
    assert found.set is not None
    return Before(found.set, low or found.low, FIRST.friction)


def test_a_pressure_that_the_window_holds_is_kept_and_no_other_is_moved_far() -> None:
    assert keep_pressure(0.5e5, 1.5e5, 0.93e5) == 0.93e5
    assert keep_pressure(0.96e5, 1.5e5, 0.93e5) == pytest.approx(1.00e5)
    assert keep_pressure(0.5e5, 0.88e5, 0.93e5) == pytest.approx(0.85e5)
    assert keep_pressure(0.96e5, 0.98e5, 0.93e5) == 0.98e5
    assert keep_pressure(0.86e5, 0.88e5, 0.93e5) == 0.86e5
    assert keep_pressure(1.6e5, 1.5e5, 0.93e5) is None


def test_a_window_without_ends_is_refused() -> None:
    with pytest.raises(InputError, match="end of the window"):
        keep_pressure(math.nan, 1.5e5, 1e5)
    with pytest.raises(RangeError, match="set before"):
        keep_pressure(0.5e5, 1.5e5, -1.0)


def test_the_run_takes_the_place_of_the_formula_and_the_pressure_stays() -> None:
    first, after = window_of(FIRST), window_after(FIRST, 1.5e3, before=before())
    assert after.set == first.set
    assert dict(after.low_parts)[LANDED] == 1.5e3
    # 1000 kg/m3 * 9.81 m/s2 * 2 m, bladder, run, squeezing, margin; no friction
    assert after.low == pytest.approx(9810.0 * 2.0 + 35e3 + 1.5e3 + 12e3 + 10e3)
    assert after.high == first.high
    assert after.forming == "forming as simulated"
    assert first.forming == "forming by formula"
    assert NO_FRICTION not in after.left_out


def test_a_run_that_never_landed_keeps_the_formula_and_says_so() -> None:
    first, after = window_of(FIRST), window_after(FIRST, math.nan, before=before())
    assert (after.low, after.high, after.set) == (first.low, first.high, first.set)
    assert "never lay" in after.forming
    row = next(r for r in after.trace if r.symbol == "p_low")
    assert "never lay" in row.source


def test_a_run_that_needs_more_raises_the_pressure() -> None:
    first = window_of(FIRST)
    assert first.set is not None
    spare = first.set - first.low
    more = dict(first.low_parts)["forming the branch"] + FIRST.friction + spare + 2e3
    after = window_after(FIRST, more, before=before())
    assert after.low == pytest.approx(first.set + 2e3)
    assert after.set is not None
    assert first.set < after.low <= after.set <= after.low + 0.05e5
    row = next(r for r in after.trace if r.symbol == "p")
    assert "raised" in row.source


def test_a_run_that_needs_more_than_anything_stands_shuts_the_window() -> None:
    after = window_after(FIRST, 2e5, before=before())
    assert after.set is None
    assert not after.is_open


def test_the_rows_lead_from_the_formula_to_the_pressure() -> None:
    held = before()
    after = window_after(FIRST, 1.5e3, before=held)
    rows = {row.symbol: row for row in after.trace}
    assert len(rows) == len(after.trace)
    parts = ("p_w", "p_b", "p_lie", "p_s", "p_m")
    assert rows["p_low"].formula == " + ".join(parts)
    assert sum(rows[s].value for s in parts) == pytest.approx(rows["p_low"].value)
    formula = ("p_w", "p_b", "p_f,d", "p_k", "p_s", "p_m")
    assert sum(rows[s].value for s in formula) == pytest.approx(rows["p_low,0"].value)
    third = rows["p_low,0"].value + (rows["p_high"].value - rows["p_low,0"].value) / 3.0
    assert rows["p"].value == pytest.approx(third, abs=0.025e5)
    left = rows["p"].value - sum(rows[s].value for s in ("p_w", "p_b", "p_f,d", "p_k"))
    assert rows["p_on"].value == pytest.approx(left)
    assert left == pytest.approx(pressure_on_fabric(window_of(FIRST), FIRST.margin))
    assert rows["t_q"].origin is Origin.TABLE
    assert rows["p_s"].origin is Origin.COMPUTED


def test_a_run_cannot_have_landed_and_not() -> None:
    with pytest.raises(InputError, match="forming pressure"):
        window_of(replace(FULL, never_landed=True))
    with pytest.raises(RangeError, match="forming pressure"):
        formed_case(FIRST, -1.0)

import math
from dataclasses import replace

import pytest

from collar_shapes import collar, order, tee
from teewright.collar.numbers import collar_trace
from teewright.trace import Origin, TraceRow
from teewright.units import SHOWN

MADE = collar(tee(0.2, 0.1, 60.0))


def rows() -> dict[str, TraceRow]:
    found = collar_trace(MADE, 5e4, design_stretch=1.05)
    return {row.symbol: row for row in found if row.symbol}


def test_the_trace_has_what_was_asked_for_first() -> None:
    given = {s: row.value for s, row in rows().items() if row.origin is Origin.INPUT}
    assert given == {
        "D": 0.2, "d": 0.1, "θ": math.radians(60.0), "ρ": 0.005, "y_0": 0.0, "q": 0.0, "λ": 1.05,
    }  # fmt: skip
    assert [row.origin for row in MADE.trace[:6]] == [Origin.INPUT] * 6
    assert rows()["p_on"].value == 5e4


def test_the_trace_has_the_numbers_of_the_collar() -> None:
    found = {symbol: row.value for symbol, row in rows().items()}
    chosen = next(offer for offer in MADE.offers if offer.chosen)
    assert found["t*"] == chosen.ratio
    assert (found["λ_w"], found["λ_t"]) == MADE.window
    assert (found["L_s,D"], found["L_s,d"]) == MADE.seam_edges
    assert found["L_s"] == MADE.seam_length
    assert found["A"] == MADE.fabric_area == pytest.approx(sum(p.area for p in MADE.panels))
    assert found["A_f"] == MADE.formed_area
    assert found["h_b"] == MADE.reach
    assert found["v"] == MADE.landing.resin[1]


def test_every_limit_has_a_row_with_what_is_allowed() -> None:
    found = {row.quantity: row for row in MADE.trace}
    for limit in MADE.landing.limits:
        row = found[limit.name]
        assert row.value == limit.value
        assert limit.high is not None
        size = f"{1e3 * limit.high:.1f} mm" if limit.unit == "m" else f"{limit.high:.3f}"
        assert row.formula == f"≤ {size}"


def test_every_unit_can_be_shown() -> None:
    assert {row.shown_in for row in MADE.trace} <= set(SHOWN)
    assert all(math.isfinite(row.value) for row in MADE.trace)


def test_a_collar_that_never_lies_down_shows_no_pressure_for_it() -> None:
    landing = replace(MADE.landing, pressure_landed=math.nan)
    found = collar_trace(replace(MADE, landing=landing), 5e4, design_stretch=1.05)
    assert "p_l" not in {row.symbol for row in found}
    assert "p_l" in rows()


def test_names_of_pattern_and_fabric_are_those_asked_for() -> None:
    named = collar(tee(0.2, 0.1, 60.0), pattern="P7")
    assert named.pattern == "P7"
    assert order(tee(0.2, 0.1, 60.0)).fabric.name == named.fabric
    assert named.panels == MADE.panels

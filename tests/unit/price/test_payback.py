import math
from decimal import Decimal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, RangeError
from teewright.price.payback import (
    discounted_payback,
    payback,
    present_value,
    simple_payback,
)
from teewright.price.water import YEAR, WaterRates, saving, yearly_volume
from teewright.units import SHOWN

RATES = WaterRates("EUR", pumping=0.05, treatment=0.45, source="invented")


def test_a_year_of_water() -> None:
    assert yearly_volume(1e-3) == pytest.approx(31557.6)
    assert yearly_volume(1e-3, 0.5) == pytest.approx(0.5 * 31557.6)


def test_a_saving_by_hand() -> None:
    found = saving(1e-5, 1e-6, RATES, share_of_year=0.8)
    assert found.volume_before == pytest.approx(1e-5 * YEAR * 0.8)
    assert found.volume_kept_out == pytest.approx(9e-6 * YEAR * 0.8)
    assert found.yearly == pytest.approx(found.cost_before - found.cost_after)
    assert found.yearly == pytest.approx(0.5 * found.volume_kept_out)
    kept = found.trace[-1]
    assert SHOWN[kept.shown_in][0](kept.value) == pytest.approx(found.volume_kept_out)


def test_a_seal_that_lets_in_more_saves_nothing_and_says_so() -> None:
    found = saving(1e-7, 2e-7, RATES)
    assert (found.volume_kept_out, found.yearly) == (0.0, 0.0)
    assert "saves nothing" in found.text
    never = payback(500.0, found, discount=0.03, life=50.0)
    assert (never.simple, never.discounted, never.within_life) == (None, None, False)
    assert never.present_value == -500.0
    assert "does not pay back" in never.text


@given(st.floats(1.0, 1e5), st.floats(1.0, 1e5), st.floats(1e-6, 0.3))
@settings(max_examples=150, deadline=None)
def test_the_discounted_payback_solves_the_annuity(
    cost: float, yearly: float, discount: float
) -> None:
    years = discounted_payback(cost, yearly, discount)
    if years is None:
        assert cost * discount >= yearly
        return
    # near the asymptote the years are not well posed
    assume(cost * discount / yearly < 0.999)
    # 28 digits: in floats the small difference of a short payback would be lost in the test
    rate = Decimal(discount)
    worth = Decimal(yearly) * (1 - (1 + rate) ** -Decimal(years)) / rate
    assert float(worth) == pytest.approx(cost, rel=1e-9)
    plain = simple_payback(cost, yearly)
    assert plain is not None
    assert years >= plain * (1.0 - 1e-12)


def test_discount_brings_no_jump_at_nought() -> None:
    assert discounted_payback(900.0, 100.0, 0.0) == 9.0
    assert discounted_payback(900.0, 100.0, 1e-13) == pytest.approx(9.0)
    assert discounted_payback(900.0, 100.0, 1e-9) == pytest.approx(9.0, rel=1e-6)
    assert discounted_payback(0.0, 100.0, 0.05) == 0.0
    assert discounted_payback(100.0, 1e-320, 0.0) is None


@pytest.mark.parametrize("years", [1, 7, 40])
def test_present_value_is_the_sum_of_its_years(years: int) -> None:
    by_hand = sum(250.0 / 1.04**n for n in range(1, years + 1))
    assert present_value(250.0, 0.04, years) == pytest.approx(by_hand)
    assert present_value(250.0, 0.0, years) == 250.0 * years


def test_the_life_decides_whether_it_is_worth_it() -> None:
    found = saving(1e-5, 0.0, RATES)
    years = discounted_payback(1500.0, found.yearly, 0.03)
    assert years is not None
    long, short = (payback(1500.0, found, discount=0.03, life=n) for n in (50.0, 5.0))
    assert long.within_life
    assert long.present_value > 0.0
    assert not short.within_life
    assert short.present_value < 0.0
    assert "not within" in short.text


def test_a_saving_below_the_interest_never_pays() -> None:
    found = payback(1e5, saving(1e-6, 0.0, RATES), discount=0.03, life=50.0)
    assert found.discounted is None
    assert "never at 3 % a year" in found.text


@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
def test_amounts_that_are_none_are_refused(value: float) -> None:
    with pytest.raises(InputError, match="cost"):
        simple_payback(value, 10.0)
    with pytest.raises(InputError, match="yearly saving"):
        simple_payback(10.0, value)
    with pytest.raises(InputError, match="treatment"):
        saving(1e-6, 0.0, WaterRates("EUR", 0.1, value, "invented"))


def test_rates_and_shares_out_of_range_are_refused() -> None:
    with pytest.raises(RangeError, match="rate of discount"):
        discounted_payback(1.0, 1.0, 0.6)
    with pytest.raises(RangeError, match="share of the year"):
        yearly_volume(1e-6, 1.1)
    with pytest.raises(RangeError, match="flow"):
        yearly_volume(-1e-6)

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, UnknownNameError
from teewright.kit.values import Fabric, Rates, Resin
from teewright.price.quantities import Quantities
from teewright.price.quote import money, product, quote
from teewright.price.values import Quote

RATES = Rates(
    currency="EUR",
    collar=120.0,
    shift=1800.0,
    test=45.0,
    close_off=90.0,
    look_again=30.0,
    make_ready=(("re-cut", 75.0), ("roots", 60.0)),
    overhead=0.1,
)
FABRIC = Fabric(
    "felt", ((0.0, 0.003),), 0.85, 1e4, 1e4, 1.3, 1.3, 0.01, 1.5, price=40.0, source="invented"
)
RESIN = Resin(
    "epoxy", 1150.0, 1000.0, 1100.0, 0.5, 2.5, (), (), 2e9, 4e7, 0.5, (), price=20.0,
    source="invented",
)  # fmt: skip
JOB = Quantities(
    collars=10,
    fabric_area=8.0,
    resin_packs=12,
    resin_mass=30.0,
    shifts=3,
    tests=10,
    make_ready=(("re-cut", 2), ("roots", 1)),
    close_offs=1,
    look_agains=4,
)


def priced(quantities: Quantities = JOB, rates: Rates = RATES) -> Quote:
    return quote(quantities, rates=rates, fabric=FABRIC, resin=RESIN)


def test_a_job_priced_by_hand() -> None:
    found = priced()
    # look again 120, make ready 150 + 60, collars 1200, fabric 320, resin 600, shifts 5400,
    # tests 450, close off 90
    assert found.net == 8390.0
    assert (found.overhead, found.total) == (839.0, 9229.0)
    # (1200 + 320 + 600 + 5400 + 450) * 1.1 / 10 collars = 876.70, four times
    assert found.if_open_sealed == 9229.0 + 4 * 876.70
    assert [line.item for line in found.lines] == [
        "Look again",
        "Make ready: re-cut",
        "Make ready: roots",
        "Collar, made up",
        "Fabric felt",
        "Resin epoxy",
        "Shift of a crew",
        "Leak test and record",
        "Close off",
    ]
    assert found.lines[5].note == "12 packs, opened whole"


def test_nothing_costs_nothing() -> None:
    empty = priced(Quantities())
    assert (empty.lines, empty.total, empty.if_open_sealed) == ((), 0.0, 0.0)


def test_without_a_seal_there_is_no_average() -> None:
    found = priced(Quantities(look_agains=5))
    assert found.if_open_sealed == found.total == 165.0


def test_halves_go_up() -> None:
    assert [money(x) for x in (0.005, 1.005, 2.675, 10.0)] == [0.01, 1.01, 2.68, 10.0]


def test_refusals() -> None:
    for bad in (
        Quantities(collars=-1),
        Quantities(fabric_area=math.nan),
        Quantities(make_ready=(("roots", -2),)),
    ):
        with pytest.raises(InputError, match="no quantity"):
            priced(bad)
    with pytest.raises(UnknownNameError, match="re-cut, roots"):
        priced(Quantities(make_ready=(("descale", 1),)))
    with pytest.raises(InputError, match="no rate"):
        priced(rates=replace(RATES, shift=-1.0))
    with pytest.raises(InputError, match="overhead"):
        priced(rates=replace(RATES, overhead=math.inf))


counts = st.integers(0, 300)
amounts = st.floats(0.0, 1e4)


@settings(max_examples=60, deadline=None)
@given(
    st.builds(
        Quantities,
        collars=counts,
        fabric_area=amounts,
        resin_packs=counts,
        resin_mass=amounts,
        shifts=counts,
        tests=counts,
        close_offs=counts,
        look_agains=counts,
    )
)
def test_the_printed_page_adds_up(quantities: Quantities) -> None:
    found = priced(quantities)
    cents = [Decimal(str(line.sum)) for line in found.lines]
    assert sum(cents, Decimal(0)) == Decimal(str(found.net))
    assert Decimal(str(found.net)) + Decimal(str(found.overhead)) == Decimal(str(found.total))
    for line in found.lines:
        assert abs(line.sum - line.quantity * line.rate) <= 0.005 + 1e-9 * line.sum
        assert line.note
    assert found.if_open_sealed >= found.total


def test_a_product_is_that_of_the_printed_decimals() -> None:
    # 163.705 exactly; as binary fractions it comes out a little less
    assert product(11.29, 14.5) == 163.71
    assert money(11.29 * 14.5) == 163.70


@given(st.integers(0, 10**6), st.integers(0, 10**5))
@settings(max_examples=50, deadline=None)
def test_a_product_agrees_with_whole_cents(quantity: int, rate: int) -> None:
    exact, rest = divmod(quantity * rate, 100)
    assert product(quantity / 100, rate / 100) == (exact + (rest >= 50)) / 100

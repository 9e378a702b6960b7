"""When an outlay has paid back: exercises of corporate finance and of a library's manual."""

import pytest

from support import Check, Standing
from teewright.price.payback import (
    discounted_payback,
    present_value,
    simple_payback,
)

PERPETUITY = "Course page on capital budgeting: 400 spent, 100 a year, 20 % a year"
EVEN = "Exercise of engineering economy: 100 000 spent, 27 000 a year, 12 % a year"
MANUAL = "NumPy reference 1.17, function nper"
SECONDARY: Standing = "published, read in a secondary source"
PRINTED = "half of the last digit printed"
LOAN = 0.07 / 12.0


def years(found: float | None) -> float:
    assert found is not None
    return found


CHECKS: tuple[Check, ...] = (
    Check(
        "payback without discount",
        PERPETUITY,
        "'four years'",
        SECONDARY,
        4.0,
        "a",
        1e-9,
        "exact",
        lambda: years(simple_payback(400.0, 100.0)),
    ),
    Check(
        "payback at 20 %",
        PERPETUITY,
        "'a little less than nine years'",
        SECONDARY,
        8.75,
        "a",
        0.25,
        "the source has it in words: taken as 8.5 to 9",
        lambda: years(discounted_payback(400.0, 100.0, 0.20)),
    ),
    Check(
        "payback of even savings at 12 %",
        EVEN,
        "answer; it counts the savings at the ends of the years",
        SECONDARY,
        5.19,
        "a",
        0.005,
        PRINTED,
        lambda: years(discounted_payback(100_000.0, 27_000.0, 0.12)),
    ),
    Check(
        "months until a loan of 8000 is paid off by 150 at 7 %/12",
        MANUAL,
        "first example",
        "published",
        64.07335,
        "months",
        5e-6,
        PRINTED,
        lambda: years(discounted_payback(8000.0, 150.0, LOAN)),
    ),
    Check(
        "loan of 200 000 over 15 years at 7.5 %/12, from its payment",
        "NumPy reference 1.3, function pmt",
        "first example: 1854.0247200054619 a month",
        "published",
        200_000.0,
        "money",
        1e-3,
        "rounding of floats only",
        lambda: present_value(1854.0247200054619, 0.075 / 12.0, 180),
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

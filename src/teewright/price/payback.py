"""When a seal has paid for itself by the groundwater that it keeps out."""

import math
from dataclasses import dataclass

from teewright.numerics.limits import within
from teewright.price.water import Saving, amount_of

DISCOUNT = (0.0, 0.5)
"""Rates of discount a year [-]."""
LIFE = (0.0, 200.0)
"""Lives of a seal [a]."""
ANNUITY = "present value of even savings at the ends of the years"


@dataclass(frozen=True, slots=True)
class Payback:
    """When a seal has paid for itself.

    Attributes:
        cost: Of the seal.
        yearly: Saved a year.
        discount: Rate a year [-].
        life: Of the seal [a].
        simple: Cost over yearly saving [a]; None where nothing is saved.
        discounted: With each saving worth less the later it comes [a]; None where never.
        within_life: Whether the discounted payback comes within the life.
        present_value: Of all savings in whole years of the life, less the cost.
        text: One sentence for the list.
    """

    cost: float
    yearly: float
    discount: float
    life: float
    simple: float | None
    discounted: float | None
    within_life: bool
    present_value: float
    text: str


def simple_payback(cost: float, yearly: float) -> float | None:
    """Years after which even savings equal the cost, C/S; None where nothing is saved.

    Raises:
        InputError: An amount that is negative or no number.
    """
    amount_of("cost", cost)
    years = cost / yearly if amount_of("yearly saving", yearly) > 0.0 else math.inf
    return years if years < math.inf else None


def discounted_payback(cost: float, yearly: float, discount: float) -> float | None:
    """Years after which the present value of even savings equals the cost.

    n = -ln(1 - C i/S)/ln(1 + i), from C = S [1 - (1 + i)^-n]/i (annuity, textbooks of
    engineering economy); savings fall due at the ends of the years, and a broken year counts
    as a power of 1 + i. Without discount it is C/S.

    Args:
        cost: C, at the start.
        yearly: S.
        discount: Rate a year, i [-].

    Returns:
        Years, or None where the savings never reach the cost (C i >= S).

    Raises:
        InputError: An amount that is negative or no number.
        RangeError: A rate outside 0 to 0.5.
    """
    within(discount, DISCOUNT, quantity="rate of discount", unit="-", law=ANNUITY)
    simple = simple_payback(cost, yearly)
    if simple is None:
        return None
    left = 1.0 - simple * discount
    if not left > 0.0:
        return None
    # below this the rate changes nothing that a double can hold, and 0/0 is near
    if discount < 1e-12:
        return simple
    return -math.log1p(-simple * discount) / math.log1p(discount)


def present_value(yearly: float, discount: float, years: int) -> float:
    """Present value of even savings at the ends of the years, S [1 - (1 + i)^-n]/i.

    Args:
        yearly: S.
        discount: Rate a year, i [-].
        years: n.

    Returns:
        Value at the start.

    Raises:
        InputError: An amount that is negative or no number.
        RangeError: A rate outside 0 to 0.5.
    """
    within(discount, DISCOUNT, quantity="rate of discount", unit="-", law=ANNUITY)
    within(years, LIFE, quantity="years", unit="a", law=ANNUITY)
    amount_of("yearly saving", yearly)
    if discount < 1e-12:
        return yearly * years
    return -yearly * math.expm1(-years * math.log1p(discount)) / discount


def payback(cost: float, found: Saving, *, discount: float, life: float) -> Payback:
    """When a seal has paid for itself, without and with discount, and what it is worth.

    Prices are taken as constant: use a real rate, without inflation.

    Args:
        cost: Of the seal, in the currency of the saving.
        found: What it saves a year.
        discount: Real rate a year [-].
        life: Of the seal [a]; a broken last year saves nothing in `present_value`.

    Returns:
        Both paybacks and the present value.

    Raises:
        InputError: An amount that is negative or no number.
        RangeError: Rate or life outside its range.
    """
    within(life, LIFE, quantity="life of the seal", unit="a", law=ANNUITY)
    simple = simple_payback(cost, found.yearly)
    later = discounted_payback(cost, found.yearly, discount)
    inside = later is not None and later <= life
    worth = present_value(found.yearly, discount, math.floor(life)) - cost
    return Payback(
        cost=cost,
        yearly=found.yearly,
        discount=discount,
        life=life,
        simple=simple,
        discounted=later,
        within_life=inside,
        present_value=worth,
        text=_text(simple, later, discount=discount, life=life),
    )


def _text(simple: float | None, later: float | None, *, discount: float, life: float) -> str:
    if simple is None:
        return "does not pay back by the water that it keeps out: nothing is saved"
    rate = f"{100.0 * discount:g} %"
    if later is None:
        return f"pays back in {simple:.1f} years without discount, never at {rate} a year"
    verdict = "within" if later <= life else "not within"
    return (
        f"pays back in {simple:.1f} years, {later:.1f} at {rate} a year, {verdict} its life of "
        f"{life:g} years"
    )

"""Quantities and price."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line of a quotation.

    Attributes:
        item: What.
        quantity: How many.
        unit: `each`, `m2`, `kg`, `pack`, `shift`.
        rate: Price of one unit.
        sum: quantity * rate.
        note: Where the quantity came from.
    """

    item: str
    quantity: float
    unit: str
    rate: float
    sum: float
    note: str


@dataclass(frozen=True, slots=True)
class Quote:
    """A quotation.

    Attributes:
        currency: Three letters.
        lines: In the order of the work.
        net: Sum of the lines.
        overhead: Added to it.
        total: Without tax.
        if_open_sealed: Total if every connection still open were sealed too.
    """

    currency: str
    lines: tuple[QuoteLine, ...]
    net: float
    overhead: float
    total: float
    if_open_sealed: float

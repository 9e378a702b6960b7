"""Traced numbers: a value with its symbol, unit, formula and where it came from.

Each calculation returns its rows in the order in which an engineer checks them; the pack
prints them beside the result.
"""

from dataclasses import dataclass
from enum import StrEnum


class Origin(StrEnum):
    """Where a number came from."""

    INPUT = "input"
    TABLE = "table"
    ASSUMED = "assumed"
    COMPUTED = "computed"


@dataclass(frozen=True, slots=True)
class TraceRow:
    """One number of a calculation.

    Attributes:
        quantity: Plain name, e.g. `"water pressure at the crown"`.
        symbol: Symbol of the nomenclature page.
        value: Value in SI units (a clock position in hours).
        shown_in: Unit in which it is shown, a key of `teewright.units.SHOWN`.
        formula: How it was found, in plain signs, or `""` for an input.
        source: Author, standard and clause, or the file it was given in.
        origin: Input, table, assumed or computed.
    """

    quantity: str
    symbol: str
    value: float
    shown_in: str
    formula: str = ""
    source: str = ""
    origin: Origin = Origin.COMPUTED

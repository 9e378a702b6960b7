"""What a list is: columns with their units, rows of cells."""

import math
from dataclasses import dataclass
from datetime import datetime

Cell = None | bool | int | float | str | datetime
"""What a cell holds; None where it is not known."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a list.

    Attributes:
        head: With the unit, e.g. `chainage, m`.
        decimals: Of its numbers.
    """

    head: str
    decimals: int = 2


@dataclass(frozen=True, slots=True)
class Listed:
    """One list.

    Attributes:
        name: Of the file and of the sheet.
        columns: In order.
        rows: One cell for each column.
    """

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


def columns(*heads: str | tuple[str, int]) -> tuple[Column, ...]:
    """Columns from their heads, with their decimals where these are not two."""
    return tuple(Column(h) if isinstance(h, str) else Column(*h) for h in heads)


def scaled(value: float | None, unit: float) -> float | None:
    """A value in a unit, or None where it is not known."""
    return None if value is None else value / unit


def degrees(angle: float | None) -> float | None:
    """An angle in degrees, or None where it is not known."""
    return None if angle is None else math.degrees(angle)

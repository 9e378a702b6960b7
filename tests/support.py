"""A published check: one number from outside the project, with its source."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Standing = Literal[
    "published",
    "published, read in a secondary source",
    "value from memory",
    "common practice, no source",
]


@dataclass(frozen=True, slots=True)
class Check:
    """One number from outside, and how the package finds it.

    Attributes:
        name: What is checked, unique in its file.
        source: Author, title, year, or standard.
        where: Clause, page, table, row or example.
        standing: How well the source is known.
        expected: The number from outside, in `unit`.
        unit: Unit of it.
        tolerance: Largest difference allowed, in `unit`.
        why: Reason for the tolerance.
        compute: Finds the same number with the package, in `unit`.
    """

    name: str
    source: str
    where: str
    standing: Standing
    expected: float
    unit: str
    tolerance: float
    why: str
    compute: Callable[[], float]

    def verify(self) -> None:
        """Fail with both numbers where they differ by more than the tolerance."""
        found = self.compute()
        assert abs(found - self.expected) <= self.tolerance, (
            f"{self.name}: found {found:.6g} {self.unit}, {self.source} ({self.where}) has "
            f"{self.expected:.6g} ± {self.tolerance:.2g}"
        )

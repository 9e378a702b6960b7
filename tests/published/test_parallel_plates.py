"""Laminar flow between parallel plates: Som, example 6.1."""

import pytest

from support import Check
from teewright.hydraulics.thin_gap import mean_velocity

GAP, VISCOSITY, GRADIENT = 0.010, 0.1, 19_200.0


def som(name: str, expected: float, unit: str, found: float) -> Check:
    return Check(
        name,
        "Som, Introduction to Heat Transfer",
        "example 6.1",
        "published, read in a secondary source",
        expected,
        unit,
        1e-4 * expected,
        "the law is exact and the numbers are round",
        lambda: found,
    )


CHECKS: tuple[Check, ...] = (
    som("mean velocity between plates", 1.60, "m/s", mean_velocity(GRADIENT, GAP, VISCOSITY)),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Allowances of leakage in American and metric units."""

import pytest

from support import Check
from teewright.hydraulics.leakage import (
    GALLON_PER_DAY_INCH_MILE,
    GALLON_PER_DAY_MILE,
    LITRE_PER_DAY_MM_KM,
    LITRE_PER_SECOND_KM,
)

HANDBOOK = "Handbook of civil engineering formulas"
LIN = "Lin, Water and Wastewater Calculations Manual"


def row(name: str, source: str, expected: float, unit: str, half: float, found: float) -> Check:
    return Check(
        name,
        source,
        "infiltration of sewers" if source == HANDBOOK else "leakage of new water mains",
        "published, read in a secondary source",
        expected,
        unit,
        half,
        "half of the last digit printed",
        lambda: found,
    )


PER_MILE = GALLON_PER_DAY_MILE / LITRE_PER_SECOND_KM
PER_INCH = GALLON_PER_DAY_INCH_MILE / LITRE_PER_DAY_MM_KM

CHECKS: tuple[Check, ...] = (
    row("5000 gal/(d mi), careful work", HANDBOOK, 0.14, "l/(s km)", 0.005, 5e3 * PER_MILE),
    row("100 000 gal/(d mi), poor work", HANDBOOK, 2.7, "l/(s km)", 0.05, 1e5 * PER_MILE),
    row("60 gal/(d in mi)", LIN, 5.6, "l/(d mm km)", 0.05, 60.0 * PER_INCH),
    row("250 gal/(d in mi)", LIN, 23.2, "l/(d mm km)", 0.05, 250.0 * PER_INCH),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

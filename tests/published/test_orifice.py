"""A measured flow through a sharp-edged hole."""

import math

import pytest

from support import Check
from teewright.hydraulics.orifice import orifice_flow


def round_hole(diameter: float) -> float:
    return math.pi * diameter**2 / 4.0


CHECKS: tuple[Check, ...] = (
    Check(
        "20 mm hole under 1 m of water",
        "Textbook companion no. 2132, fluid mechanics",
        "example 6.7 (measured flow; its printed coefficient was not seen)",
        "published, read in a secondary source",
        0.85,
        "l/s",
        0.005,
        "half of the last digit printed; the coefficient 0.61 is a value from memory",
        lambda: 1e3 * orifice_flow(round_hole(0.020), 1.0),
    ),
    Check(
        "60 mm hole under 6 m of water",
        "Exercise of fluid mechanics: contraction 0.68, velocity 0.92",
        "answer",
        "published, read in a secondary source",
        0.0192,
        "m3/s",
        0.00005,
        "half of the last digit printed",
        lambda: orifice_flow(round_hole(0.060), 6.0, coefficient=0.68 * 0.92),
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

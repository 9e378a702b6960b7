"""Resin in a felt tube, against a chart of wet-out weights."""

import math
from dataclasses import replace

import pytest

from support import Check
from teewright.resin.amount import amount
from teewright.resin.amount_values import Panel
from teewright.units import FOOT, INCH
from unit.resin.samples import RESIN

POUND = 0.45359237


SAMPLE_RESIN = replace(RESIN, density=1200.0)


def weight(diameter_in: float, wall_mm: float) -> float:
    wall = wall_mm / 1e3
    girth = math.pi * (diameter_in * INCH - wall)
    whole = (Panel("tube", girth, wall),)
    mass = amount(whole, SAMPLE_RESIN, void_fraction=0.85, fibre_density=1380.0, loss=0.0).mass
    return mass * FOOT / POUND


def piecewise(diameter_in: float, wall_mm: float) -> float:
    """The same from two halves of the tube, each a formed panel."""
    wall = wall_mm / 1e3
    half = math.pi * (diameter_in * INCH - wall) / 2.0
    panels = tuple(Panel(name, half, wall) for name in ("upper half", "lower half"))
    mass = amount(panels, SAMPLE_RESIN, void_fraction=0.85, fibre_density=1380.0, loss=0.0).mass
    return mass * FOOT / POUND


def panels_row(diameter_in: float, wall_mm: float, expected: float) -> Check:
    plain = row(diameter_in, wall_mm, expected)
    return replace(
        plain,
        name=f"resin in two panels of a {diameter_in:.0f} in tube of {wall_mm} mm",
        compute=lambda: piecewise(diameter_in, wall_mm),
    )


def row(diameter_in: float, wall_mm: float, expected: float) -> Check:
    return Check(
        f"resin in a {diameter_in:.0f} in tube of {wall_mm} mm",
        "Training slides for inspectors of linings: 85 % resin, 15 % felt; chart of weights",
        f"{diameter_in:.0f} in, {wall_mm} mm",
        "published, read in a secondary source",
        expected,
        "lb/ft",
        0.04 * expected,
        "4 %: density not stated, 1.2 kg/l taken; columns of the chart inferred",
        lambda: weight(diameter_in, wall_mm),
    )


CHECKS: tuple[Check, ...] = (
    row(8.0, 3.0, 1.3),
    row(8.0, 6.0, 2.6),
    row(10.0, 6.0, 3.3),
    row(10.0, 9.0, 4.8),
    panels_row(8.0, 4.5, 2.0),
    panels_row(8.0, 7.5, 3.2),
    panels_row(8.0, 9.0, 3.8),
    panels_row(10.0, 4.5, 2.5),
    panels_row(10.0, 7.5, 4.0),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

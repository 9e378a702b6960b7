"""A sewer running at three tenths of its depth: Fair, Geyer & Okun, example 13.4."""

import pytest

from support import Check
from teewright.hydraulics.part_full import (
    manning_flow,
    manning_velocity,
    part_full,
)
from teewright.units import FOOT, INCH

SOURCE = "Fair, Geyer & Okun, Water and Wastewater Engineering"
WHERE = "example 13.4, p. 467"
D, S, N = 8.0 * INCH, 5.20e-3, 0.013
DEPTH, RATIO = 0.3, 0.78
PRINTED = "half of the last digit printed"
ROUNDED = "the book goes on with V rounded to 2.5 ft/s"


def fgo(name: str, expected: float, unit: str, tolerance: float, why: str, found: float) -> Check:
    return Check(name, SOURCE, WHERE, "published", expected, unit, tolerance, why, lambda: found)


def cubic_feet(flow: float) -> float:
    return flow / FOOT**3


AT = part_full(DEPTH)
VARIED = part_full(DEPTH, roughness_ratio=RATIO)
FULL_V = manning_velocity(D, S, N) / FOOT
FULL_Q = cubic_feet(manning_flow(D, S, N))

CHECKS: tuple[Check, ...] = (
    fgo("area ratio at 0.3 of the depth", 0.252, "-", 0.0005, PRINTED, AT.area),
    fgo("radius ratio at 0.3 of the depth", 0.684, "-", 0.0005, PRINTED, AT.radius),
    fgo("velocity ratio at 0.3 of the depth", 0.776, "-", 0.0005, PRINTED, AT.velocity),
    fgo("flow ratio at 0.3 of the depth", 0.196, "-", 0.0005, PRINTED, AT.flow),
    fgo("velocity of the full 8 in sewer", 2.5, "ft/s", 0.05, PRINTED, FULL_V),
    fgo("flow of the full 8 in sewer", 0.873, "ft3/s", 0.003, ROUNDED, FULL_Q),
    fgo("part-full velocity, n constant", 1.94, "ft/s", 0.006, ROUNDED, AT.velocity * FULL_V),
    fgo("part-full flow, n constant", 0.171, "ft3/s", 0.0007, ROUNDED, AT.flow * FULL_Q),
    fgo("part-full velocity, n varied", 1.51, "ft/s", 0.006, ROUNDED, VARIED.velocity * FULL_V),
    fgo("part-full flow, n varied", 0.133, "ft3/s", 0.0007, ROUNDED, VARIED.flow * FULL_Q),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

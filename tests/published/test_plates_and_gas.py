"""A round plate held at its edge, gas that bursts out, and a square-edged entry."""

import math

import pytest

from support import Check
from teewright.pressure.stored import adiabatic_energy
from teewright.wall.f1216 import span_thickness

HANDBOOK = "Mechanical Engineer's Data Handbook, sec. 1.10, Loaded flat plates"
STORED = "ASME PCC-2, mandatory appendix 501-II, quoted by a page on pneumatic tests"


def stress_factor() -> float:
    """s t^2 / (P r^2) that the hole-span equation has for a plate of no curvature."""
    diameter, hole, pressure, strength = 1.0, 0.01, 100e3, 1e9
    ratio = diameter / span_thickness(pressure, diameter, hole, strength, safety_factor=1.0)
    # the equation counts D/t - 1, which a flat plate does not know
    thickness = diameter / (ratio - 1.0)
    return strength * thickness**2 / (pressure * (hole / 2.0) ** 2)


def printed_energy(gauge: float, volume: float) -> float:
    """E = 2.5 P_t V [1 - (P_a/P_t)^0.286], P_a 101 000 Pa, as printed."""
    absolute = gauge + 101_000.0
    left = math.pow(101_000.0 / absolute, 0.286)
    return 2.5 * absolute * volume * (1.0 - left)


def stored(gauge_bar: float, litres: float) -> Check:
    expected = printed_energy(gauge_bar * 1e5, litres / 1e3) / 1e3
    return Check(
        f"energy of {litres:.0f} l of air at {gauge_bar} bar",
        STORED,
        "eq. II-2 with its rounded constants",
        "published, read in a secondary source",
        expected,
        "kJ",
        0.004 * expected,
        "0.4 %: the source rounds the atmosphere to 101 000 Pa and the exponent to 0.286",
        lambda: adiabatic_energy(gauge_bar * 1e5, litres / 1e3) / 1e3,
    )


CHECKS: tuple[Check, ...] = (
    Check(
        "largest stress of a clamped round plate, s t^2/(P r^2)",
        HANDBOOK,
        "p. 53, uniform load, clamped edge: 3 p r^2/(4 t^2)",
        "published",
        0.75,
        "-",
        0.0006,
        "F1216 prints 4/0.75 as 5.33",
        stress_factor,
    ),
    stored(1.0, 40.0),
    stored(1.8, 100.0),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Full pipes after Colebrook and White, from published calculations of drains."""

import math

import pytest

from support import Check
from teewright.hydraulics.colebrook import colebrook_velocity

VISCOSITY = 1.005e-6
SHEET = "Calculation of drain pipes after the Sewerage Manual, Drainage Services Department"
WHY = "0.1 %: hand rounding; the viscosity of the sheet is not stated, 1.0 to 1.1e-6 m2/s fits"


def full_flow(diameter: float, one_in: float, roughness: float) -> float:
    velocity = colebrook_velocity(
        diameter, 1.0 / one_in, roughness, kinematic_viscosity=VISCOSITY, constant=2.5
    )
    return 1e3 * velocity * math.pi * diameter**2 / 4.0


def row(diameter_mm: float, one_in: float, k_mm: float, flow: float) -> Check:
    return Check(
        f"DN{diameter_mm:.0f} at 1:{one_in:.0f}, k {k_mm} mm",
        SHEET,
        "summary table",
        "published, read in a secondary source",
        flow,
        "l/s",
        1e-3 * flow,
        WHY,
        lambda: full_flow(diameter_mm / 1e3, one_in, k_mm / 1e3),
    )


CHECKS: tuple[Check, ...] = (
    Check(
        "1.2 m pipe at 1:250, k 0.60 mm",
        "Worked example of the Colebrook-White equation for drains",
        "constant 2.5, viscosity 1.005e-6 m2/s",
        "published, read in a secondary source",
        2.363,
        "m/s",
        0.0024,
        "0.1 %: hand rounding",
        lambda: colebrook_velocity(
            1.2, 1.0 / 250.0, 0.6e-3, kinematic_viscosity=VISCOSITY, constant=2.5
        ),
    ),
    row(900.0, 150.0, 0.6, 1625.9),
    row(375.0, 60.0, 0.6, 258.7),
    row(300.0, 200.0, 0.6, 78.3),
    row(450.0, 200.0, 0.6, 228.0),
    row(400.0, 300.0, 3.0, 109.1),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Laminar flow between parallel plates: Som, example 6.1."""

import pytest

from support import Check
from teewright.hydraulics.thin_gap import peak_velocity, pressure_gradient, wall_shear

GAP, MEAN, VISCOSITY = 0.010, 1.60, 0.1


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
    som("largest velocity between plates", 2.4, "m/s", peak_velocity(MEAN)),
    som("pressure gradient", 19_200.0, "N/m3", pressure_gradient(MEAN, GAP, VISCOSITY)),
    som("pressure drop over 2 m", 38_400.0, "N/m2", 2.0 * pressure_gradient(MEAN, GAP, VISCOSITY)),
    som("shear stress on the wall", 96.0, "N/m2", wall_shear(MEAN, GAP, VISCOSITY)),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

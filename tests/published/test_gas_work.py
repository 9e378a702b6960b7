"""Work of a gas that expands to the atmosphere, from worked exercises."""

import pytest

from support import Check, Standing
from teewright.pressure.stored import ATMOSPHERE, adiabatic_energy, isothermal_energy

SECONDARY: Standing = "published, read in a secondary source"
VOLUME = 2.0 * 8.314 * 300.0 / (3.0 * ATMOSPHERE)
"""Of 2 mol at 300 K and three atmospheres [m3]; it grows threefold on expanding to one."""

CHECKS: tuple[Check, ...] = (
    Check(
        "isothermal work of 2 mol at 300 K, volume tripled",
        "Worked exercise of school physics, isothermal expansion",
        "exercise 1: from 2 l to 6 l, R = 8.314 J/(mol K)",
        SECONDARY,
        5480.0,
        "J",
        5.0,
        "half of the last digit that counts",
        lambda: isothermal_energy(2.0 * ATMOSPHERE, VOLUME),
    ),
    Check(
        "adiabatic work over p V, pressure falling to 1/11.32",
        "Exercise of school physics, adiabatic expansion of an ideal gas",
        "answer 1.25 P V: volume times 5.66, temperature halved",
        SECONDARY,
        1.25,
        "-",
        0.005,
        "half of the last digit printed",
        lambda: adiabatic_energy(10.32 * ATMOSPHERE, 0.01) / (11.32 * ATMOSPHERE * 0.01),
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Properties of water that the formulas take."""

import pytest

from support import Check
from teewright.hydraulics.colebrook import WATER_10_CELSIUS as KINEMATIC
from teewright.hydraulics.thin_gap import WATER_10_CELSIUS as DYNAMIC
from teewright.units import WATER_DENSITY

SOURCE = "Encyclopedia of Environmental Science and Engineering, appendix, table 2"
WHERE = "10 degrees, from the International Critical Tables, 1928 and 1929"


def water(name: str, expected: float, unit: str, tolerance: float, why: str, at: float) -> Check:
    return Check(
        name,
        SOURCE,
        WHERE,
        "published, read in a secondary source",
        expected,
        unit,
        tolerance,
        why,
        lambda: at,
    )


THREE = "the package keeps three digits"
CHECKS: tuple[Check, ...] = (
    water("dynamic viscosity", 1.3097, "mPa s", 0.005, THREE, 1e3 * DYNAMIC),
    water("kinematic viscosity", 1.3101, "mm2/s", 0.005, THREE, 1e6 * KINEMATIC),
    water(
        "density", 999.73, "kg/m3", 0.5, "the package takes 1000: 0.03 %, safe side", WATER_DENSITY
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Effective stress over a pipe: textbook layers of sand with a water table.

The first source prints 81.33 kPa for the difference of its 157 and 68.67 kPa: a slip of the pen,
left out here.
"""

import pytest

from support import Check
from teewright.pressure.host import Confinement, Ground, confinement

ANSWER = "Question and answer of a course in geotechnical engineering, effective stress principle"
COURSE = "Course ENF 1170, solutions to assignment 8"
PRINTED = "half of the last digit printed; both take 9.81 kN/m3 for water"


def at(depth: float, water_depth: float, dry: float, saturated: float) -> Confinement:
    """Stresses at a depth [m] below ground, the water table at another; weights in kN/m3."""
    return confinement(
        Ground(
            head=depth - water_depth + 0.3,
            host_diameter=0.3,
            cover=depth,
            host_cracked=None,
            soil_weight=dry * 1e3,
            soil_weight_saturated=saturated * 1e3,
        )
    )


SAND = at(8.0, 1.0, 17.0, 20.0)


def row(name: str, source: str, where: str, expected: float, found: float) -> Check:
    return Check(
        name,
        source,
        where,
        "published, read in a secondary source",
        expected,
        "kPa",
        0.005,
        PRINTED,
        lambda: found / 1e3,
    )


CHECKS: tuple[Check, ...] = (
    row("water pressure 7 m under the table", ANSWER, "8 m of sand", 68.67, SAND.water),
    row("total stress at 8 m", ANSWER, "8 m of sand", 157.0, SAND.total),
    row("water at the ground, 4 m down", COURSE, "b", 38.76, at(4.0, 0.0, 19.5, 19.5).soil),
    row("water 2 m down, 4 m down", COURSE, "c", 58.38, at(4.0, 2.0, 19.5, 19.5).soil),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Stress of a sound ring under pressure from inside."""

import pytest

from support import Check
from teewright.pressure.limits import PipeWall, ring_pressure

CHECKS: tuple[Check, ...] = (
    Check(
        "pressure at 250 MPa in a thin cylinder of radius 500 mm and 10 mm wall",
        "Exercise of an entrance examination, strength of materials: thin cylinder",
        "answer: option 2",
        "published, read in a secondary source",
        5.0,
        "MPa",
        0.05,
        "1 %: the exercise takes the mean stress, the greatest is higher by half the wall's share "
        "of the radius",
        lambda: ring_pressure(PipeWall(1.0, 0.010, 250e6, 1.0, "exercise")) / 1e6,
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

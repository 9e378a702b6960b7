"""Mean stress of a ring under pressure from inside."""

import pytest

from support import Check
from teewright.pressure.host import hoop_stress

CHECKS: tuple[Check, ...] = (
    Check(
        "thin cylinder of radius 500 mm and 10 mm wall under 5 MPa",
        "Exercise of an entrance examination, strength of materials: thin cylinder",
        "answer: option 2",
        "published, read in a secondary source",
        250.0,
        "MPa",
        1e-6,
        "the law is exact and the numbers are round",
        lambda: hoop_stress(5e6, 1.0, 0.010) / 1e6,
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Times of cure at other temperatures."""

import pytest

from support import Check
from teewright.resin.times import arrhenius_time
from teewright.units import kelvin

CHECKS: tuple[Check, ...] = (
    Check(
        "95 % cure of an epoxy adhesive at 170 degrees, from 150 and 200",
        "Application note of thermal analysis on an epoxy adhesive",
        "predicted times to 95 %: 16.4, 9.2 and 4.2 min",
        "published, read in a secondary source",
        9.2,
        "min",
        0.1,
        "the outer two times are printed to 0.1 min, 1 to 2 %",
        lambda: arrhenius_time(((kelvin(150.0), 16.4), (kelvin(200.0), 4.2)), kelvin(170.0)),
    ),
    Check(
        "gel time at 30 degrees from 25 min at 20 and a rate that doubles every 10 K",
        "Guide to composites",
        "gel time against temperature: 25 min at 20, about 12 min at 30",
        "published, read in a secondary source",
        12.0,
        "min",
        0.6,
        "the guide says 'about 12'",
        lambda: arrhenius_time(((kelvin(20.0), 25.0), (kelvin(40.0), 25.0 / 4.0)), kelvin(30.0)),
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

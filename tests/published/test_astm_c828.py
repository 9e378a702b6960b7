"""ASTM C828-06: times of a low-pressure air test on clay pipe.

The allowed loss of 4 ft3/min for 15 in was read in the standard; 2 ft3/min for 4 and 8 in is a
value from memory, so the checks that need it are marked so.
"""

import pytest

from support import Check, Standing
from teewright.proof.c828 import CUBIC_FOOT_PER_MINUTE, air_loss, least_time
from teewright.units import FOOT, INCH, MINUTE

SOURCE = "ASTM C828-06"
PUBLISHED: Standing = "published"
MEMORY: Standing = "value from memory"
TENTH = "half of the last digit printed"
TABLED = "the printed time is a tabled tenth of a minute per 100 ft times the length"


def minutes(inches: float, feet: float, loss: float) -> float:
    time = least_time(inches * INCH, feet * FOOT, loss=loss * CUBIC_FOOT_PER_MINUTE)
    return time / MINUTE


CHECKS: tuple[Check, ...] = (
    Check(
        "15 in, 100 ft", SOURCE, "Table 1", PUBLISHED, 2.1, "min", 0.05, TENTH,
        lambda: minutes(15, 100, 4.0),
    ),
    Check(
        "4 in, 100 ft", SOURCE, "Table 1", MEMORY, 0.3, "min", 0.05, TENTH,
        lambda: minutes(4, 100, 2.0),
    ),
    Check(
        "8 in, 100 ft", SOURCE, "Table 1", MEMORY, 1.2, "min", 0.05, TENTH,
        lambda: minutes(8, 100, 2.0),
    ),
    Check(
        "15 in, 300 ft", SOURCE, "example X2", PUBLISHED, 6.3, "min", 0.15, TABLED,
        lambda: minutes(15, 300, 4.0),
    ),
    Check(
        "8 in, 350 ft", SOURCE, "example X2", MEMORY, 4.2, "min", 0.175, TABLED,
        lambda: minutes(8, 350, 2.0),
    ),
    Check(
        "4 in, 120 ft", SOURCE, "example X2", MEMORY, 0.4, "min", 0.06, TABLED,
        lambda: minutes(4, 120, 2.0),
    ),
    Check(
        "air loss of 15 in, 300 ft in 3.3 min", SOURCE, "example X2", PUBLISHED, 7.6,
        "ft3/min", 0.05, TENTH,
        lambda: air_loss(15 * INCH, 300 * FOOT, time=3.3 * MINUTE) / CUBIC_FOOT_PER_MINUTE,
    ),
)  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""ASTM F1417-11a (2015), Table 2: least times of a low-pressure air test, drop 0.5 psi."""

from collections.abc import Iterator
from functools import partial

import pytest

from support import Check
from teewright.proof.f1417 import least_time, length_of_least_time
from teewright.units import FOOT, INCH, PSI

SOURCE = "ASTM F1417-11a (2015)"
ROWS = {
    4: ("1:53", 597, ("1:53", "1:53", "1:53")),
    6: ("2:50", 398, ("2:50", "2:50", "2:51")),
    8: ("3:47", 298, ("3:47", "3:48", "5:04")),
    10: ("4:43", 239, ("4:43", "5:56", "7:54")),
    12: ("5:40", 199, ("5:42", "8:33", "11:24")),
    15: ("7:05", 159, ("8:54", "13:21", "17:48")),
    24: ("11:20", 99, ("22:48", "34:11", "45:35")),
}
"""D [in]: least time, length up to which it holds [ft], times at 200, 300 and 400 ft."""
PER_FOOT = {4: 0.190, 6: 0.427, 8: 0.760, 10: 1.187, 12: 1.709, 15: 2.671, 24: 6.837}
LENGTHS = ("200 ft", "300 ft", "400 ft")
ROUNDING = "the table rounds its constants and its seconds; 134 of its 136 cells agree as well"


def seconds(clock: str) -> float:
    minutes, rest = clock.split(":")
    return 60.0 * float(minutes) + float(rest)


def half_psi(inches: int, feet: float) -> float:
    return least_time(inches * INCH, feet * FOOT, drop=0.5 * PSI)


def longest(inches: int) -> float:
    return length_of_least_time(inches * INCH) / FOOT


def per_foot(inches: int) -> float:
    return half_psi(inches, 1000.0) / 1000.0


def rows() -> Iterator[Check]:
    for inches, (least, length, times) in ROWS.items():
        cells = (
            ("least", 1.0, least),
            *zip(("200", "300", "400"), (200, 300, 400), times, strict=True),
        )
        for name, feet, clock in cells:
            yield Check(
                f"{inches} in, {name}",
                SOURCE,
                f"Table 2, row {inches} in",
                "published",
                seconds(clock),
                "s",
                1.3,
                ROUNDING,
                partial(half_psi, inches, feet),
            )
        yield Check(
            f"{inches} in, length of the least time",
            SOURCE,
            f"Table 2, row {inches} in",
            "published",
            length,
            "ft",
            0.5,
            "half of the last digit printed",
            partial(longest, inches),
        )
        yield Check(
            f"{inches} in, per foot",
            SOURCE,
            f"Table 2, row {inches} in",
            "published",
            PER_FOOT[inches],
            "s/ft",
            0.0005 + 0.0002 * PER_FOOT[inches],
            "half of the last digit, and the rounding of the three-digit constants",
            partial(per_foot, inches),
        )


CHECKS: tuple[Check, ...] = tuple(rows())


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

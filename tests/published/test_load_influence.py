"""How much of a load on the surface reaches a pipe: a table against Newmark's integral.

The table is keyed by half sides over the depth. Its rows for long loads (1.5 and more) are
rounded more roughly, up to 0.0025, and one cell, 1.5 by 0.7, prints 0.650 for 0.655: no check
rests on those.
"""

import pytest

from support import Check
from teewright.wall.loads import load_influence

SOURCE = (
    "WPCF Manual of Practice FD-5 (1982), quoted in Najafi, Trenchless Technology Piping (2010)"
)


def cell(width: float, length: float, expected: float) -> Check:
    return Check(
        f"load influence, {width} by {length}",
        SOURCE,
        "Table 2.12, p. 72",
        "published, read in a secondary source",
        expected,
        "-",
        0.0006,
        "half of the last digit printed, and a little for rounding twice",
        lambda: load_influence(2.0 * width, 2.0 * length, 2.0),
    )


CHECKS: tuple[Check, ...] = (
    cell(0.1, 0.1, 0.019),
    cell(0.5, 0.1, 0.079),
    cell(0.2, 0.5, 0.155),
    cell(0.5, 0.5, 0.336),
    cell(2.0, 0.5, 0.540),
    cell(0.7, 0.7, 0.511),
    cell(0.3, 1.0, 0.318),
    cell(1.0, 1.0, 0.701),
    cell(2.0, 1.0, 0.800),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

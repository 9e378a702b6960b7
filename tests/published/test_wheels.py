"""Wheels on the road: Boussinesq's point load against published figures.

The table of a load spread over a rectangle is another integral of the same law (Newmark): here it
is put together from point loads. It was read in an online copy of the book, cells that are legible
in both of its halves.
"""

from collections.abc import Callable
from functools import partial

import numpy as np
import pytest

from support import Check
from teewright.units import FOOT, KPA
from teewright.wall.wheels import Wheels, impact_factor, wheel_pressure

MOSER = "Moser, Buried Pipe Design"
TABLE = {
    (0.1, 0.1): 0.019, (0.5, 0.5): 0.336, (1.0, 0.5): 0.481, (1.0, 1.0): 0.701,
    (2.0, 1.0): 0.800, (2.0, 2.0): 0.930,
}  # fmt: skip
"""Half length and half width over depth -> pressure at depth over pressure at the road [-]."""
DEPTH = 2.0
"""Any depth beyond the reach of rolling [m]."""


def spread(long: float, wide: float) -> float:
    """Pressure under the middle of a loaded rectangle over that on it [-]."""
    n = 200
    x, y = ((np.arange(n) + 0.5) / n * half * DEPTH for half in (long, wide))
    places = np.hypot(*np.meshgrid(x, y)).ravel()
    each = long * wide * DEPTH**2 / n**2  # of a quarter, loaded with 1 Pa
    above = wheel_pressure(Wheels(each), DEPTH)
    return 4.0 * (wheel_pressure(Wheels(each, tuple(places.tolist())), DEPTH) - above)


def impacts() -> tuple[Check, ...]:
    rows: tuple[tuple[str, float, float], ...] = (
        ("0 to 1 ft", 0.9, 1.5), ("1 to 2 ft", 1.9, 1.35), ("2 to 3 ft", 2.9, 1.15),
        ("over 3 ft", 3.1, 1.0),
    )  # fmt: skip
    return tuple(
        Check(
            f"impact on highways, {name}", MOSER, "p. 34, table 2.5",
            "published, read in a secondary source", factor, "-", 1e-9, "printed exactly",
            partial(impact_factor, feet * FOOT),
        )
        for name, feet, factor in rows
    )  # fmt: skip


def cell(sides: tuple[float, float]) -> Callable[[], float]:
    return partial(spread, *sides)


CHECKS: tuple[Check, ...] = (
    Check(
        "400 kN at 2 m", "GATE civil engineering, question on Boussinesq's point load",
        "solution printed", "published, read in a secondary source", 47.75, "kPa", 0.005,
        "half of the last digit printed",
        lambda: wheel_pressure(Wheels(400e3), 2.0) / KPA,
    ),
    *(
        Check(
            f"rectangle of {sides[0]:g} by {sides[1]:g} depths to each side", MOSER,
            "p. 36, table 2.6", "published, read in a secondary source", value, "-",
            0.0005, "half of the last digit printed",
            cell(sides),
        )
        for sides, value in TABLE.items()
    ),
    *impacts(),
)  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

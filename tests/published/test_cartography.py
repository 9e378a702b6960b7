"""The least spread of stretch of a map of a spherical cap, known since Milnor."""

import math

import pytest

from flat_shapes import cap
from support import Check
from teewright.flattening.solve import least_spread

MILNOR = "J. Milnor, A problem in cartography, Amer. Math. Monthly 76 (1969) 1101-1112"


def distortion(radius: float) -> float:
    """log of the largest over the smallest scale of the best map found, on a fine mesh."""
    pieces, flat = cap(radius, 16)
    return math.log(least_spread(pieces, flat, tolerance=0.005).ratio)


CHECKS: tuple[Check, ...] = tuple(
    Check(
        name=f"least distortion of a spherical cap of radius {radius:g}",
        source=MILNOR,
        where="theorem on the minimum distortion map of a round disc: log(a / sin a), "
        "azimuthal equidistant projection",
        standing="value from memory",
        expected=math.log(radius / math.sin(radius)),
        unit="-",
        tolerance=0.015 * math.log(radius / math.sin(radius)),
        why="mesh of 16 rings and a soft maximum; both go to zero with the mesh",
        compute=lambda radius=radius: distortion(radius),  # type: ignore[misc]
    )
    for radius in (0.4, 0.8, 1.2)
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()


def test_distortion_converges_from_above() -> None:
    pieces = [cap(0.8, rings) for rings in (4, 8, 16)]
    exact = math.log(0.8 / math.sin(0.8))
    errors = [math.log(least_spread(*p, tolerance=0.005).ratio) - exact for p in pieces]
    assert errors[0] > errors[1] > errors[2] > 0.0

"""Rings and tubes on their own: Moser's equations against F1216 X1.1 at K = C = N = 1."""

import pytest

from support import Check
from teewright.wall.f1216 import x1_1_pressure

E, T, R, V = 862e6, 0.006, 0.147, 0.3
SOURCE = "Moser, Buried Pipe Design"
WHY = "the two are the same equation: rounding only"


def bare(poisson: float) -> float:
    ratio = 2.0 * R / T + 1.0
    found = x1_1_pressure(
        ratio, E, poisson=poisson, ovality=0.0, safety_factor=1.0, enhancement=1.0
    )
    return found / 1e3


CHECKS: tuple[Check, ...] = (
    Check(
        "free ring, 3 E I / R^3",
        SOURCE,
        "eq. 3.13, p. 111",
        "published",
        3.0 * E * (T**3 / 12.0) / R**3 / 1e3,
        "kPa",
        1e-9,
        WHY,
        lambda: bare(0.0),
    ),
    Check(
        "long tube, E t^3 / (4 (1 - v^2) R^3)",
        SOURCE,
        "eq. 3.14, p. 111",
        "published",
        E * T**3 / (4.0 * (1.0 - V**2) * R**3) / 1e3,
        "kPa",
        1e-9,
        WHY,
        lambda: bare(V),
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Readings made from a law that is known, as a perfect or a noisy machine would give them."""

import math
from collections.abc import Iterable, Sequence

import numpy as np

from teewright.fabric.law import FabricLaw
from teewright.fabric.values import Direction, StripReading

LAW = FabricLaw(stiffness_across=9e3, stiffness_along=15e3, poisson=0.35, shear=4e3)
STRETCHES = tuple(np.linspace(1.0, 1.24, 13).tolist())
ANGLE = {Direction.ALONG: 0.0, Direction.ACROSS: math.pi / 2.0, Direction.BIAS: math.pi / 4.0}


def strip(
    direction: Direction,
    name: str = "1",
    *,
    law: FabricLaw = LAW,
    stretches: Iterable[float] = STRETCHES,
    width: float = 0.05,
    gauge: float = 0.2,
    factor: float = 1.0,
    widths: bool = True,
) -> list[StripReading]:
    """A strip that follows the law exactly, times a factor of its force."""
    stiffness, poisson = law.stiffness_at(ANGLE[direction]), law.poisson_at(ANGLE[direction])
    return [
        StripReading(
            specimen=name,
            direction=direction,
            width=width,
            gauge=gauge,
            # F lambda / w_0 = E ln lambda
            force=factor * stiffness * math.log(s) / s * width,
            extension=gauge * (s - 1.0),
            stretched_width=width * s**-poisson if widths else None,
        )
        for s in stretches
    ]


def three(law: FabricLaw = LAW, *, widths: bool = True) -> list[StripReading]:
    """One strip of each direction."""
    return [r for d in Direction for r in strip(d, law=law, widths=widths)]


def rules(findings: Sequence[object]) -> set[str]:
    """Names of the rules of some findings."""
    return {str(getattr(f, "rule", "")) for f in findings}

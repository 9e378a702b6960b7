"""What packer and sound pipes stand: a rating that falls with heat, a ring that is whole."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from teewright.errors import InputError
from teewright.numerics.limits import within

SHARE = (0.0, 1.0)
"""Shares of the rating left at a temperature [-]."""
DIAMETER = (0.03, 5.0)
"""Inner diameters of pipes [m]."""
WALL = (1e-3, 0.5)
"""Thicknesses of pipe walls [m]."""
STRENGTH = (1e5, 1e9)
"""Tensile strengths of pipe walls [Pa]."""
SAFETY = (1.0, 20.0)
"""Factors of safety on them [-]."""
RING = "thick ring under pressure from inside (Lamé)"


@dataclass(frozen=True, slots=True)
class PipeWall:
    """Wall of a pipe that is known to be sound.

    Attributes:
        diameter: Inner [m].
        wall: Thickness that is still there [m].
        strength: Tensile strength round the ring, as declared [Pa].
        safety: Factor on it, as declared [-].
        source: Where the figures came from.
    """

    diameter: float
    wall: float
    strength: float
    safety: float
    source: str


def ring_pressure(pipe: PipeWall) -> float:
    """Pressure from inside at which a sound ring reaches its allowed stress at the inner face.

    p = (sigma/N) (b^2 - a^2)/(b^2 + a^2), a and b the inner and outer radius (Lamé). The
    greatest stress counts and not the mean one, because clay and concrete break where it is
    reached first. Nothing outside is counted as help. A cracked ring has no such strength: see
    `teewright.pressure.host.confinement`.

    Args:
        pipe: The wall.

    Returns:
        Pressure [Pa].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(pipe.diameter, DIAMETER, quantity="diameter", unit="m", law=RING)
    within(pipe.wall, WALL, quantity="wall", unit="m", law=RING)
    within(pipe.strength, STRENGTH, quantity="tensile strength", unit="Pa", law=RING)
    within(pipe.safety, SAFETY, quantity="factor of safety", unit="-", law=RING)
    a = pipe.diameter / 2.0
    b = a + pipe.wall
    return pipe.strength / pipe.safety * (b**2 - a**2) / (b**2 + a**2)


def rating_share(pairs: Sequence[tuple[float, float]], temperature: float) -> float:
    """Share of its rating that a packer keeps at a temperature, on straight lines.

    Args:
        pairs: (temperature [K], share [-]) as declared for the packer, temperature ascending,
            share never rising.
        temperature: Of the packer's skin [K]; a curing resin heats it.

    Returns:
        Share, 0 to 1 [-].

    Raises:
        InputError: There are no pairs, they are out of order, or a share rises with heat.
        RangeError: The temperature is outside the pairs, or a share is not one.
    """
    _check(pairs)
    law = "the rating declared for the packer against temperature"
    ends = (pairs[0][0], pairs[-1][0])
    within(temperature, ends, quantity="packer temperature", unit="K", law=law)
    for (t0, s0), (t1, s1) in pairwise(pairs):
        if temperature <= t1:
            # weighted so that the result cannot step outside its two ends by rounding
            at = (temperature - t0) / (t1 - t0)
            return min(s0, max(s1, s0 * (1.0 - at) + s1 * at))
    return pairs[-1][1]


def _check(pairs: Sequence[tuple[float, float]]) -> None:
    for _, share in pairs:
        within(share, SHARE, quantity="share of the rating", unit="-", law="a derating")
    rising = any(b[0] <= a[0] or b[1] > a[1] for a, b in pairwise(pairs))
    if rising or not pairs:
        raise InputError(
            "does not fall with temperature",
            field="derating of the packer",
            value=tuple(pairs),
            allowed="pairs of temperature and share, temperatures ascending, shares never rising",
        )

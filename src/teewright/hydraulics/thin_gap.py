"""Groundwater through the thin gap between liner and host: flow between parallel plates.

Q = w b^3 dp / (12 mu L), the cubic law (Zimmerman & Bodvarsson, Hydraulic conductivity of rock
fractures, Transport in Porous Media 23, 1996, with its limits). It holds for laminar flow:
Re = rho u D_h / mu with D_h = 2 b, the hydraulic diameter of a wide slot.
"""

from dataclasses import dataclass

from teewright.numerics.limits import within
from teewright.units import WATER_DENSITY, hydrostatic

WATER_10_CELSIUS = 1.31e-3
"""Dynamic viscosity of water at 10 degrees Celsius [Pa s]; value from memory, usual tables."""
LAMINAR_LIMIT = 2000.0
"""Largest Reynolds number on 2 b for which the cubic law is used [-]; value from memory,
the lower end of what textbooks give for slots (2000 to 2300 on the hydraulic diameter)."""
GAP = (0.0, 0.05)
"""Widths of gap [m]."""
PATH = (1e-3, 10.0)
"""Lengths of the path through the gap [m]."""
WIDTH = (1e-3, 20.0)
"""Widths of the gap across the flow [m]."""
HEAD = (0.0, 50.0)
"""Heads of water [m]."""
CUBIC = "cubic law of flow between parallel plates"


@dataclass(frozen=True, slots=True)
class ThinGap:
    """Flow through a thin gap.

    Attributes:
        flow: After the cubic law [m3/s]; not to be used where `valid` is False.
        reynolds: On the hydraulic diameter 2 b [-].
        valid: Whether the flow is laminar, as the law needs.
        text: One sentence on the validity.
    """

    flow: float
    reynolds: float
    valid: bool
    text: str


def mean_velocity(gradient: float, gap: float, viscosity: float) -> float:
    """Mean velocity between parallel plates, u = b^2 |dp/dx| / (12 mu) (plane Poiseuille).

    Args:
        gradient: Fall of pressure along the path [Pa/m].
        gap: Distance of the plates b [m].
        viscosity: Dynamic [Pa s].

    Returns:
        Velocity [m/s].
    """
    return gap**2 * gradient / (12.0 * viscosity)


def thin_gap_flow(
    head: float, gap: float, path: float, width: float, *, viscosity: float = WATER_10_CELSIUS
) -> ThinGap:
    """Flow of groundwater through a thin gap, with a check that the law holds.

    Args:
        head: Of groundwater over the inside of the pipe at the gap [m].
        gap: Width of the gap b [m].
        path: Length of the leakage path L [m].
        width: Of the gap across the flow, e.g. the length of the cut edge [m].
        viscosity: Dynamic [Pa s].

    Returns:
        Flow, Reynolds number and whether the law holds.

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(head, HEAD, quantity="head", unit="m", law=CUBIC)
    within(gap, GAP, quantity="gap", unit="m", law=CUBIC)
    within(path, PATH, quantity="path", unit="m", law=CUBIC)
    within(width, WIDTH, quantity="width of the gap", unit="m", law=CUBIC)
    within(viscosity, (1e-5, 1.0), quantity="dynamic viscosity", unit="Pa s", law=CUBIC)
    velocity = mean_velocity(hydrostatic(head) / path, gap, viscosity)
    reynolds = WATER_DENSITY * velocity * 2.0 * gap / viscosity
    valid = reynolds <= LAMINAR_LIMIT
    verdict = (
        "the cubic law holds"
        if valid
        else "the flow would be turbulent and the cubic law gives too much: do not use its value"
    )
    text = f"Re = {reynolds:.0f} on twice the gap, limit {LAMINAR_LIMIT:.0f}: {verdict}."
    return ThinGap(velocity * gap * width, reynolds, valid, text)

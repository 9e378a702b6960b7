"""Leakage of a sewer: as the trade states it, through a gap, and as a test allows it.

The factors follow from the definitions of the units (1 US gallon = 231 cubic inches, 1 mile =
1609.344 m, 1 inch = 25.4 mm, all exact; NIST SP 811, app. B.8).
"""

import math
from dataclasses import dataclass

from teewright.hydraulics.orifice import orifice_flow
from teewright.hydraulics.thin_gap import CUBIC, LAMINAR_LIMIT, WATER_10_CELSIUS, thin_gap_flow
from teewright.numerics.limits import within
from teewright.trace import Origin, TraceRow
from teewright.units import GRAVITY, INCH, LITRE, US_GALLON, WATER_DENSITY

MILE = 1609.344
"""International mile [m]."""
DAY = 86400.0
"""Day [s]."""
KM = 1000.0
"""Kilometre [m]."""
MM = 1e-3
"""Millimetre [m]."""
GALLON_PER_DAY_MILE = US_GALLON / DAY / MILE
"""1 US gallon a day and mile of sewer [m3/(s m)]."""
GALLON_PER_DAY_INCH_MILE = GALLON_PER_DAY_MILE / INCH
"""1 US gallon a day, inch of diameter and mile of sewer [m3/(s m m)]."""
LITRE_PER_SECOND_KM = LITRE / KM
"""1 litre a second and kilometre of sewer [m3/(s m)]."""
LITRE_PER_DAY_MM_KM = LITRE / DAY / MM / KM
"""1 litre a day, millimetre of diameter and kilometre of sewer [m3/(s m m)]."""
ALLOWANCE = "water allowed in a leak test"
BOUND = "loss-free flow through the gap (Torricelli), upper bound"


@dataclass(frozen=True, slots=True)
class GapLeak:
    """Groundwater through the gap round a cut edge.

    Attributes:
        flow: Estimate where the cubic law holds, upper bound where it does not [m3/s].
        is_bound: Whether the flow is only an upper bound.
        reynolds: Of the cubic law, on twice the gap [-].
        basis: Name of the law.
        text: One sentence on what the flow is.
        trace: Numbers in checking order.
    """

    flow: float
    is_bound: bool
    reynolds: float
    basis: str
    text: str
    trace: tuple[TraceRow, ...]


def gap_leak(
    head: float, gap: float, path: float, width: float, *, viscosity: float = WATER_10_CELSIUS
) -> GapLeak:
    """Groundwater through a gap, by the cubic law or, where that fails, bounded from above.

    Beyond the laminar range the cubic law leaves out the losses of turbulence and of the entry
    and gives too much; so does the flow without any friction, w b sqrt(2 g h). The lesser of
    the two is still an upper bound and is told as one, never as an estimate.

    Args:
        head: Of groundwater over the inside of the pipe at the gap [m].
        gap: Width of the gap b [m].
        path: Length of the leakage path L [m].
        width: Of the gap across the flow w [m].
        viscosity: Dynamic [Pa s].

    Returns:
        The flow, what it is, and its trace.

    Raises:
        RangeError: A value outside the ranges of `teewright.hydraulics.thin_gap`.
    """
    found = thin_gap_flow(head, gap, path, width, viscosity=viscosity)
    free = gap * width * math.sqrt(2.0 * GRAVITY * head)
    flow = found.flow if found.valid else min(found.flow, free)
    basis = CUBIC if found.valid or found.flow <= free else BOUND
    text = (
        found.text
        if found.valid
        else (
            f"Re = {found.reynolds:.0f} by the cubic law, limit {LAMINAR_LIMIT:.0f}: not laminar, "
            "so that the flow is an upper bound and no estimate."
        )
    )
    trace = _gap_rows(head, gap, path, width, viscosity=viscosity)
    formula = (
        "w_g b³ g h_g / (12 ν_w L_g)"
        if found.valid
        else "least of w_g b³ g h_g / (12 ν_w L_g) and w_g b √(2 g h_g)"
    )
    name = "flow through the gap" if found.valid else "flow through the gap, at the most"
    return GapLeak(
        flow=flow,
        is_bound=not found.valid,
        reynolds=found.reynolds,
        basis=basis,
        text=text,
        trace=(
            *trace,
            TraceRow("Reynolds number on 2 b", "Re", found.reynolds, "-", "2 v b / ν_w", CUBIC),
            TraceRow(name, "Q_g", flow, "l/h", formula, basis),
        ),
    )


def hole_leak(head: float, diameter: float, *, coefficient: float) -> float:
    """Groundwater through a hole that was seen and measured (orifice law) [m3/s].

    Args:
        head: Over the centre of the hole [m].
        diameter: Of the hole [m].
        coefficient: Of discharge [-]; 1 gives an upper bound.

    Returns:
        Flow [m3/s].

    Raises:
        RangeError: A value outside the ranges of `teewright.hydraulics.orifice`.
    """
    return orifice_flow(diameter, head, coefficient=coefficient)


def allowed_flow(per_area: float, area: float, duration: float) -> float:
    """Flow that a leak test by water allows, q = v A/t, at the head of the test.

    EN 1610 allows 0.15 l/m2 of wetted wall in 30 min for pipelines (read in a secondary
    source). It is what a seal that just passes may let in; under less head than in the test it
    lets in less, so that it is a careful figure for the water that is left after sealing.

    Args:
        per_area: Water allowed per area of wetted wall, v [m3/m2].
        area: Wetted wall, A [m2]; for a single joint that of 1 m of pipe.
        duration: Of the test, t [s].

    Returns:
        Flow [m3/s].

    Raises:
        RangeError: A value outside its range.
    """
    within(per_area, (0.0, 0.01), quantity="water allowed", unit="m3/m2", law=ALLOWANCE)
    within(area, (0.0, 1e3), quantity="wetted wall", unit="m2", law=ALLOWANCE)
    within(duration, (1.0, 1e6), quantity="time of the test", unit="s", law=ALLOWANCE)
    return per_area * area / duration


def _gap_rows(
    head: float, gap: float, path: float, width: float, *, viscosity: float
) -> tuple[TraceRow, ...]:
    given = "as declared"
    return (
        TraceRow("groundwater over the gap", "h_g", head, "m", "", "site", Origin.INPUT),
        TraceRow("width of the gap", "b", gap, "mm", "", given, Origin.INPUT),
        TraceRow("length of the path", "L_g", path, "mm", "", given, Origin.INPUT),
        TraceRow("length of the cut edge", "w_g", width, "m", "", "junction", Origin.INPUT),
        TraceRow(
            "kinematic viscosity of water",
            "ν_w",
            viscosity / WATER_DENSITY,
            "m2/s",
            "",
            "usual tables",
            Origin.TABLE,
        ),
    )

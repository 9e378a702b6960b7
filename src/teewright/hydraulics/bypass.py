"""What the bores of a packer pass while it blocks the main.

The simplest case that is on the safe side: the water upstream stands at the crown of the main,
the bores lie on the axis of the main and discharge freely, and the fall of the main along the
packer is left out. The head is then half the diameter of the main:
D/2 = (K_e + f L/d + K_o) v^2/(2 g), with K_e = 0.5 (square-edged entry) and K_o = 1 (the
velocity head lost at the exit), f after Colebrook and White.
"""

import math

from scipy.optimize import brentq

from teewright.errors import InputError
from teewright.hydraulics.colebrook import WATER_10_CELSIUS, friction_factor
from teewright.hydraulics.values import BypassCheck
from teewright.numerics.limits import within
from teewright.trace import Origin, TraceRow
from teewright.units import GRAVITY

ENTRY_LOSS = 0.5
"""Loss at a square-edged entry, in velocity heads [-]; value from memory, textbooks."""
EXIT_LOSS = 1.0
"""Velocity head lost at the exit [-]."""
ROUGHNESS = 0.6e-3
"""Equivalent sand roughness of a slimed bore [m]; common practice, no source."""
LENGTH = (0.0, 20.0)
"""Lengths of bore [m]."""
MAIN = (0.05, 3.0)
"""Diameters of main [m]."""
BORE = (0.015, 1.0)
"""Diameters of bore [m]."""
MEAN_FLOW = (0.0, 10.0)
"""Mean flows [m3/s]."""
COUNT = (0, 50)
"""Numbers of bores."""
LAW = "short pipe with entry, friction and exit losses"
HOURS = 24
NOT_MODELLED = (
    "Rain, pumps and flushes upstream come on top of the dry-weather flow of the bypass check.",
    "The branch is shut until the release: what is drained into it meanwhile backs up.",
)
"""What the check leaves out, one sentence each."""


def bore_velocity(
    head: float,
    diameter: float,
    length: float,
    *,
    roughness: float = ROUGHNESS,
    kinematic_viscosity: float = WATER_10_CELSIUS,
) -> float:
    """Velocity in one bore: H = (0.5 + f L/d + 1) v^2/(2g), solved for v.

    Args:
        head: Difference of the water levels that drives it [m].
        diameter: Of the bore [m].
        length: Of the bore [m].
        roughness: Equivalent sand roughness [m].
        kinematic_viscosity: nu [m2/s].

    Returns:
        Mean velocity [m/s].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(head, (0.0, 10.0), quantity="head", unit="m", law=LAW)
    within(diameter, BORE, quantity="diameter of the bore", unit="m", law=LAW)
    within(length, LENGTH, quantity="length of the bore", unit="m", law=LAW)
    if head == 0.0:
        return 0.0

    def surplus(velocity: float) -> float:
        f = friction_factor(roughness / diameter, velocity * diameter / kinematic_viscosity)
        losses = ENTRY_LOSS + EXIT_LOSS + f * length / diameter
        return losses * velocity**2 / (2.0 * GRAVITY) - head

    fastest = math.sqrt(2.0 * GRAVITY * head / (ENTRY_LOSS + EXIT_LOSS))
    return float(brentq(surplus, 1e-9 * fastest, 1.0001 * fastest, xtol=1e-12, rtol=1e-12))


def capacity(
    *,
    main_diameter: float,
    bore_count: int,
    bore_diameter: float,
    bore_length: float,
    roughness: float = ROUGHNESS,
) -> float:
    """Flow that all bores pass with the water upstream at the crown of the main.

    Args:
        main_diameter: Inner diameter of the lined main [m].
        bore_count: Number of equal bores, 0 where the packer has none.
        bore_diameter: Of each bore [m].
        bore_length: Of each bore [m].
        roughness: Equivalent sand roughness of the bores [m].

    Returns:
        Flow [m3/s].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(main_diameter, MAIN, quantity="diameter of the main", unit="m", law=LAW)
    within(bore_count, COUNT, quantity="number of bores", unit="-", law=LAW)
    if not bore_count:
        return 0.0
    limits = (BORE[0], main_diameter)
    within(bore_diameter, limits, quantity="diameter of the bore", unit="m", law=LAW)
    velocity = bore_velocity(main_diameter / 2.0, bore_diameter, bore_length, roughness=roughness)
    return bore_count * velocity * math.pi * bore_diameter**2 / 4.0


def bypass_check(
    *,
    main_diameter: float,
    bore_count: int,
    bore_diameter: float,
    bore_length: float,
    mean_flow: float,
    pattern: tuple[float, ...] = (),
    roughness: float = ROUGHNESS,
) -> BypassCheck:
    """Capacity of a packer's bores against the inflow of each hour.

    Args:
        main_diameter: Inner diameter of the lined main [m].
        bore_count: Number of equal bores, 0 where the packer has none.
        bore_diameter: Of each bore [m].
        bore_length: Of each bore [m].
        mean_flow: Mean dry-weather inflow from upstream [m3/s].
        pattern: 24 hourly factors of the mean flow from midnight, or empty for a steady flow.
        roughness: Equivalent sand roughness of the bores [m].

    Returns:
        Capacity, inflow and allowed hours, with their trace.

    Raises:
        InputError: The pattern does not have 24 factors of 0 or more.
        RangeError: A value outside the ranges of this module.
    """
    within(mean_flow, MEAN_FLOW, quantity="mean flow", unit="m3/s", law=LAW)
    factors = _factors(pattern)
    passed = capacity(
        main_diameter=main_diameter,
        bore_count=bore_count,
        bore_diameter=bore_diameter,
        bore_length=bore_length,
        roughness=roughness,
    )
    bores = bore_count * math.pi * bore_diameter**2 / 4.0
    velocity = passed / bores if bore_count else 0.0
    hourly = tuple(mean_flow * factor for factor in factors)
    trace = (
        *_bores(bore_count, bore_diameter, bore_length, roughness=roughness),
        *_heads(main_diameter, main_diameter / 2.0, velocity, passed),
        *_flows(mean_flow, hourly, given=bool(pattern)),
    )
    allowed = tuple(hour for hour, flow in enumerate(hourly) if flow <= passed)
    return BypassCheck(passed, hourly, allowed, max(hourly), trace)


def _factors(pattern: tuple[float, ...]) -> tuple[float, ...]:
    if not pattern:
        return (1.0,) * HOURS
    if len(pattern) != HOURS or not all(0.0 <= f < math.inf for f in pattern):
        raise InputError(
            f"has {len(pattern)} factors",
            field="flow pattern",
            value=pattern,
            allowed="24 hourly factors of the mean flow, each 0 or more, or none",
        )
    return pattern


def _bores(count: int, diameter: float, length: float, *, roughness: float) -> tuple[TraceRow, ...]:
    kit = "packer"
    return (
        TraceRow("bypass bores", "n_b", float(count), "no", "", kit, Origin.TABLE),
        TraceRow("diameter of a bore", "d_b", diameter, "mm", "", kit, Origin.TABLE),
        TraceRow("length of a bore", "L_b", length, "m", "", kit, Origin.TABLE),
        TraceRow(
            "roughness of a bore",
            "k",
            roughness,
            "mm",
            "",
            "common practice, no source",
            Origin.ASSUMED,
        ),
    )


def _heads(main: float, head: float, velocity: float, capacity: float) -> tuple[TraceRow, ...]:
    return (
        TraceRow("inner diameter of the main", "D", main, "mm", "", "survey", Origin.INPUT),
        TraceRow(
            "head: water at the crown, bores on the axis",
            "H",
            head,
            "m",
            "D/2",
            "safe-side assumption",
            Origin.ASSUMED,
        ),
        TraceRow(
            "velocity in a bore",
            "v",
            velocity,
            "m/s",
            "H = (0.5 + f L_b/d_b + 1) v²/2g",
            "f: Colebrook and White 1939",
        ),
        TraceRow("capacity of the bypass", "Q_b", capacity, "l/s", "n_b v π d_b²/4"),
    )


def _flows(mean: float, hourly: tuple[float, ...], *, given: bool) -> tuple[TraceRow, ...]:
    source = "site" if given else "no daily pattern given: steady flow"
    origin = Origin.INPUT if given else Origin.ASSUMED
    return (
        TraceRow("mean inflow from upstream", "Q_m", mean, "l/s", "", "site", Origin.INPUT),
        TraceRow("least hourly inflow", "Q_min", min(hourly), "l/s", "Q_m c_h", source, origin),
        TraceRow("largest hourly inflow", "Q_max", max(hourly), "l/s", "Q_m c_h", source, origin),
    )

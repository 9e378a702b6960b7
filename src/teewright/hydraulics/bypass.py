"""What the bores of a packer pass while it blocks the main.

The simplest case that is on the safe side: the water upstream stands at the crown of the main,
the bores lie on the axis of the main and discharge freely, and the fall of the main along the
packer is left out. The laws, and where the head of a free outlet ends, are those of
`teewright.hydraulics.losses`. What the main stores upstream meanwhile is left out here; where
levels are known `teewright.hydraulics.blocking` counts it, and decides.
"""

import math
from dataclasses import dataclass

import numpy as np

from teewright.errors import InputError
from teewright.hydraulics.losses import ROUGHNESS, Bores, bypass_flow
from teewright.hydraulics.values import BypassCheck
from teewright.numerics.limits import within
from teewright.trace import Origin, TraceRow

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
    (
        "Pumps and flushes upstream come on top of the inflow, and so does rain for which no "
        "shower is given."
    ),
    "The branch is shut until the release: what is drained into it meanwhile backs up.",
)
"""What the check leaves out, one sentence each."""


@dataclass(frozen=True, slots=True)
class Beyond:
    """What flows besides the dry weather, and what does not have to pass the bores.

    Attributes:
        infiltration: Constant inflow beyond the mean flow [m3/s].
        shower: Greatest inflow of a shower in each hour from midnight, 24 values, or empty for
            dry weather [m3/s].
        pumped: Carried round the packer by pumps [m3/s].
    """

    infiltration: float = 0.0
    shower: tuple[float, ...] = ()
    pumped: float = 0.0


DRY = Beyond()
"""Dry weather, no infiltration, no pumps."""


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
    bores = Bores(bore_count, bore_diameter, bore_length, main_diameter / 2.0, roughness)
    return float(bypass_flow(bores, np.array([main_diameter]))[0])


def bypass_check(
    *,
    main_diameter: float,
    bore_count: int,
    bore_diameter: float,
    bore_length: float,
    mean_flow: float,
    pattern: tuple[float, ...] = (),
    beyond: Beyond = DRY,
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
        beyond: Infiltration, shower and pumps.
        roughness: Equivalent sand roughness of the bores [m].

    Returns:
        Capacity, inflow and allowed hours, with their trace.

    Raises:
        InputError: The pattern or the shower does not have 24 values of 0 or more.
        RangeError: A value outside the ranges of this module.
    """
    within(mean_flow, MEAN_FLOW, quantity="mean flow", unit="m3/s", law=LAW)
    within(beyond.infiltration, MEAN_FLOW, quantity="infiltration", unit="m3/s", law=LAW)
    within(beyond.pumped, MEAN_FLOW, quantity="flow of the pumps", unit="m3/s", law=LAW)
    factors = _hourly(pattern, "flow pattern") or (1.0,) * HOURS
    rain = _hourly(beyond.shower, "shower") or (0.0,) * HOURS
    passed = capacity(
        main_diameter=main_diameter,
        bore_count=bore_count,
        bore_diameter=bore_diameter,
        bore_length=bore_length,
        roughness=roughness,
    )
    bores = bore_count * math.pi * bore_diameter**2 / 4.0
    velocity = passed / bores if bore_count else 0.0
    hourly = tuple(
        mean_flow * factor + beyond.infiltration + fallen
        for factor, fallen in zip(factors, rain, strict=True)
    )
    trace = (
        *_bores(bore_count, bore_diameter, bore_length, roughness=roughness),
        *_heads(main_diameter, velocity, passed),
        *_flows(mean_flow, hourly, given=bool(pattern), added=(beyond.infiltration, max(rain))),
        TraceRow("set-up pumps", "Q_p", beyond.pumped, "l/s", "", "site", Origin.INPUT),
    )
    most = passed + beyond.pumped
    allowed = tuple(hour for hour, flow in enumerate(hourly) if flow <= most)
    return BypassCheck(passed, hourly, allowed, max(hourly), trace, beyond.pumped)


def _hourly(values: tuple[float, ...], field: str) -> tuple[float, ...]:
    if values and (len(values) != HOURS or not all(0.0 <= v < math.inf for v in values)):
        raise InputError(
            f"has {len(values)} values",
            field=field,
            value=values,
            allowed="24 hourly values from midnight, each 0 or more, or none",
        )
    return values


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


def _heads(main: float, velocity: float, capacity: float) -> tuple[TraceRow, ...]:
    return (
        TraceRow("inner diameter of the main", "D", main, "mm", "", "survey", Origin.INPUT),
        TraceRow(
            "depth of the water upstream, at the crown",
            "H",
            main,
            "m",
            "D",
            "safe-side assumption",
            Origin.ASSUMED,
        ),
        TraceRow(
            "velocity in a bore",
            "v",
            velocity,
            "m/s",
            "H = (D + y_c)/2 + (K_e + f L_b/d_b + 1) v²/2g",
            "f: Colebrook and White 1939; free outlet: TM 5-820-4 after FHWA",
        ),
        TraceRow("capacity of the bypass", "Q_b", capacity, "l/s", "n_b v π d_b²/4", "continuity"),
    )


def _flows(
    mean: float, hourly: tuple[float, ...], *, given: bool, added: tuple[float, float]
) -> tuple[TraceRow, ...]:
    """Rows of the inflow; `added` has infiltration and the shower's peak."""
    source = "site" if given else "no daily pattern given: steady flow"
    origin = Origin.INPUT if given else Origin.ASSUMED
    names = (("infiltration", "Q_i"), ("inflow of the shower, while it lasts", "Q_s"))
    extra = [(*name, flow) for name, flow in zip(names, added, strict=True) if flow > 0.0]
    law = " + ".join(("Q_m c_h", *(symbol for _, symbol, _ in extra)))
    return (
        TraceRow("mean inflow from upstream", "Q_m", mean, "l/s", "", "site", Origin.INPUT),
        *(TraceRow(n, s, flow, "l/s", "", "site", Origin.INPUT) for n, s, flow in extra),
        TraceRow("least hourly inflow", "Q_min", min(hourly), "l/s", law, source, origin),
        TraceRow("largest hourly inflow", "Q_max", max(hourly), "l/s", law, source, origin),
    )

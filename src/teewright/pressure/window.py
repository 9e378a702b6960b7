"""The window of inflation pressure, from what forms the collar to what breaks something."""

import math

from teewright.kit.values import Fabric, Packer
from teewright.numerics.limits import within
from teewright.pressure.forming import forming_pressure, least_carried
from teewright.pressure.host import Ground, confinement
from teewright.pressure.rows import fabric_rows, high_rows, low_rows, place_rows, result_rows
from teewright.pressure.stored import isothermal_energy, packer_gas
from teewright.pressure.values import PressureWindow
from teewright.units import BAR, hydrostatic

MARGIN = (0.0, 2e5)
"""Margins at the lower end [Pa]."""
RATING = (1e3, 2e6)
"""Ratings of packers and liners [Pa]."""
STEP = 0.05 * BAR
"""Step in which the pressure is set on a gauge [Pa]; common practice, no source."""
SHARE = 1.0 / 3.0
"""How far into the window the pressure is set [-]; a choice: nearer to the lower end, because
the upper end is where things break."""
CRACKED = "cracked host held by soil and water"
"""Name of the limit that a host not known to be sound sets."""
NOT_MODELLED = (
    "Squeezing of resin out of the fabric is not modelled.",
    "Friction of the fabric on the wall while it forms is not modelled.",
    "Stretch at the saddle seam beyond the design stretch is not counted in the forming pressure.",
    "Traffic over the main is not counted as confinement.",
)
"""What the window leaves out, one sentence each."""
WINDOW = "the inflation window"


def pressure_on_fabric(window: PressureWindow, margin: float) -> float:
    """What presses the fabric against the wall at the set pressure.

    The set pressure less groundwater and less what bladder and fabric carry themselves: the
    parts of the lower end but its margin.

    Args:
        window: A window that is open.
        margin: The one that it was made with [Pa].

    Returns:
        Pressure, at least the margin [Pa].
    """
    chosen = window.low if window.set is None else window.set
    return chosen - window.low + margin


def pressure_to_set(low: float, high: float) -> float | None:
    """A third into the window, on a step of 0.05 bar where one lies inside.

    Args:
        low: Lower end [Pa].
        high: Upper end [Pa].

    Returns:
        Gauge pressure [Pa], or None where the window is shut.
    """
    if low > high:
        return None
    wish = low + SHARE * (high - low)
    first, last = math.ceil(low / STEP - 1e-9), math.floor(high / STEP + 1e-9)
    if first > last:
        return wish
    steps = min(max(round(wish / STEP), first), last)
    return min(max(steps * STEP, low), high)


def inflation_window(
    *,
    main_diameter: float,
    branch_diameter: float,
    fabric: Fabric,
    stretch: float,
    packer: Packer,
    ground: Ground,
    liner_pressure: float | None,
    margin: float,
) -> PressureWindow:
    """The window of inflation pressure of one collar.

    Lower end: groundwater at the invert of the host (where it is greatest), plus what the
    bladder and the fabric carry themselves, plus a margin. The smaller of the two bores needs
    most to stretch the fabric and governs; the stiffer direction of the fabric is taken.

    Upper end: the least of the packer's rating, the liner's rating and, unless the host is
    known to be sound, the confinement of a cracked host: what reaches the wall, that is the
    inflation less what bladder and fabric carry, must not exceed effective soil stress and
    water at the crown. Here the safe side is the other one: the bore in which the fabric
    carries least, and its softer direction. No public standard gives a pressure for a damaged
    pipe: this is an assumption, and its row says so. `NOT_MODELLED` lists what is left out.

    Args:
        main_diameter: Inner diameter of the lined main [m].
        branch_diameter: Inner diameter of the branch [m].
        fabric: The fabric.
        stretch: Design stretch, formed over cut [-].
        packer: The packer.
        ground: Groundwater, cover and state of the host.
        liner_pressure: Pressure that the lined main stands from inside [Pa], or None.
        margin: Added at the lower end [Pa].

    Returns:
        The window, with its trace.

    Raises:
        InputError: The saturated soil would float.
        RangeError: A value outside the ranges of this room, or a stretch that the fabric does
            not stand.
    """
    _check(fabric, stretch, packer, liner_pressure=liner_pressure, margin=margin)
    stiffness = max(fabric.stiffness_along, fabric.stiffness_across)
    on_branch = forming_pressure(stiffness, stretch, branch_diameter)
    on_main = forming_pressure(stiffness, stretch, main_diameter)
    water = hydrostatic(max(0.0, ground.head))
    low_parts = (
        ("groundwater at the invert", water),
        ("unfolding the bladder", packer.bladder_pressure),
        (_forming_name(on_branch, on_main), max(on_branch, on_main)),
        ("margin", margin),
    )
    fabric_least = least_carried(fabric, stretch, max(main_diameter, branch_diameter))
    outside = confinement(ground)
    limits = [(f"rating of packer {packer.name}", packer.rating)]
    if liner_pressure is not None:
        limits.append(("liner of the main", liner_pressure))
    if ground.host_cracked is not False:
        held = outside.total + packer.bladder_pressure + fabric_least
        limits.append((CRACKED, held))
    low = math.fsum(value for _, value in low_parts)
    high_governs, high = min(limits, key=lambda part: part[1])
    chosen = pressure_to_set(low, high)
    gas = packer_gas(packer, main_diameter, branch_diameter)
    energy = isothermal_energy(high if chosen is None else chosen, gas)
    trace = (
        *place_rows(ground, main_diameter, branch_diameter, water=water),
        *fabric_rows(fabric, stretch, on_branch, on_main),
        *low_rows(packer, margin, low),
        *high_rows(packer, liner_pressure, ground, outside, fabric_least=fabric_least),
        *result_rows(high, chosen, gas=gas, energy=energy),
    )
    return PressureWindow(
        low=low,
        high=high,
        set=chosen,
        low_parts=low_parts,
        high_limits=tuple(limits),
        low_governs=max(low_parts, key=lambda part: part[1])[0],
        high_governs=high_governs,
        stored_energy=energy,
        trace=trace,
    )


def _forming_name(on_branch: float, on_main: float) -> str:
    return "forming the branch" if on_branch >= on_main else "forming the main"


def _check(
    fabric: Fabric,
    stretch: float,
    packer: Packer,
    *,
    liner_pressure: float | None,
    margin: float,
) -> None:
    most = min(fabric.stretch_along, fabric.stretch_across)
    law = f"the largest stretch of fabric {fabric.name} ({fabric.source})"
    within(stretch, (1.0, most), quantity="stretch", unit="-", law=law)
    within(margin, MARGIN, quantity="pressure margin", unit="Pa", law=WINDOW)
    within(packer.rating, RATING, quantity="packer rating", unit="Pa", law=WINDOW)
    bladder = (0.0, packer.rating)
    within(packer.bladder_pressure, bladder, quantity="bladder pressure", unit="Pa", law=WINDOW)
    if liner_pressure is not None:
        within(liner_pressure, RATING, quantity="liner pressure", unit="Pa", law=WINDOW)

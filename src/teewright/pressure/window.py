"""The window of inflation pressure, from what forms the collar to what breaks something."""

import math

from teewright.kit.values import Fabric, Packer
from teewright.pressure.case import WindowCase, check_case
from teewright.pressure.ends import CRACKED, SQUEEZE, forming_words, high_limits, low_parts
from teewright.pressure.host import Ground, confinement
from teewright.pressure.keeping import STEP, Before, formed_case, keep_pressure
from teewright.pressure.rows import Ends, case_rows
from teewright.pressure.stand_off import stand_off
from teewright.pressure.stored import packer_gas
from teewright.pressure.values import PressureWindow

__all__ = [
    "CRACKED", "NOT_MODELLED", "SHARE", "STEP", "inflation_window", "left_out",
    "pressure_on_fabric", "pressure_to_set", "window_after", "window_of",
]  # fmt: skip

SHARE = 1.0 / 3.0
"""How far into the window the pressure is set [-]; a choice: nearer to the lower end, because
the upper end is where things break."""
NO_SQUEEZE = "Squeezing of resin out of the fabric is not modelled."
NO_FRICTION = "Friction of the fabric on the wall while it forms is not modelled."
NO_SADDLE = (
    "Stretch at the saddle seam beyond the design stretch is not counted in the forming pressure."
)
NO_TRAFFIC = "Traffic over the main is not counted as confinement."
NO_HEAT = "The packer's rating is taken as cold: heat of the curing resin is not counted."
NO_BRANCH = "The pipe of the branch sets no limit."
NOT_MODELLED = (NO_SQUEEZE, NO_FRICTION, NO_SADDLE, NO_TRAFFIC)
"""What `inflation_window` leaves out, one sentence each."""


def left_out(case: WindowCase) -> tuple[str, ...]:
    """What the window of a case leaves out, one sentence each.

    Args:
        case: The case; what it declares is not left out.
    """
    known = (
        (NO_SQUEEZE, case.squeeze > 0.0),
        (NO_FRICTION, case.friction > 0.0 or case.landed is not None),
        (NO_SADDLE, case.landed is not None),
        (NO_TRAFFIC, False),
        (NO_HEAT, bool(case.derating)),
        (NO_BRANCH, _branch_limits(case)),
    )
    return tuple(sentence for sentence, counted in known if not counted)


def _branch_limits(case: WindowCase) -> bool:
    told = (case.branch_wall, case.branch_cracked, case.branch_pressure)
    return any(one is not None for one in told)


def pressure_on_fabric(window: PressureWindow, margin: float) -> float:
    """What presses the fabric against the wall at the set pressure.

    The set pressure less groundwater, friction and what bladder and fabric carry themselves:
    the parts of the lower end but its margin and what squeezes the fabric.

    Args:
        window: A window that is open.
        margin: The one that it was made with [Pa].

    Returns:
        Pressure, at least the margin [Pa].
    """
    chosen = window.low if window.set is None else window.set
    return chosen - window.low + margin + dict(window.low_parts).get(SQUEEZE, 0.0)


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
        return min(max(wish, low), high)
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
    """The window of inflation pressure of one collar, from the least that must be known.

    `window_of` with a case in which nothing else is declared; `NOT_MODELLED` lists what that
    leaves out.

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
    return window_of(
        WindowCase(
            main_diameter=main_diameter,
            branch_diameter=branch_diameter,
            fabric=fabric,
            stretch=stretch,
            packer=packer,
            ground=ground,
            liner_pressure=liner_pressure,
            margin=margin,
        )
    )


def window_of(case: WindowCase) -> PressureWindow:
    """The window of inflation pressure of one collar.

    Lower end: groundwater at the invert of the host (where it is greatest), plus what the
    bladder carries, plus forming, plus friction, plus what squeezes the soaked fabric, plus a
    margin. Forming is the pressure of a forming run where one is told; otherwise the membrane
    formula, in which the smaller of the two bores needs most to stretch the fabric and governs;
    the stiffer direction of the fabric is taken.

    Upper end: the least of the packer's rating at its temperature, the liner's rating, what is
    declared for the branch pipe and, for pipes known to be sound, the allowed stress of their
    ring. Unless the host is known to be sound, the confinement of a cracked host counts
    instead: what reaches the wall, that is the inflation less what bladder and fabric carry,
    must not exceed effective soil stress and water at the crown. Here the safe side is the
    other one: the bore in which the fabric carries least, its softer direction, and the least
    groundwater. A branch pipe that is declared as cracked is held in the same way, where the
    packer's end has the least ground over it. No public standard gives a pressure for a damaged
    pipe: this is an assumption, and its row says so. `left_out` lists what is left out.

    The window is shut exactly where the lower end is above the upper one.

    Args:
        case: The collar, the packer and the place.

    Returns:
        The window, with its trace and the caution on the stored energy.

    Raises:
        InputError: The case contradicts itself, the saturated soil would float, or the
            derating of the packer is no such.
        RangeError: A value outside the ranges of this room, or a stretch that the fabric does
            not stand.
    """
    return _window(case, None)


def window_after(case: WindowCase, landed: float, *, before: Before) -> PressureWindow:
    """The window of a collar that was formed, at the pressure that was set before it was.

    The pressure had to be set from the membrane formula, because the collar is formed at what
    it leaves on the fabric. The forming run then replaces the formula at the lower end; the
    pressure stays where it was set as long as the new window holds it, see `keep_pressure`.
    The fabric lies within its gap limit at no more than what the run had on it, so that the
    pressure must be raised only where that is more than the set pressure leaves over its
    margin; it is raised then and never lowered, because the upper end does not change.

    Args:
        case: As it was before, without a forming run.
        landed: Least pressure on the fabric from which on it lies within its gap limit [Pa];
            nan where it never did, which keeps the formula and says so.
        before: What was set from the formula.

    Returns:
        The window, with its trace; `set` is None where it is shut.

    Raises:
        InputError: As `window_of`.
        RangeError: As `window_of`, or a pressure that no packer is set to.
    """
    return _window(formed_case(case, landed), before)


def _window(case: WindowCase, before: Before | None) -> PressureWindow:
    check_case(case)
    parts, limits = low_parts(case), high_limits(case)
    # what the ground does is told even where a sound host does not rely on it
    outside = confinement(case.ground_least)
    low = math.fsum(value for _, value in parts)
    high_governs, high = min(limits, key=lambda part: part[1])
    if before is None:
        chosen = pressure_to_set(low, high)
    else:
        chosen = keep_pressure(low, high, before.pressure)
    caution = stand_off(
        high if chosen is None else chosen,
        packer_gas(case.packer, case.main_diameter, case.branch_diameter),
        case.main_diameter,
    )
    ends = Ends(low=low, high=high, chosen=chosen, before=before)
    return PressureWindow(
        low=low,
        high=high,
        set=chosen,
        low_parts=parts,
        high_limits=limits,
        low_governs=max(parts, key=lambda part: part[1])[0],
        high_governs=high_governs,
        stored_energy=caution.isothermal,
        trace=case_rows(case, outside, ends, caution),
        stand_off=caution,
        forming=forming_words(case),
        left_out=left_out(case),
    )

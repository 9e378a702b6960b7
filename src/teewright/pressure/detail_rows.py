"""Rows of what a case may declare beyond the least: nothing where it declares nothing."""

from teewright.pressure.case import WindowCase
from teewright.pressure.keeping import Before
from teewright.pressure.limits import RING, PipeWall, ring_pressure
from teewright.trace import Origin, TraceRow


def low_formula(case: WindowCase) -> str:
    """How the lower end adds up, in the symbols of its rows."""
    forming = "max(p_f,d; p_f,D)" if case.landed is None else "p_lie"
    friction = " + p_k" if case.friction > 0.0 else ""
    squeeze = " + p_s" if case.squeeze > 0.0 else ""
    return f"p_w + p_b + {forming}{friction}{squeeze} + p_m"


def landed_row(case: WindowCase) -> tuple[TraceRow, ...]:
    """The pressure of the forming run."""
    if case.landed is None:
        return ()
    name, source = "fabric within its gap limit from", "forming run, friction counted"
    return (TraceRow(name, "p_lie", case.landed, "bar", "", source, Origin.INPUT),)


def low_rows_more(case: WindowCase) -> tuple[TraceRow, ...]:
    """Friction and squeezing."""
    return (*_friction(case.friction), *_squeeze(case))


def before_rows(before: Before, squeeze: float) -> tuple[TraceRow, ...]:
    """The lower end that the pressure was set from, before the collar was formed.

    Args:
        before: What was set.
        squeeze: Pressure that presses the fabric to its thickness [Pa].
    """
    friction = " + p_k" if before.friction > 0.0 else ""
    more = " + p_s" if squeeze > 0.0 else ""
    formula = f"p_w + p_b + max(p_f,d; p_f,D){friction}{more} + p_m"
    name, source = "lower end by formula, before the collar was formed", "membrane, p = T/r"
    return (
        *_friction(before.friction),
        TraceRow(name, "p_low,0", before.low, "bar", formula, source),
    )


def _friction(value: float) -> tuple[TraceRow, ...]:
    if not value > 0.0:
        return ()
    name, source = "friction on the wall", "design rules, with the formula alone"
    return (TraceRow(name, "p_k", value, "bar", "", source, Origin.INPUT),)


def _squeeze(case: WindowCase) -> tuple[TraceRow, ...]:
    if not case.squeeze > 0.0:
        return ()
    kit = f"fabric {case.fabric.name}: {case.fabric.source}"
    name, wanted = "squeezing the soaked fabric", case.squeeze_to
    if wanted is None:
        source = "fabric's thickness under pressure"
        return (TraceRow(name, "p_s", case.squeeze, "bar", "", source, Origin.INPUT),)
    to = "thickness that the soaked fabric is squeezed to"
    formula = "pressure at t_q, straight between the points"
    return (
        TraceRow(to, "t_q", wanted, "mm", "", kit, Origin.TABLE),
        TraceRow(name, "p_s", case.squeeze, "bar", formula, "fabric's thickness under pressure"),
    )


def derating_rows(case: WindowCase) -> tuple[TraceRow, ...]:
    """Temperature of the packer and the share of its rating that is left."""
    if not case.derating or case.packer_temperature is None:
        return ()
    kit = f"packer {case.packer.name}, as declared"
    warm = case.packer_temperature
    return (
        TraceRow("temperature of the packer", "T_b", warm, "degC", "", "site", Origin.INPUT),
        TraceRow("share of the rating left", "s_T", case.share, "%", "", kit, Origin.TABLE),
    )


def derated_row(case: WindowCase) -> tuple[TraceRow, ...]:
    """The rating at the packer's temperature."""
    if not case.derating:
        return ()
    value = case.packer.rating * case.share
    return (TraceRow("rating at that temperature", "p_r,T", value, "bar", "p_r s_T"),)


def ring_rows(case: WindowCase) -> tuple[TraceRow, ...]:
    """Sound host, sound branch pipe, and what is declared for the branch pipe."""
    host = case.host_wall if not case.held_from_outside else None
    rows = (*_ring("host", "h", host), *_ring("branch pipe", "br", case.branch_wall))
    if case.branch_pressure is None:
        return rows
    declared = case.branch_pressure
    return (
        *rows,
        TraceRow("branch pipe as declared", "p_br", declared, "bar", "", "site", Origin.INPUT),
    )


def _ring(name: str, mark: str, pipe: PipeWall | None) -> tuple[TraceRow, ...]:
    if pipe is None:
        return ()
    wall, stress, factor = f"t_{mark}", f"σ_{mark}", f"N_{mark}"
    # r is the inner radius of the pipe that the row names
    outer = f"(r + {wall})²"
    formula = f"{stress}/{factor} ({outer} − r²)/({outer} + r²)"
    given = (
        (f"wall of the {name}", wall, pipe.wall, "mm"),
        (f"tensile strength of the {name}", stress, pipe.strength, "MPa"),
        (f"factor of safety, {name}", factor, pipe.safety, "-"),
    )
    limit = ring_pressure(pipe)
    return (
        *(
            TraceRow(what, symbol, value, unit, "", pipe.source, Origin.INPUT)
            for what, symbol, value, unit in given
        ),
        TraceRow(f"sound {name} as a ring", f"p_{mark},R", limit, "bar", formula, RING),
    )

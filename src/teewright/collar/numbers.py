"""The numbers of a collar in the order in which they are checked."""

import math

from teewright.collar.values import Collar, Landing, Limit
from teewright.trace import Origin, TraceRow

_SHAPE = "junction, to the millimetre and degree of its pattern"
_FLAT = "panels laid flat, orthotropic Hencky energy"
_FORMED = "forming run, membrane with friction"
_RULES = "rules of the design"
_WINDOW = "inflation window"


def collar_trace(collar: Collar, pressure: float, *, design_stretch: float) -> tuple[TraceRow, ...]:
    """Inputs, panels and landing of a collar.

    Args:
        collar: The collar; its own trace is not read.
        pressure: On the fabric [Pa].
        design_stretch: Round the pipes, as asked for [-].

    Returns:
        Rows in checking order.
    """
    return (
        *_inputs(collar, pressure, design_stretch),
        *_panels(collar),
        *_landing(collar.landing),
        *(_limit(limit) for limit in collar.landing.limits),
        *_sizes(collar),
    )


def _inputs(collar: Collar, pressure: float, design_stretch: float) -> tuple[TraceRow, ...]:
    j, given = collar.junction, Origin.INPUT
    return (
        TraceRow("main, inner diameter", "D", j.main_diameter, "mm", "", _SHAPE, given),
        TraceRow("branch, inner diameter", "d", j.branch_diameter, "mm", "", _SHAPE, given),
        TraceRow("angle between the axes", "θ", j.angle, "deg", "", _SHAPE, given),
        TraceRow("rounding of the edge", "ρ", j.fillet, "mm", "", _SHAPE, given),
        TraceRow("branch off the main's axis", "y_0", j.offset, "mm", "", _SHAPE, given),
        TraceRow("ovality of the main", "q", j.ovality, "%", "", _SHAPE, given),
        TraceRow("installed thickness", "t", collar.thickness, "mm", "t(p) / λ²", collar.fabric),
        TraceRow("design stretch", "λ", design_stretch, "-", "", _RULES, given),
        TraceRow(
            "pressure on the fabric",
            "p_on",
            pressure,
            "bar",
            "set − water − bladder − own",
            _WINDOW,
        ),
    )


def _panels(collar: Collar) -> tuple[TraceRow, ...]:
    least, most = collar.window
    low, high = collar.designed
    chosen = next(offer for offer in collar.offers if offer.chosen)
    return (
        TraceRow("stretch window, least", "λ_w", least, "-", "σ1^(−ν)", collar.fabric),
        TraceRow("stretch window, most", "λ_t", most, "-", "lesser of both ways", collar.fabric),
        TraceRow("stretch ratio of the layout", "t*", chosen.ratio, "-", "max λ1 / min λ2", _FLAT),
        TraceRow("stretch round, corrected", "λ_r", collar.stretch, "-", "λ or less", _FORMED),
        TraceRow("stretch along, landed", "λ_a", collar.stretch_along, "-", "median", _FORMED),
        TraceRow("stretch of the panels, least", "λ_min", low, "-", "formed / cut", _FLAT),
        TraceRow("stretch of the panels, most", "λ_max", high, "-", "formed / cut", _FLAT),
        TraceRow("saddle seam, formed", "L_s", collar.seam_length, "mm", "once round", _FLAT),
        TraceRow("seam edge, first piece", "L_s,D", collar.seam_edges[0], "mm", "cut", _FLAT),
        TraceRow("seam edge, second piece", "L_s,d", collar.seam_edges[1], "mm", "cut", _FLAT),
    )


def _landing(landing: Landing) -> tuple[TraceRow, ...]:
    low, high = landing.stretch_inner
    thin, _ = landing.thickness
    least, mean, _ = landing.resin
    rows = [
        TraceRow("formed stretch, least", "λ_2", low, "-", "99 % of the area", _FORMED),
        TraceRow("formed stretch, most", "λ_1", high, "-", "99 % of the area", _FORMED),
        TraceRow("thinnest place", "t_thin", thin, "mm", "t / (λ1 λ2)", _FORMED),
        TraceRow("resin held, least", "v_min", least, "mm", "n t, l/m2", _FORMED),
        TraceRow("resin held, mean", "v", mean, "mm", "n t, l/m2", _FORMED),
    ]
    if math.isfinite(landing.pressure_landed):
        at = landing.pressure_landed
        rows.append(
            TraceRow("pressure at which it lies", "p_l", at, "bar", "on the fabric", _FORMED)
        )
    return tuple(rows)


_SYMBOLS = {
    "stretch along the grain": "λ_l",
    "stretch across the grain": "λ_c",
    "height of wrinkles": "h_f",
    "gap behind the fabric": "b_f",
    "edge short of its place": "e_s",
}


def _limit(limit: Limit) -> TraceRow:
    length = limit.unit == "m"
    allowed = ""
    if limit.high is not None:
        allowed = f"≤ {limit.high * 1e3:.1f} mm" if length else f"≤ {limit.high:.3f}"
    unit = "mm" if length else limit.unit
    return TraceRow(limit.name, _SYMBOLS[limit.name], limit.value, unit, allowed, _FORMED)


def _sizes(collar: Collar) -> tuple[TraceRow, ...]:
    return (
        TraceRow("reach up the branch", "h_b", collar.reach, "mm", "from the crown", _RULES),
        TraceRow("formed area, no laps", "A_f", collar.formed_area, "m2", "mid-surface", _FLAT),
        TraceRow("fabric cut", "A", collar.fabric_area, "m2", "laps included", _FLAT),
    )

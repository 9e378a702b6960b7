"""Rows of pipes that only soil and water hold: nothing where both are sound or not told of."""

from teewright.pressure.case import WindowCase
from teewright.pressure.ends import (
    BRANCH_CRACKED,
    CRACKED,
    branch_held_limit,
    fabric_least,
    held_limit,
)
from teewright.pressure.forming import MEMBRANE, least_carried
from teewright.pressure.host import Confinement, CrackedBranch, Ground, confinement
from teewright.trace import Origin, TraceRow

ASSUMED = "assumption, no published allowable"
STRESS = "Terzaghi"
WATER = "hydrostatics"


def held_rows(case: WindowCase, outside: Confinement) -> tuple[TraceRow, ...]:
    """A host that is not known to be sound, and a branch pipe that is declared as cracked.

    Args:
        case: What the window is worked out from.
        outside: What presses on the crown of the host from outside, at the least water.
    """
    rows: list[TraceRow] = []
    if case.held_from_outside:
        rows += _host_rows(case, outside)
    if case.branch_cracked is not None and (ground := case.ground_of_branch) is not None:
        rows += _branch_rows(case, case.branch_cracked, ground)
    return (*_given_rows(case), *rows) if rows else ()


def _given_rows(case: WindowCase) -> tuple[TraceRow, ...]:
    ground, least, rules = case.ground, case.head_least, "design rules"
    dry, wet = ground.soil_weight, ground.soil_weight_saturated
    name = "least groundwater above the invert"
    low = [] if least is None else [TraceRow(name, "h_min", least, "m", "", "site", Origin.INPUT)]
    host = ground.host_diameter
    return (
        TraceRow("host pipe, inside", "D_h", host, "mm", "", "survey", Origin.INPUT),
        *low,
        TraceRow("ground above the crown", "c", ground.cover, "m", "", "site", Origin.INPUT),
        TraceRow("unit weight of soil", "γ", dry, "kN/m3", "", rules, Origin.INPUT),
        TraceRow("the same under water", "γ_sat", wet, "kN/m3", "", rules, Origin.INPUT),
    )


def _head(case: WindowCase) -> str:
    """Symbol of the water that counts here: the least."""
    return "h" if case.head_least is None else "h_min"


def _host_rows(case: WindowCase, outside: Confinement) -> tuple[TraceRow, ...]:
    over = case.ground_least.head_over_crown
    known = "host cracked" if case.ground.host_cracked else "host not known to be sound"
    stress = "γ (c − w) + (γ_sat − γ_w) w, w = min(h_c, c)"
    least, fabric = fabric_least(case), "fabric carries at the least"
    return (
        TraceRow("groundwater above the crown", "h_c", over, "m", f"{_head(case)} − D_h"),
        TraceRow("effective soil stress at the crown", "σ'", outside.soil, "bar", stress, STRESS),
        TraceRow("water at the crown", "u", outside.water, "bar", "ρ_w g max(h_c, 0)", WATER),
        TraceRow(fabric, "p_f,min", least, "bar", "J_min (λ − 1) / (D/2)", MEMBRANE),
        TraceRow(
            CRACKED, "p_c", held_limit(case), "bar", "σ' + u + p_b + p_f,min",
            f"{ASSUMED}; {known}", Origin.ASSUMED,
        ),
    )  # fmt: skip


def _branch_rows(case: WindowCase, branch: CrackedBranch, ground: Ground) -> tuple[TraceRow, ...]:
    outside = confinement(ground)
    carried = least_carried(case.fabric, case.stretch, case.branch_diameter)
    crown, cover = "crown of the branch at the packer's end, above the invert", ground.cover
    stress = "γ (c_br − w) + (γ_sat − γ_w) w, w = min(h_br, c_br)"
    over = f"{_head(case)} − z_br"
    return (
        TraceRow(crown, "z_br", branch.crown, "m", branch.formula, "geometry"),
        TraceRow("ground above it", "c_br", cover, "m", "c + D_h − z_br ≥ 0"),
        TraceRow("groundwater above it", "h_br", ground.head_over_crown, "m", over),
        TraceRow("effective soil stress there", "σ'_br", outside.soil, "bar", stress, STRESS),
        TraceRow("water there", "u_br", outside.water, "bar", "ρ_w g max(h_br, 0)", WATER),
        TraceRow(
            "fabric carries there at the least", "p_f,br", carried, "bar",
            "J_min (λ − 1) / (d/2)", MEMBRANE,
        ),
        TraceRow(
            BRANCH_CRACKED, "p_br,c", branch_held_limit(case, ground), "bar",
            "σ'_br + u_br + p_b + p_f,br", f"{ASSUMED}; branch pipe declared as cracked",
            Origin.ASSUMED,
        ),
    )  # fmt: skip

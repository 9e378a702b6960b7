"""The window's numbers in the order in which an engineer checks them."""

from dataclasses import dataclass

from teewright.kit.values import Fabric
from teewright.pressure.case import WindowCase
from teewright.pressure.detail_rows import (
    before_rows,
    derated_row,
    derating_rows,
    landed_row,
    low_formula,
    low_rows_more,
    ring_rows,
)
from teewright.pressure.ends import carried, forming_words
from teewright.pressure.forming import MEMBRANE
from teewright.pressure.held_rows import held_rows
from teewright.pressure.host import Confinement, Ground
from teewright.pressure.keeping import Before
from teewright.pressure.stand_off import StandOff
from teewright.trace import Origin, TraceRow
from teewright.units import hydrostatic


@dataclass(frozen=True, slots=True)
class Ends:
    """What a window came to.

    Attributes:
        low: Lower end [Pa].
        high: Upper end [Pa].
        chosen: Pressure to set [Pa], or None.
        before: What was set before the collar was formed, or None where it was set here.
    """

    low: float
    high: float
    chosen: float | None
    before: Before | None


def case_rows(
    case: WindowCase, outside: Confinement, ends: Ends, caution: StandOff
) -> tuple[TraceRow, ...]:
    """All rows of a window.

    Args:
        case: What it was worked out from.
        outside: What presses on the crown from outside, at the least water.
        ends: What it came to.
        caution: Gas and energy.
    """
    on_branch, on_main = carried(case)
    water = hydrostatic(max(0.0, case.ground.head))
    return (
        *place_rows(case.ground, case.main_diameter, case.branch_diameter, water=water),
        *fabric_rows(case.fabric, case.stretch, on_branch, on_main),
        *landed_row(case),
        *low_rows_more(case),
        *low_rows(case, ends.low),
        *high_rows(case, outside),
        *_set_rows(case, ends),
        *_gas_rows(gas=caution.gas, energy=caution.isothermal),
    )


def place_rows(ground: Ground, main: float, branch: float, *, water: float) -> tuple[TraceRow, ...]:
    """Groundwater and bores.

    Args:
        ground: What is known of the place.
        main: Inner diameter of the main [m].
        branch: Inner diameter of the branch [m].
        water: Pressure of the groundwater at the invert [Pa].
    """
    return (
        TraceRow("groundwater above the invert", "h", ground.head, "m", "", "site", Origin.INPUT),
        TraceRow("inner diameter of the main", "D", main, "mm", "", "survey", Origin.INPUT),
        TraceRow("inner diameter of the branch", "d", branch, "mm", "", "survey", Origin.INPUT),
        TraceRow(
            "groundwater at the invert", "p_w", water, "bar", "ρ_w g max(h, 0)", "hydrostatics"
        ),
    )


def fabric_rows(
    fabric: Fabric, stretch: float, on_branch: float, on_main: float
) -> tuple[TraceRow, ...]:
    """Forming.

    Args:
        fabric: The fabric.
        stretch: Formed over cut [-].
        on_branch: Pressure that forms the branch [Pa].
        on_main: Pressure that forms the main [Pa].
    """
    kit = f"fabric {fabric.name}: {fabric.source}"
    stiffness = max(fabric.stiffness_along, fabric.stiffness_across)
    return (
        TraceRow("stiffness, stiffer direction", "J", stiffness, "kN/m", "", kit, Origin.TABLE),
        TraceRow("design stretch", "λ", stretch, "-", "", "design rules", Origin.INPUT),
        TraceRow("forming the branch", "p_f,d", on_branch, "bar", "J (λ − 1) / (d/2)", MEMBRANE),
        TraceRow("forming the main", "p_f,D", on_main, "bar", "J (λ − 1) / (D/2)", MEMBRANE),
    )


def low_rows(case: WindowCase, low: float) -> tuple[TraceRow, ...]:
    """The lower end.

    Args:
        case: What the window is worked out from.
        low: Lower end [Pa].
    """
    packer, formula = case.packer, low_formula(case)
    kit, bladder = f"packer {packer.name}", packer.bladder_pressure
    source = f"{forming_words(case)}; no public standard fixes it"
    return (
        TraceRow("unfolding the bladder", "p_b", bladder, "bar", "", kit, Origin.TABLE),
        TraceRow("margin", "p_m", case.margin, "bar", "", "design rules", Origin.INPUT),
        TraceRow("lower end of the window", "p_low", low, "bar", formula, source),
    )


def high_rows(case: WindowCase, outside: Confinement) -> tuple[TraceRow, ...]:
    """The limits at the upper end.

    Args:
        case: What the window is worked out from.
        outside: What presses on the crown from outside, at the least water.
    """
    packer = case.packer
    kit, rules = f"packer {packer.name}", "design rules"
    rows = [TraceRow("rating of the packer", "p_r", packer.rating, "bar", "", kit, Origin.TABLE)]
    rows += [*derating_rows(case), *derated_row(case)]
    if case.liner_pressure is not None:
        rows.append(
            TraceRow(
                "liner of the main", "p_l", case.liner_pressure, "bar", "", rules, Origin.INPUT
            )
        )
    return (*rows, *held_rows(case, outside), *ring_rows(case))


def _set_rows(case: WindowCase, ends: Ends) -> tuple[TraceRow, ...]:
    """The upper end, the pressure to set, and what it leaves to press the fabric."""
    name, limit = "upper end of the window", "least of the limits"
    rows = [TraceRow(name, "p_high", ends.high, "bar", limit)]
    if ends.chosen is None:
        return tuple(rows)
    before, from_ = ends.before, "p_low"
    choice = "a choice; common practice, no source"
    if before is not None and case.landed is not None:
        from_ = "p_low,0"
        rows += before_rows(before, case.squeeze)
        choice = "set before the collar was formed, kept within the window; common practice"
    formula = f"{from_} + (p_high − {from_})/3, step 0.05 bar"
    if before is not None and before.pressure < ends.low:
        formula = f"next step from p_low; before: {formula}"
        choice = "raised, as the forming run needs more than was set before"
    left, on_fabric = _left(case, before, ends.chosen)
    return (
        *rows,
        TraceRow("pressure to set", "p", ends.chosen, "bar", formula, choice),
        TraceRow("of it left to press the fabric to the wall", "p_on", left, "bar", on_fabric),
    )


def _left(case: WindowCase, before: Before | None, chosen: float) -> tuple[float, str]:
    """What the set pressure leaves on the fabric, by the parts that it was set from [Pa]."""
    friction = case.friction if before is None else before.friction
    forming, symbol = max(carried(case)), "max(p_f,d; p_f,D)"
    if before is None and case.landed is not None:
        forming, symbol = case.landed, "p_lie"
    water = hydrostatic(max(0.0, case.ground.head))
    left = chosen - water - case.packer.bladder_pressure - forming - friction
    return left, f"p − p_w − p_b − {symbol}{' − p_k' if friction > 0.0 else ''}"


def _gas_rows(*, gas: float, energy: float) -> tuple[TraceRow, ...]:
    volume, bound = "π/4 (D² L_p + d² L_d)", "isothermal expansion, upper bound; textbooks"
    return (
        TraceRow("gas in the packer, upper bound", "V_g", gas, "l", volume),
        TraceRow("energy stored in it", "E_g", energy, "kJ", "p V_g ln(p/p₀), absolute", bound),
    )

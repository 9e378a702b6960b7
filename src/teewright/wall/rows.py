"""Trace of a part of the collar: what went in, what was found, and by which formula."""

from collections.abc import Iterable

from teewright.trace import Origin, TraceRow
from teewright.units import hydrostatic
from teewright.wall.f1216 import ovality_factor
from teewright.wall.f1216_soil import buoyancy_factor, support_factor
from teewright.wall.values import Case, CuredWall, Ground, Opening, Part, Rules
from teewright.wall.wheels import IMPACT_SOURCE, SOURCE, impact_factor, share_of_others

RULES = "design rules"
TEXTBOOK = "clause from memory; equation as in Najafi 2010, pp. 75-80"


def property_rows(wall: CuredWall, rules: Rules) -> tuple[TraceRow, ...]:
    """Rows of the properties and factors that all parts share."""
    share, own = wall.long_term, wall.strength_share
    own_share = () if own is None else (_table("share of the strength left", "α_σ", own, "%"),)
    return (
        _table("modulus, short-term", "E", wall.modulus, "MPa"),
        _table("strength, short-term", "σ", wall.strength, "MPa"),
        _table("share left in the long term", "α", share, "%"),
        *own_share,
        TraceRow("modulus, long-term", "E_L", wall.late_modulus, "MPa", "α E"),
        TraceRow(
            "strength, long-term",
            "σ_L",
            wall.late_strength,
            "MPa",
            "α σ" if own is None else "α_σ σ",
        ),
        TraceRow("Poisson's ratio", "ν", wall.poisson, "-", "", RULES, Origin.INPUT),
        TraceRow("safety factor", "N", rules.safety_factor, "-", "", RULES, Origin.INPUT),
        TraceRow("enhancement factor", "K", rules.enhancement, "-", "", RULES, Origin.INPUT),
    )


def part_rows(part: Part) -> tuple[TraceRow, ...]:
    """Rows of what a tube of the collar is checked against."""
    n, pressure = part.name, hydrostatic(max(part.head, 0.0))
    missing = (
        ()
        if part.missing is None
        else (_input(f"{n}: missing wall, diameter", "d_s", part.missing, "mm"),)
    )
    return (
        _input(f"{n}: inner diameter", "D", part.diameter, "mm"),
        _found(f"{n}: groundwater above the invert", "h", part.head, part.head_formula),
        TraceRow(
            f"{n}: groundwater pressure", "P", pressure, "kPa", "ρ_w g max(h, 0)", "hydrostatics"
        ),
        _input(f"{n}: ovality", "q", part.ovality, "%"),
        TraceRow(
            f"{n}: reduction by ovality",
            "C",
            ovality_factor(part.ovality),
            "-",
            "[(1 − q)/(1 + q)²]³",
            f"ASTM F1216 X1; {TEXTBOOK}",
        ),
        *missing,
    )


def ground_rows(name: str, ground: Ground, water: float, load: float) -> tuple[TraceRow, ...]:
    """Rows of the ground over a host that has given up.

    Args:
        name: Of the part.
        ground: The ground.
        water: Groundwater over the crown, 0 where there is none [m].
        load: Total load at the crown [Pa].
    """
    source = f"ASTM F1216 X1.3; {TEXTBOOK}"
    buoyancy, support = buoyancy_factor(water, ground.cover), support_factor(ground.cover)
    return (
        _found(f"{name}: ground over the crown", "c", ground.cover, ground.cover_formula),
        TraceRow(
            f"{name}: unit weight of the soil",
            "γ",
            ground.soil_weight,
            "kN/m3",
            "",
            RULES,
            Origin.INPUT,
        ),
        _input(f"{name}: modulus of the soil", "E'_s", ground.soil_modulus, "MPa"),
        *_traffic_rows(name, ground),
        _row(f"{name}: groundwater over the crown", "h_c", water, "m", "max(h − D, 0)"),
        _row(f"{name}: buoyancy factor", "R_w", buoyancy, "-", "max(0.67, 1 − 0.33 h_c/c)", source),
        _row(
            f"{name}: elastic support",
            "B'",
            support,
            "-",
            "1/(1 + 4 exp(−0.213 c)), c in m",
            source,
        ),
        _row(
            f"{name}: total load at the crown",
            "q_t",
            load,
            "kPa",
            "ρ_w g h_c + γ c R_w + W_s",
            source,
        ),
    )


def _traffic_rows(name: str, ground: Ground) -> tuple[TraceRow, ...]:
    """The pressure of traffic as it was told, or how it was found from wheels."""
    quantity, wheels, cover = f"{name}: traffic at the crown", ground.wheels, ground.cover
    if wheels is None:
        return (_input(quantity, "W_s", ground.traffic, "kPa"),)
    places = " and ".join(f"{r:g} m" for r in wheels.beside)
    others = share_of_others(wheels, cover)
    beside = "Σ [1 + (r/c)²]^(−5/2)" + (f", r = {places}" if places else ", none beside it")
    factor = impact_factor(cover)
    return (
        _input(f"{name}: load of a wheel", "Q_w", wheels.load, "kN"),
        _row(f"{name}: wheels beside it, their share", "f_w", others, "-", beside, SOURCE),
        TraceRow(f"{name}: impact of rolling", "F_w", factor, "-", "", IMPACT_SOURCE, Origin.TABLE),
        _row(quantity, "W_s", ground.traffic, "kPa", "F_w 3 Q_w (1 + f_w) / (2 π c²)", SOURCE),
    )


def opening_rows(
    opening: Opening, axes: tuple[float, float], pressures: tuple[float, float], flat: float
) -> tuple[TraceRow, ...]:
    """Rows of the cut opening.

    Args:
        opening: The opening.
        axes: Larger and smaller axis [m].
        pressures: From outside and from inside [Pa].
        flat: Widest hole of F1216's plate at the installed thickness [m].
    """
    n = "opening"
    return (
        _input(f"{n}: diameter of the cut", "d", opening.branch_diameter, "mm"),
        _input(f"{n}: branch angle", "θ", opening.angle, "deg"),
        _input(f"{n}: wall broken away beyond the cut", "b_o", opening.broken, "mm"),
        _row(f"{n}: larger axis, taken as the span", "d_1", axes[0], "mm", "d/sin θ + 2 b_o"),
        _row(f"{n}: smaller axis", "d_2", axes[1], "mm", "d + 2 b_o"),
        _input(f"{n}: groundwater over its lowest point", "h", opening.head, "m"),
        _input(f"{n}: sewage inside over the groundwater", "h_i", opening.inside, "m"),
        _row(f"{n}: pressure from outside", "P", pressures[0], "kPa", "ρ_w g max(h, 0)"),
        _row(f"{n}: pressure from inside", "P_i", pressures[1], "kPa", "ρ_w g h_i"),
        _row(
            f"{n}: widest hole of a plate",
            "d_max",
            flat,
            "mm",
            "1.83 (t D)^½",
            "ASTM F1216 X1, hole span; value from memory",
        ),
    )


def case_rows(name: str, cases: Iterable[Case], beside: Iterable[Case]) -> tuple[TraceRow, ...]:
    """Rows of the thicknesses that the cases ask for, then of the formulas held beside."""
    rows = [_row(f"{name}: {c.name}", c.symbol, c.needed, "mm", c.formula, c.source) for c in cases]
    rows += [
        _row(f"{name}, beside: {c.name}", c.symbol, c.needed, "mm", c.formula, c.source)
        for c in beside
    ]
    return tuple(rows)


def verdict_rows(name: str, required: float, provided: float) -> tuple[TraceRow, ...]:
    """Rows of the governing thickness, the installed one and their ratio."""
    return (
        _row(f"{name}: thickness needed", "t_n", required, "mm", "greatest of the cases"),
        TraceRow(f"{name}: thickness installed", "t", provided, "mm", "", "collar", Origin.INPUT),
        _row(f"{name}: utilisation", "η", required / provided, "%", "t_n / t"),
    )


def _row(
    quantity: str, symbol: str, value: float, unit: str, formula: str, source: str = ""
) -> TraceRow:
    return TraceRow(quantity, symbol, value, unit, formula, source)


def _found(quantity: str, symbol: str, value: float, formula: str) -> TraceRow:
    """A height that is given, or computed where a formula says how [m]."""
    if formula:
        return _row(quantity, symbol, value, "m", formula)
    return _input(quantity, symbol, value, "m")


def _input(quantity: str, symbol: str, value: float, unit: str) -> TraceRow:
    return TraceRow(quantity, symbol, value, unit, "", "site", Origin.INPUT)


def _table(quantity: str, symbol: str, value: float, unit: str) -> TraceRow:
    return TraceRow(quantity, symbol, value, unit, "", "resin", Origin.TABLE)

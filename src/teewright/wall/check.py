"""Whether the cured wall of a collar stands the groundwater for its design life.

For review by a qualified engineer under the local code.
"""

from teewright.numerics.limits import within
from teewright.trace import Origin, TraceRow
from teewright.units import hydrostatic
from teewright.wall.cases import BENDING, BUCKLING, MINIMUM, SPAN
from teewright.wall.f1216 import (
    ovality_factor,
    span_thickness,
    widest_plate,
    x1_1_thickness,
    x1_2_thickness,
)
from teewright.wall.parts import CHECK, HEAD, LONG_TERM, PROVIDED
from teewright.wall.values import LEAST, CuredWall, WallCheck

__all__ = [
    "BENDING",
    "BUCKLING",
    "LEAST",
    "MINIMUM",
    "SPAN",
    "CuredWall",
    "wall_check",
]

TEXTBOOK = "clause from memory; equation as in Najafi 2010, pp. 79-80"


def wall_check(
    *,
    head: float,
    diameter: float,
    provided: float,
    wall: CuredWall,
    ovality: float,
    safety_factor: float,
    enhancement: float,
    span: float | None = None,
) -> WallCheck:
    """Thickness that the collar needs against groundwater, and what it has.

    The part in the main is checked: the branch is narrower and needs less. Cases: ASTM F1216
    X1.1 buckling, X1.2 bending of an oval ring, the hole span where host wall is missing
    behind the collar, and the least wall of ISO 11296-4. The long-term share is applied to
    modulus and strength alike.

    Args:
        head: Groundwater above the invert of the main; 0 or less is none [m].
        diameter: Inner diameter of the lined main, in which the collar lies [m].
        provided: Installed thickness [m].
        wall: Properties of the cured wall.
        ovality: Of the host, (D_mean - D_min)/D_mean [-].
        safety_factor: N [-].
        enhancement: K [-].
        span: Diameter of a round piece of wall missing behind the collar [m], or None. Where
            it is too wide to be bridged as a plate the case asks for nothing: the ring cases
            govern.

    Returns:
        The check, with its trace.

    Raises:
        RangeError: A value outside the range of an equation.
    """
    water = max(head, 0.0)
    within(water, HEAD, quantity="groundwater over the invert", unit="m", law=CHECK)
    within(wall.long_term, LONG_TERM, quantity="long-term share", unit="-", law=CHECK)
    within(provided, PROVIDED, quantity="installed thickness", unit="m", law=CHECK)
    pressure = hydrostatic(water)
    cases = [
        (
            BUCKLING,
            x1_1_thickness(
                pressure,
                diameter,
                wall.late_modulus,
                poisson=wall.poisson,
                ovality=ovality,
                safety_factor=safety_factor,
                enhancement=enhancement,
            ),
        ),
        (
            BENDING,
            x1_2_thickness(
                pressure,
                diameter,
                wall.late_strength,
                ovality=ovality,
                safety_factor=safety_factor,
            ),
        ),
    ]
    if span is not None:
        plate = span_thickness(
            pressure, diameter, span, wall.late_strength, safety_factor=safety_factor
        )
        # a wider hole is no plate: the liner over it acts as a ring, and the ring cases govern
        cases.append((SPAN, plate if span <= widest_plate(plate, diameter) else 0.0))
    cases.append((MINIMUM, LEAST))
    governing, required = max(cases, key=lambda case: case[1])
    trace = (
        *_loads(head, pressure, diameter),
        *_properties(wall),
        *_factors(ovality, safety_factor, enhancement, wall.poisson),
        *_cases(dict(cases), span),
        *_verdict(required, provided),
    )
    utilisation = required / provided
    return WallCheck(head, required, provided, utilisation, governing, tuple(cases), trace)


def _loads(head: float, pressure: float, diameter: float) -> tuple[TraceRow, ...]:
    return (
        TraceRow("groundwater above the invert", "h", head, "m", "", "site", Origin.INPUT),
        TraceRow("groundwater pressure", "P", pressure, "kPa", "ρ_w g max(h, 0)", "hydrostatics"),
        TraceRow("inner diameter of the main", "D", diameter, "mm", "", "survey", Origin.INPUT),
    )


def _properties(wall: CuredWall) -> tuple[TraceRow, ...]:
    modulus, strength, share = wall.modulus, wall.strength, wall.long_term
    return (
        TraceRow("modulus, short-term", "E", modulus, "MPa", "", "resin", Origin.TABLE),
        TraceRow("strength, short-term", "σ", strength, "MPa", "", "resin", Origin.TABLE),
        TraceRow("share left in the long term", "α", share, "%", "", "resin", Origin.TABLE),
        TraceRow("modulus, long-term", "E_L", modulus * share, "MPa", "α E"),
        TraceRow("strength, long-term", "σ_L", strength * share, "MPa", "α σ"),
    )


def _factors(
    ovality: float, safety: float, enhancement: float, poisson: float
) -> tuple[TraceRow, ...]:
    rules = "design rules"
    return (
        TraceRow("ovality of the host", "q", ovality, "%", "", "site", Origin.INPUT),
        TraceRow("safety factor", "N", safety, "-", "", rules, Origin.INPUT),
        TraceRow("enhancement factor", "K", enhancement, "-", "", rules, Origin.INPUT),
        TraceRow("Poisson's ratio", "ν", poisson, "-", "", rules, Origin.INPUT),
        TraceRow(
            "reduction by ovality",
            "C",
            ovality_factor(ovality),
            "-",
            "[(1 − q)/(1 + q)²]³",
            f"ASTM F1216 X1; {TEXTBOOK}",
        ),
    )


def _cases(cases: dict[str, float], span: float | None) -> tuple[TraceRow, ...]:
    rows = [
        TraceRow(
            BUCKLING,
            "t₁",
            cases[BUCKLING],
            "mm",
            "D / {[2 K E_L C / (P N (1 − ν²))]^⅓ + 1}",
            f"ASTM F1216 X1.1; {TEXTBOOK}",
        ),
        TraceRow(
            BENDING,
            "t₂",
            cases[BENDING],
            "mm",
            "1.5 q (1 + q) (D/t)² − 0.5 (1 + q) D/t = σ_L/(P N)",
            f"ASTM F1216 X1.2; {TEXTBOOK}",
        ),
    ]
    if span is not None:
        rows += [
            TraceRow("missing wall, diameter", "d_s", span, "mm", "", "site", Origin.INPUT),
            TraceRow(
                SPAN,
                "t₃",
                cases[SPAN],
                "mm",
                "D / {(D/d_s) [5.33 σ_L/(P N)]^½ + 1}; 0 where d_s > 1.83 (t D)^½: no plate",
                "ASTM F1216 X1, hole span; value from memory",
            ),
        ]
    least = TraceRow(
        MINIMUM, "t_min", LEAST, "mm", "", "ISO 11296-4; value from memory", Origin.TABLE
    )
    return (*rows, least)


def _verdict(required: float, provided: float) -> tuple[TraceRow, ...]:
    return (
        TraceRow("thickness needed", "t_n", required, "mm", "greatest of the cases"),
        TraceRow("thickness installed", "t", provided, "mm", "", "collar", Origin.INPUT),
        TraceRow("utilisation", "η", required / provided, "%", "t_n / t"),
    )

"""The ways in which a tube of the collar could fail, each with the thickness that it asks for.

For review by a qualified engineer under the local code.
"""

from teewright.trace import TraceRow
from teewright.wall.buckling import glock_mean, glock_outer, glock_thickness
from teewright.wall.f1216 import (
    ovality_factor,
    span_thickness,
    widest_plate,
    x1_1_pressure,
    x1_1_thickness,
    x1_2_pressure,
    x1_2_thickness,
)
from teewright.wall.f1216_soil import (
    buoyancy_factor,
    support_factor,
    x1_3_load,
    x1_3_thickness,
    x1_4_thickness,
)
from teewright.wall.loads import total_load
from teewright.wall.plates import clamped_circle_pressure
from teewright.wall.rows import TEXTBOOK, ground_rows
from teewright.wall.values import Case, CuredWall, Ground, Part, Rules

BUCKLING = "buckling under groundwater"
BENDING = "bending of the oval ring"
SPAN = "spanning the missing wall"
SOIL = "buckling under soil, traffic and water"
HANDLING = "least stiffness"
MINIMUM = "least wall"
GLOCK_MEAN = "Glock, mean diameter"
GLOCK_OUTER = "Glock, outer diameter"
BARE = "long tube without a host"


def buckling_case(part: Part, wall: CuredWall, rules: Rules, pressure: float) -> Case:
    """Buckling under groundwater, X1.1."""
    needed = x1_1_thickness(
        pressure,
        part.diameter,
        wall.late_modulus,
        poisson=wall.poisson,
        ovality=part.ovality,
        safety_factor=rules.safety_factor,
        enhancement=rules.enhancement,
    )
    stands = x1_1_pressure(
        part.diameter / part.provided,
        wall.late_modulus,
        poisson=wall.poisson,
        ovality=part.ovality,
        safety_factor=rules.safety_factor,
        enhancement=rules.enhancement,
    )
    formula = "D / {[2 K E_L C / (P N (1 − ν²))]^⅓ + 1}"
    return Case(BUCKLING, "t₁", needed, stands, formula, f"ASTM F1216 X1.1; {TEXTBOOK}")


def bending_case(part: Part, wall: CuredWall, rules: Rules, pressure: float) -> Case:
    """Bending of the oval ring under groundwater, X1.2."""
    strength, q, N = wall.late_strength, part.ovality, rules.safety_factor
    needed = x1_2_thickness(pressure, part.diameter, strength, ovality=q, safety_factor=N)
    stands = x1_2_pressure(part.diameter / part.provided, strength, ovality=q, safety_factor=N)
    formula = "1.5 q (1 + q) (D/t)² − 0.5 (1 + q) D/t = σ_L/(P N)"
    return Case(BENDING, "t₂", needed, stands, formula, f"ASTM F1216 X1.2; {TEXTBOOK}")


def span_case(part: Part, hole: float, wall: CuredWall, rules: Rules, pressure: float) -> Case:
    """A round piece of wall missing behind the collar, the hole span of X1."""
    N = rules.safety_factor
    plate = span_thickness(pressure, part.diameter, hole, wall.late_strength, safety_factor=N)
    # a wider hole is no plate: the liner over it acts as a ring, and the ring cases govern
    flat = hole <= widest_plate(plate, part.diameter)
    stands = clamped_circle_pressure(part.provided, hole, wall.late_strength / N) if flat else None
    formula = "D / {(D/d_s) [5.33 σ_L/(P N)]^½ + 1}; 0 where d_s > 1.83 (t D)^½: no plate"
    source = "ASTM F1216 X1, hole span; value from memory"
    return Case(SPAN, "t₃", plate if flat else 0.0, stands, formula, source)


def soil_case(
    part: Part, ground: Ground, wall: CuredWall, rules: Rules
) -> tuple[Case, tuple[TraceRow, ...]]:
    """Buckling under all that lies on a host that has given up, X1.3, with its rows."""
    water = max(part.head - part.diameter, 0.0)
    load = total_load(water, ground.cover, ground.soil_weight, ground.traffic)
    buoyancy, support = buoyancy_factor(water, ground.cover), support_factor(ground.cover)
    needed = x1_3_thickness(
        load,
        part.diameter,
        wall.late_modulus,
        soil_modulus=ground.soil_modulus,
        buoyancy=buoyancy,
        support=support,
        ovality=part.ovality,
        safety_factor=rules.safety_factor,
    )
    stands = x1_3_load(
        part.diameter / part.provided,
        wall.late_modulus,
        soil_modulus=ground.soil_modulus,
        buoyancy=buoyancy,
        support=support,
        ovality=part.ovality,
        safety_factor=rules.safety_factor,
    )
    formula = "D {12 (N q_t)² / (32 R_w B' E'_s C E_L)}^⅓"
    case = Case(SOIL, "t₄", needed, stands, formula, f"ASTM F1216 X1.3 since -07b; {TEXTBOOK}")
    return case, ground_rows(part.name, ground, water, load)


def handling_case(part: Part, wall: CuredWall) -> Case:
    """Least stiffness of a liner that carries the ground, X1.4."""
    needed = x1_4_thickness(part.diameter, wall.modulus)
    source = f"ASTM F1216 X1.4; {TEXTBOOK}"
    return Case(HANDLING, "t₅", needed, None, "D (12 · 641 Pa / E)^⅓", source)


def least_case(rules: Rules) -> Case:
    """The least wall, whatever the loads."""
    source = "design rules; ISO 11296-4 has 3 mm, value from memory"
    return Case(MINIMUM, "t_min", rules.least, None, "as set, whatever the loads", source)


def beside_cases(part: Part, wall: CuredWall, rules: Rules, pressure: float) -> tuple[Case, ...]:
    """Glock's ring in a rigid host, with both diameters, and the tube without a host."""
    E, v, ratio = wall.late_modulus, wall.poisson, part.diameter / part.provided
    reduction = ovality_factor(part.ovality) / rules.safety_factor
    mean = glock_thickness(pressure, part.diameter, E, poisson=v, reduction=reduction)
    # with the outer diameter in the formula, D/t is one less than with the mean one
    outer = mean / (1.0 - mean / part.diameter)
    bare = x1_1_thickness(
        pressure,
        part.diameter,
        E,
        poisson=v,
        ovality=part.ovality,
        safety_factor=rules.safety_factor,
        enhancement=1.0,
    )
    free = x1_1_pressure(
        ratio,
        E,
        poisson=v,
        ovality=part.ovality,
        safety_factor=rules.safety_factor,
        enhancement=1.0,
    )
    glock = "value from memory; C and N as for X1.1, an assumption"
    moser = "Moser, Buried Pipe Design, eq. 3.14, p. 111; C and N as for X1.1, an assumption"
    return (
        Case(
            GLOCK_MEAN,
            "t_Gm",
            mean,
            reduction * glock_mean(E, ratio, v),
            "D / {[C E_L / (P N (1 − ν²))]^(1/2.2) + 1}",
            glock,
        ),
        Case(
            GLOCK_OUTER,
            "t_Go",
            outer,
            reduction * glock_outer(E, ratio, v),
            "D / [C E_L / (P N (1 − ν²))]^(1/2.2)",
            glock,
        ),
        Case(BARE, "t_bare", bare, free, "X1.1 with K = 1", moser),
    )

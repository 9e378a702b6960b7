"""What a plate over the cut opening would need: a bound for a branch that is closed off.

For review by a qualified engineer under the local code. No standard designs this place. An open
branch has no plate there: the collar turns into it, and the bore is open to both sides. Where
the branch is closed off a lid is taken as a flat round plate, clamped at its rim, that spans
the larger axis of the ellipse which the branch cuts out of the main. That is a cautious
assumption: its curvature is not counted.
"""

from teewright.numerics.limits import within
from teewright.units import MM, hydrostatic
from teewright.wall.cases import least_case
from teewright.wall.f1216 import SAFETY, widest_plate
from teewright.wall.parts import CHECK, HEAD, PROVIDED, check_shares, water_pressure
from teewright.wall.plates import (
    clamped_circle_pressure,
    clamped_circle_thickness,
    clamped_ellipse_thickness,
    opening_axes,
    supported_circle_thickness,
)
from teewright.wall.rows import case_rows, opening_rows, verdict_rows
from teewright.wall.values import Case, CuredWall, Opening, PartCheck, Rules

NAME = "opening"
PLATE = "plate over the cut opening"
ELLIPSE = "clamped ellipse"
LOOSE = "round plate with a loose rim"
CAUTIOUS = "cautious assumption: no standard designs the opening"
THEORY = "thin-plate theory, value from memory"


def opening_check(
    opening: Opening, main_diameter: float, wall: CuredWall, rules: Rules
) -> PartCheck:
    """Thickness that the collar needs at the cut opening, and what it has.

    Args:
        opening: The opening, the collar there and what presses on it.
        main_diameter: Inner diameter of the lined main [m].
        wall: Properties of the cured wall.
        rules: Factors and the least wall.

    Returns:
        The check, with its trace.

    Raises:
        RangeError: A value outside the range of an equation.
    """
    within(opening.provided, PROVIDED, quantity="installed thickness", unit="m", law=CHECK)
    within(opening.inside, HEAD, quantity="head inside", unit="m", law=CHECK)
    N = within(rules.safety_factor, SAFETY, quantity="safety factor", unit="-", law=CHECK)
    check_shares(wall)
    axes = opening_axes(opening.branch_diameter, opening.angle, opening.broken)
    pressures = water_pressure(opening.head), hydrostatic(opening.inside)
    stress = wall.late_strength / N
    plate = _plate(axes[0], max(pressures), stress, opening.provided)
    cases = (plate, least_case(rules))
    beside = _beside(axes, max(pressures), stress, wall.poisson)
    worst = max(cases, key=lambda case: case.needed)
    flat = widest_plate(opening.provided, main_diameter)
    return PartCheck(
        name=NAME,
        provided=opening.provided,
        required=worst.needed,
        utilisation=worst.needed / opening.provided,
        governing=worst.name,
        cases=cases,
        beside=beside,
        notes=(*_notes(axes[0], worst.needed, flat, main_diameter),),
        trace=(
            *opening_rows(opening, axes, pressures, flat),
            *case_rows(NAME, cases, beside),
            *verdict_rows(NAME, worst.needed, opening.provided),
        ),
    )


def _plate(span: float, pressure: float, stress: float, provided: float) -> Case:
    return Case(
        PLATE,
        "t₆",
        clamped_circle_thickness(pressure, span, stress),
        clamped_circle_pressure(provided, span, stress),
        "d_1/2 [0.75 max(P, P_i) N/σ_L]^½",
        CAUTIOUS,
    )


def _beside(
    axes: tuple[float, float], pressure: float, stress: float, poisson: float
) -> tuple[Case, ...]:
    longer, shorter = axes
    ellipse = clamped_ellipse_thickness(pressure, longer, shorter, stress)
    loose = supported_circle_thickness(pressure, longer, stress, poisson=poisson)
    return (
        Case(
            ELLIPSE,
            "t_e",
            ellipse,
            None,
            "d_2/2 {6 P N / [σ_L (3 + 2 s + 3 s²)]}^½, s = (d_2/d_1)²",
            THEORY,
        ),
        Case(LOOSE, "t_loose", loose, None, "d_1/2 [3 (3 + ν) P N / (8 σ_L)]^½", THEORY),
    )


def _notes(span: float, needed: float, flat: float, main_diameter: float) -> list[str]:
    taken = (
        f"A closed-off branch alone would be a flat clamped plate of {span / MM:.0f} mm, the "
        f"larger axis of the cut, that needs {needed / MM:.2f} mm: a cautious assumption, as no "
        "standard designs this place. Over an open branch there is no such plate."
    )
    wide = (
        f"F1216 takes a hole as a plate up to {flat / MM:.0f} mm in this main: at the opening "
        "the plate is a stand-in, and a closer analysis may ask for less."
    )
    long = (
        f"The opening of {span / MM:.0f} mm is longer than the main is wide: its edge is far "
        "from flat."
    )
    return [taken, *([wide] if span > flat else []), *([long] if span > main_diameter else [])]

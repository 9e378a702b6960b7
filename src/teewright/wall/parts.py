"""Whether the part of the collar in the main, or in the branch, stands what presses on it.

For review by a qualified engineer under the local code. A partially deteriorated pipe carries
soil and traffic itself and leaves the groundwater to the collar (F1216 X1.1, X1.2, hole span);
a fully deteriorated one leaves it all (X1.3, X1.4), and the collar must then meet X1.1 and
X1.2 as well. Glock's ring in a rigid host and the tube without a host are held beside.
"""

from teewright.numerics.limits import within
from teewright.trace import TraceRow
from teewright.units import MM, hydrostatic
from teewright.wall.buckling import glock_enhancement
from teewright.wall.cases import (
    SPAN,
    bending_case,
    beside_cases,
    buckling_case,
    handling_case,
    least_case,
    soil_case,
    span_case,
)
from teewright.wall.rows import case_rows, part_rows, verdict_rows
from teewright.wall.values import Case, CuredWall, Part, PartCheck, Rules

HEAD = (0.0, 50.0)
"""Heads of groundwater over the invert [m]."""
PROVIDED = (1e-4, 0.1)
"""Installed thicknesses [m]."""
LONG_TERM = (0.05, 1.0)
"""Shares of a property left after the design life [-]."""
CHECK = "the wall check"


def part_check(part: Part, wall: CuredWall, rules: Rules) -> PartCheck:
    """Thickness that a tube of the collar needs, and what it has.

    Args:
        part: The tube, the pipe round it and what presses on it.
        wall: Properties of the cured wall.
        rules: Factors and the least wall.

    Returns:
        The check, with its trace.

    Raises:
        RangeError: A value outside the range of an equation.
    """
    pressure = water_pressure(part.head)
    within(part.provided, PROVIDED, quantity="installed thickness", unit="m", law=CHECK)
    check_shares(wall)
    cases, ground = _cases(part, wall, rules, pressure)
    beside = beside_cases(part, wall, rules, pressure)
    worst = max(cases, key=lambda case: case.needed)
    return PartCheck(
        name=part.name,
        provided=part.provided,
        required=worst.needed,
        utilisation=worst.needed / part.provided,
        governing=worst.name,
        cases=cases,
        beside=beside,
        notes=tuple(_notes(part, rules, cases, beside[0])),
        trace=(
            *part_rows(part),
            *ground,
            *case_rows(part.name, cases, beside),
            *verdict_rows(part.name, worst.needed, part.provided),
        ),
    )


def water_pressure(head: float) -> float:
    """Pressure of the groundwater, none where the water table is lower.

    Args:
        head: Groundwater over the place; 0 or less is none [m].

    Returns:
        Pressure [Pa].

    Raises:
        RangeError: The head is above 50 m.
    """
    water = max(head, 0.0)
    within(water, HEAD, quantity="groundwater over the invert", unit="m", law=CHECK)
    return hydrostatic(water)


def check_shares(wall: CuredWall) -> None:
    """Refuse shares that no property has left in the long term.

    Args:
        wall: Properties of the cured wall.

    Raises:
        RangeError: A share is outside 5 to 100 %.
    """
    for share in (wall.long_term, wall.strength_share):
        if share is not None:
            within(share, LONG_TERM, quantity="long-term share", unit="-", law=CHECK)


def shortfall(name: str, required: float, provided: float) -> tuple[str, ...]:
    """The sentence that the wall is too thin, where it is.

    Args:
        name: Of the part.
        required: Thickness needed [m].
        provided: Installed thickness [m].

    Returns:
        One sentence, or none.
    """
    if required <= provided:
        return ()
    sentence = (
        f"The {name}'s wall of {provided / MM:.2f} mm is less than the {required / MM:.2f} mm "
        "that it needs."
    )
    return (sentence,)


def _cases(
    part: Part, wall: CuredWall, rules: Rules, pressure: float
) -> tuple[tuple[Case, ...], tuple[TraceRow, ...]]:
    found = [
        buckling_case(part, wall, rules, pressure),
        bending_case(part, wall, rules, pressure),
    ]
    rows: tuple[TraceRow, ...] = ()
    if part.missing:
        found.append(span_case(part, part.missing, wall, rules, pressure))
    if part.ground is not None:
        soil, rows = soil_case(part, part.ground, wall, rules)
        found += [soil, handling_case(part, wall)]
    return (*found, least_case(rules)), rows


def _notes(part: Part, rules: Rules, cases: tuple[Case, ...], glock: Case) -> list[str]:
    needed = {case.name: case.needed for case in cases}
    greatest = max(needed.values())
    notes = list(shortfall(part.name, greatest, part.provided))
    if glock.needed > greatest:
        K = glock_enhancement(part.diameter / glock.needed)
        notes.append(
            f"In the {part.name} Glock's formula asks for {glock.needed / MM:.2f} mm, more than "
            f"the {greatest / MM:.2f} mm of the cases: the host helps so stiff a wall less than "
            f"K = {rules.enhancement:g} says; K = {K:.1f} would agree."
        )
    if part.missing and part.ground is None and needed[SPAN] == 0.0 < part.head:
        notes.append(
            f"In the {part.name} wall is missing over {part.missing / MM:.0f} mm, too wide for a "
            "plate: the engineer must say whether the pipe still carries soil and traffic."
        )
    return notes

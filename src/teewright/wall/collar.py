"""Whether the whole collar stands: main, branch and the opening between them.

For review by a qualified engineer under the local code.
"""

from teewright.errors import InputError
from teewright.wall.opening import opening_check
from teewright.wall.parts import part_check
from teewright.wall.rows import property_rows
from teewright.wall.values import REVIEW, CollarCase, CollarWall

NOT_COUNTED = (
    "The wall is checked under steady loads: quick surges, frost and settlement are not counted.",
    "A tight fit is taken for granted: a gap behind the collar weakens it against buckling.",
    "Creep is counted by the shares left in the long term alone.",
    "At the opening the bond to the liner holds the rim of the plate: it is not checked here.",
    "Pressure from inside is counted at the opening alone: main and branch are gravity pipes.",
)
"""What the checks leave out, one sentence each."""


def collar_wall(case: CollarCase) -> CollarWall:
    """Check every part of a collar and tell which governs.

    Args:
        case: The collar and all that presses on it.

    Returns:
        The checks of main, branch and opening, and the part that is used most.

    Raises:
        InputError: Two parts bear one name.
        RangeError: A value outside the range of an equation.
    """
    if case.main.name == case.branch.name:
        raise InputError(
            "names two parts",
            field="name",
            value=case.branch.name,
            allowed="a name of its own for each part",
        )
    parts = (
        part_check(case.main, case.wall, case.rules),
        part_check(case.branch, case.wall, case.rules),
        opening_check(case.opening, case.main.diameter, case.wall, case.rules),
    )
    worst = max(parts, key=lambda part: part.utilisation)
    return CollarWall(
        parts=parts,
        utilisation=worst.utilisation,
        governing_part=worst.name,
        governing=worst.governing,
        notes=(*(note for part in parts for note in part.notes), f"Wall: {REVIEW}."),
        trace=(
            *property_rows(case.wall, case.rules),
            *(row for part in parts for row in part.trace),
        ),
    )

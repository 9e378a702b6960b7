"""Whether the whole collar stands: what lies in the main, and what lies in the branch.

The opening between them stays open: there the collar turns from the one into the other, and no
plate spans it. What a flat plate over it would need is told beside: it binds only where the
branch is closed off.

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
    "The rounded edge, where the collar turns into the branch, is not checked by itself.",
    "Pressure from inside is not counted: main and branch are gravity pipes.",
)
"""What the checks leave out, one sentence each."""


def collar_wall(case: CollarCase) -> CollarWall:
    """Check every part of a collar and tell which governs.

    Args:
        case: The collar and all that presses on it.

    Returns:
        The checks of main and branch, the part that is used most, and the opening beside.

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
    )
    beside = opening_check(case.opening, case.main.diameter, case.wall, case.rules)
    shared = property_rows(case.wall, case.rules)
    worst = max(parts, key=lambda part: part.utilisation)
    return CollarWall(
        parts=parts,
        beside=beside,
        utilisation=worst.utilisation,
        governing_part=worst.name,
        governing=worst.governing,
        notes=(
            *(note for part in (*parts, beside) for note in part.notes),
            f"Wall: {REVIEW}.",
        ),
        shared=shared,
        trace=(*shared, *(row for part in (*parts, beside) for row in part.trace)),
    )

"""What adds up to the lower end of the window, and what limits the upper one."""

from teewright.pressure.case import WindowCase
from teewright.pressure.forming import forming_pressure, least_carried
from teewright.pressure.host import Ground, confinement
from teewright.pressure.limits import ring_pressure
from teewright.units import hydrostatic

CRACKED = "cracked host held by soil and water"
"""Name of the limit that a host not known to be sound sets."""
SOUND = "sound host as a ring"
"""Name of the limit that the wall of a sound host sets."""
BRANCH_RING = "sound branch pipe as a ring"
"""Name of the limit that the wall of a sound branch pipe sets."""
BRANCH_CRACKED = "cracked branch pipe held by soil and water"
"""Name of the limit that a branch pipe sets that is declared as cracked."""
BRANCH = "branch pipe as declared"
"""Name of the limit that is declared for the branch pipe."""
LINER = "liner of the main"
"""Name of the limit that the lined main sets."""
LANDED = "forming, as simulated"
"""Name of the part that a forming run gives."""
SQUEEZE = "squeezing the soaked fabric"
"""Name of the part that presses the fabric to its thickness."""
FRICTION = "friction on the wall"
"""Name of the part that friction takes."""


def forming_words(case: WindowCase) -> str:
    """Which of both gave the forming part, for sheets and sources."""
    if case.landed is not None:
        return "forming as simulated"
    if case.never_landed:
        return "forming by formula: the simulated fabric never lay within its gap limit"
    return "forming by formula"


def carried(case: WindowCase) -> tuple[float, float]:
    """What the fabric carries itself in branch and main, its stiffer direction [Pa]."""
    stiffness = max(case.fabric.stiffness_along, case.fabric.stiffness_across)
    return (
        forming_pressure(stiffness, case.stretch, case.branch_diameter),
        forming_pressure(stiffness, case.stretch, case.main_diameter),
    )


def low_parts(case: WindowCase) -> tuple[tuple[str, float], ...]:
    """(name, pressure [Pa]) that add up to the lower end.

    Args:
        case: The collar, the packer and the place.

    Raises:
        RangeError: A value outside the ranges of this room.
    """
    parts = [
        ("groundwater at the invert", hydrostatic(max(0.0, case.ground.head))),
        ("unfolding the bladder", case.packer.bladder_pressure),
        _forming(case),
    ]
    if case.friction > 0.0:
        parts.append((FRICTION, case.friction))
    if case.squeeze > 0.0:
        parts.append((SQUEEZE, case.squeeze))
    return (*parts, ("margin", case.margin))


def _forming(case: WindowCase) -> tuple[str, float]:
    if case.landed is not None:
        return LANDED, case.landed
    on_branch, on_main = carried(case)
    if on_branch >= on_main:
        return "forming the branch", on_branch
    return "forming the main", on_main


def fabric_least(case: WindowCase) -> float:
    """The least that the fabric carries itself, in its widest bore [Pa]."""
    widest = max(case.main_diameter, case.branch_diameter)
    return least_carried(case.fabric, case.stretch, widest)


def held_limit(case: WindowCase) -> float:
    """Inflation at which what reaches a cracked wall equals what presses from outside [Pa]."""
    outside = confinement(case.ground_least).total
    return outside + case.packer.bladder_pressure + fabric_least(case)


def branch_held_limit(case: WindowCase, ground: Ground) -> float:
    """The same of a cracked branch pipe, in whose bore bladder and fabric carry a part too [Pa].

    Args:
        case: The collar, the packer and the place.
        ground: At the branch pipe, with the least water.
    """
    carried_least = least_carried(case.fabric, case.stretch, case.branch_diameter)
    return confinement(ground).total + case.packer.bladder_pressure + carried_least


def high_limits(case: WindowCase) -> tuple[tuple[str, float], ...]:
    """(name, pressure [Pa]) of all that limits the upper end.

    Args:
        case: The collar, the packer and the place.

    Raises:
        InputError: The saturated soil would float, or the derating of the packer is no such.
        RangeError: A value outside the ranges of this room.
    """
    limits = [(f"rating of packer {case.packer.name}", case.packer.rating * case.share)]
    if case.liner_pressure is not None:
        limits.append((LINER, case.liner_pressure))
    if case.held_from_outside:
        limits.append((CRACKED, held_limit(case)))
    elif case.host_wall is not None:
        limits.append((SOUND, ring_pressure(case.host_wall)))
    if case.branch_wall is not None:
        limits.append((BRANCH_RING, ring_pressure(case.branch_wall)))
    if (ground := case.ground_of_branch) is not None:
        limits.append((BRANCH_CRACKED, branch_held_limit(case, ground)))
    if case.branch_pressure is not None:
        limits.append((BRANCH, case.branch_pressure))
    return tuple(limits)

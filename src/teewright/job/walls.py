"""The wall of one collar: what stands the groundwater, what moves that, and what seals.

For review by a qualified engineer under the local code.
"""

import math
from dataclasses import dataclass

from teewright.collar.values import Collar
from teewright.job.resolve import Inputs
from teewright.job.wall_case import case_of, in_place
from teewright.kit.values import DesignRules, Kit
from teewright.wall.answers import TightCheck, Tornado
from teewright.wall.collar import collar_wall
from teewright.wall.f1216 import OVALITY
from teewright.wall.parts import HEAD
from teewright.wall.sensitivity import Declared, tornado
from teewright.wall.tightness import LENGTH, TightLength, tight_check
from teewright.wall.values import CollarCase, CollarWall

CHOICE = "an engineer's choice, to be narrowed on site"
"""Said of each range of the chart that nobody measured."""
SHARE = 0.10
"""Of thickness and modulus, up and down [-]."""
SOIL = 2.0
"""Times that the modulus of soil reaction may be more, or less [-]."""
LOWER = 1.0
"""How far the water table may fall below what is known [m]."""
OVAL = 0.05
"""Ovality to which the chart goes at the least [-]."""
OVAL_MORE = 0.02
"""And beyond the known ovality by so much [-]."""


@dataclass(frozen=True, slots=True)
class Walls:
    """All that is told of the wall of one collar.

    Attributes:
        walls: Main and branch, and the opening beside.
        tornado: What moves the utilisation of the whole collar.
        tight: Whether the wanted lengths of seal are there; None where none is set.
    """

    walls: CollarWall
    tornado: Tornado
    tight: TightCheck | None


def walls_of(inputs: Inputs, kit: Kit, collar: Collar, *, thickness: float) -> Walls:
    """Check the wall of one collar.

    Args:
        inputs: Of the connection.
        kit: With the rules and the resin.
        collar: The collar, which may be made for a neighbouring shape.
        thickness: At its thinnest place, installed [m].

    Returns:
        The checks of main and branch, the chart of what moves them, and the seal.

    Raises:
        RangeError: A value outside the range of an equation.
    """
    case = case_of(inputs, kit, in_place(collar.landing, thickness))
    found = collar_wall(case)
    chart = tornado(case, ranges_of(case, inputs, found.governing_part))
    return Walls(found, chart, tight_of(inputs, kit.rules, collar))


def ranges_of(case: CollarCase, inputs: Inputs, governing: str) -> tuple[Declared, ...]:
    """How far the inputs of the wall may be off.

    Args:
        case: The collar as checked.
        inputs: Of the connection.
        governing: The part of which the ovality is moved.

    Returns:
        Ranges of head, thickness, modulus and ovality, each with what it rests on.
    """
    part = case.branch if governing == case.branch.name else case.main
    key = "branch_ovality" if part is case.branch else "ovality"
    most = min(max(OVAL, part.ovality + OVAL_MORE), OVALITY[1])
    head, surface = case.main.head, inputs.cover.value + inputs.host_diameter.value
    share = f"{100.0 * SHARE:.0f} % less and more: {CHOICE}"
    return (
        *_soil(case),
        Declared(
            key="head",
            low=head - LOWER,
            high=min(max(head, surface), HEAD[1]),
            evidence=f"{LOWER:g} m lower, {CHOICE}; up to the ground's surface",
        ),
        _about("thickness", case.main.provided, share),
        _about("modulus", case.wall.modulus, share),
        Declared(key=key, low=0.0, high=most, evidence=f"round to {100.0 * most:.0f} %: {CHOICE}"),
    )


def _soil(case: CollarCase) -> tuple[Declared, ...]:
    ground = case.main.ground
    if ground is None:
        return ()
    low, high = ground.soil_modulus / SOIL, ground.soil_modulus * SOIL
    evidence = f"half to twice: {CHOICE}"
    return (Declared(key="soil_modulus", low=low, high=high, evidence=evidence),)


def _about(key: str, value: float, evidence: str) -> Declared:
    low, high = value * (1.0 - SHARE), value * (1.0 + SHARE)
    return Declared(key=key, low=low, high=high, evidence=evidence)


def tight_of(inputs: Inputs, rules: DesignRules, collar: Collar) -> TightCheck | None:
    """Whether the collar reaches far enough past the cut edge to seal.

    The shortest ways count: along the main from the end of the rounded edge to the end of the
    sleeve, and up the branch on the side where the edge lies highest.

    Args:
        inputs: Of the connection.
        rules: With the lengths wanted; 0 sets none.
        collar: With the places where its free edges land.

    Returns:
        The check, or None where no length is set.

    Raises:
        RangeError: A length outside 1 mm to 5 m.
    """
    flange, branch = seals(inputs, collar)
    wanted = (
        ("flange", flange, rules.tight_length_main),
        ("branch", branch, rules.tight_length_branch),
    )
    # a collar that does not get past its edge has no seal at all: the least one is told
    lengths = tuple(
        TightLength(
            place=place,
            provided=max(provided, LENGTH[0]),
            needed=needed,
            evidence=rules.tight_evidence,
        )
        for place, provided, needed in wanted
        if needed > 0.0
    )
    return tight_check(lengths, inputs.head.value) if lengths else None


def seals(inputs: Inputs, collar: Collar) -> tuple[float, float]:
    """Shortest lengths in contact beyond the rounded edge.

    The edge between two planes at the angle w, rounded with the radius rho, begins
    rho / tan(w/2) from their line; w is the branch angle at the crotch, and its supplement at
    the heel. A branch leans over the main, so that its generator meets the crown r / tan(theta)
    above or below its axis.

    Args:
        inputs: Of the connection.
        collar: With the places where its free edges land.

    Returns:
        Along the main and up the branch [m]; below 0 where the collar ends on the edge.
    """
    angle, radius = inputs.angle.value, inputs.branch_diameter.value / 2.0
    rounds = [inputs.fillet.value / math.tan(w / 2.0) for w in (angle, math.pi - angle)]
    slant = radius / math.tan(angle)
    lands = {edge.name: edge.least for edge in collar.landing.edges}
    sleeve = min(lands["upstream"], lands["downstream"])
    top = lands["branch"]
    flange = sleeve - radius / math.sin(angle) - max(rounds)
    return flange, min(top - slant - rounds[0], top + slant - rounds[1])

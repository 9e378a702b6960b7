"""What the wall of one collar is checked against, and what is taken for granted of it."""

from collections.abc import Iterable
from dataclasses import dataclass

from teewright.collar.values import Landing
from teewright.job.resolve import Inputs
from teewright.kit.values import DesignRules, Kit
from teewright.wall.values import CollarCase, CuredWall, Ground, Opening, Part, Rules
from teewright.wall.wheels import Wheels, wheel_pressure

HOST = (
    "Where nothing else is declared the host is taken to carry soil and traffic itself: "
    "groundwater alone presses on the collar."
)
"""Said where somebody did not declare what the host still does."""
CARRIED = (
    "Where the host is declared to carry soil and traffic, groundwater alone presses on the collar."
)
"""Said where a host is declared as partly deteriorated."""
GIVEN_UP = (
    (
        "Where the host is declared as fully deteriorated the collar is taken to carry water, "
        "soil and traffic alone, in main and branch alike: neither the liner nor the old pipe "
        "helps."
    ),
    (
        "All soil over such a host is taken at the heavier of its two unit weights. A pressure of "
        "traffic told for the main is taken on the branch too; wheels press on each through the "
        "ground over it, as points on elastic ground."
    ),
)
"""Said where a host is declared as fully deteriorated."""
THICKNESS = (
    "Main and branch are each taken as thin as they or the rounded edge are at their thinnest "
    "place, a hundredth of the area left out."
)
WHOLE = "Every part of the collar is taken as thin as its thinnest place."


@dataclass(frozen=True, slots=True)
class InPlace:
    """Thickness at the thinnest place of each part of an installed collar.

    Attributes:
        main: In the main, the rounded edge counted [m].
        opening: On the rounded edge, round the opening [m].
        branch: In the branch, the rounded edge counted [m].
    """

    main: float
    opening: float
    branch: float


def in_place(landing: Landing, thickness: float) -> InPlace:
    """Thickness of each part.

    The rounded edge has no check of its own that binds: it counts with main and branch both.

    Args:
        landing: The formed collar.
        thickness: Installed, at its thinnest place [m].

    Returns:
        In proportion to the formed collar; the thinnest place everywhere where the parts are
        not told.
    """
    if not landing.thin:
        return InPlace(thickness, thickness, thickness)
    scale = thickness / landing.thickness[0]
    return InPlace(*(scale * thin for thin in landing.thin))


def case_of(inputs: Inputs, kit: Kit, thickness: InPlace) -> CollarCase:
    """The collar and what presses on it.

    The water of the opening is that over the invert of the main, the lowest that it can be.

    Args:
        inputs: Of the connection.
        kit: With the rules and the resin.
        thickness: At the thinnest place of each part, installed.

    Returns:
        The case.
    """
    rules, resin, head = kit.rules, kit.resin, inputs.head.value
    branch = inputs.branch_diameter.value
    return CollarCase(
        main=Part(
            name="main",
            diameter=inputs.lined_diameter,
            provided=thickness.main,
            head=head,
            ovality=inputs.ovality.value,
            ground=_ground(inputs, rules, inputs.cover.value, ""),
        ),
        branch=Part(
            name="branch",
            diameter=branch,
            provided=thickness.branch,
            head=head - inputs.branch_rise.value,
            ovality=inputs.branch_ovality.value,
            ground=_ground(inputs, rules, branch_cover(inputs), "c + D_h − z_d − d, of the main"),
            head_formula="h − z_d, of the main",
        ),
        opening=Opening(
            branch_diameter=branch,
            angle=inputs.angle.value,
            broken=0.0,
            provided=thickness.opening,
            head=head,
        ),
        wall=CuredWall(
            modulus=resin.modulus,
            strength=resin.strength,
            long_term=resin.long_term,
            poisson=rules.poisson,
        ),
        rules=Rules(safety_factor=rules.safety_factor, enhancement=rules.enhancement),
    )


def branch_cover(inputs: Inputs) -> float:
    """Ground over the crown of the branch where it joins [m].

    Args:
        inputs: Of the connection.
    """
    rise = inputs.branch_rise.value + inputs.branch_diameter.value
    return inputs.cover.value + inputs.host_diameter.value - rise


def _ground(inputs: Inputs, rules: DesignRules, cover: float, formula: str) -> Ground | None:
    if not inputs.fully_deteriorated:
        return None
    load, beside = inputs.wheel_load, inputs.wheels_beside
    wheels = None if load is None else Wheels(load, beside)
    return Ground(
        cover=cover,
        # the load rises with the weight: whatever the water does, this is the safe side
        soil_weight=max(rules.soil_weight, rules.soil_weight_saturated),
        soil_modulus=inputs.soil_modulus,
        traffic=inputs.traffic if wheels is None else wheel_pressure(wheels, cover),
        cover_formula=formula,
        wheels=wheels,
    )


def taken(resolved: Iterable[Inputs], *, parts_told: bool) -> tuple[str, ...]:
    """What a job takes for granted of the wall, one sentence each.

    Args:
        resolved: Inputs of its connections.
        parts_told: Whether the thickness of each part of each collar is known.

    Returns:
        Sentences that hold for what is declared.
    """
    known = tuple(resolved)
    fully = any(inputs.fully_deteriorated for inputs in known)
    partly = any(inputs.deterioration_told and not inputs.fully_deteriorated for inputs in known)
    return (
        *((HOST,) if any(not inputs.deterioration_told for inputs in known) else ()),
        *((CARRIED,) if partly else ()),
        *(GIVEN_UP if fully else ()),
        THICKNESS if parts_told else WHOLE,
    )

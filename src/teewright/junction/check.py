"""What junctions and skins the surface is made for; all others are refused with the reason."""

import math

from teewright.errors import GeometryError
from teewright.junction.profile import half_width, profile_of
from teewright.junction.reach import edge_reach
from teewright.junction.values import Junction, Skin

MAIN_RANGE = (0.08, 1.0)
"""Inner diameters of the lined main [m]."""
BRANCH_RANGE = (0.06, 0.35)
"""Inner diameters of the branch [m]."""
ANGLE_RANGE = (math.radians(30.0), math.radians(90.0))
"""Angles between the axes; more than a right angle is less on the other side [rad]."""
OVALITY_MOST = 0.10
"""Greatest ovality of a lined main [-]."""
FILLET_MOST = 0.5
"""Greatest radius of the edge over the radius of the branch: beyond it the cut is a funnel, not
an edge, and should be surveyed as a wider branch [-]."""
INSET_MOST = 0.5
"""Greatest inset over the radius of the branch: half the bore must stay open [-]."""
OFFSET_MOST = 0.9
"""Greatest offset over the free width beside the branch: beyond it the branch runs out of the
main's side, where pipe walls touch and no edge is left to seal [-]."""
BALL_MOST = 0.95
"""Greatest ball (fillet and inset) over the largest one that rolls round the edge [-]."""

_SLACK = 1e-9


def check_junction(junction: Junction) -> None:
    """Refuse a shape that cannot exist or that the surface is not made for.

    Args:
        junction: Shape to check.

    Raises:
        GeometryError: With the size that is wrong, its number and what is allowed.
    """
    _check_finite(junction)
    _check_between("main", junction.main_diameter, MAIN_RANGE)
    _check_between("branch", junction.branch_diameter, BRANCH_RANGE)
    low, high = ANGLE_RANGE
    if not low - _SLACK <= junction.angle <= high + _SLACK:
        raise GeometryError(
            f"the branch meets the main at {math.degrees(junction.angle):.1f} degrees; "
            f"collars are made for {math.degrees(low):.0f} to {math.degrees(high):.0f} degrees, "
            "measured on the acute side"
        )
    if not 0.0 <= junction.ovality <= OVALITY_MOST + _SLACK:
        raise GeometryError(
            f"the main is oval by {1e2 * junction.ovality:.1f} %; collars are made for 0 to "
            f"{1e2 * OVALITY_MOST:.0f} %: a rounder or a relined main is needed"
        )
    _check_width(junction)
    most = FILLET_MOST * junction.branch_diameter / 2.0
    if not 0.0 <= junction.fillet <= most * (1.0 + _SLACK):
        raise GeometryError(
            f"the edge is rounded with {1e3 * junction.fillet:.1f} mm; it must be 0 to "
            f"{1e3 * most:.1f} mm, half the radius of the branch"
        )
    _check_ball(Skin(junction, 0.0))


def check_skin(skin: Skin) -> None:
    """Refuse a skin that leaves no lumen or that bends more sharply than it can.

    Args:
        skin: Surface to check, its junction included.

    Raises:
        GeometryError: With the place that is wrong, its number and what is allowed.
    """
    check_junction(skin.junction)
    most = INSET_MOST * skin.junction.branch_diameter / 2.0
    if not 0.0 <= skin.inset <= most:
        raise GeometryError(
            f"the middle of the fabric lies {1e3 * skin.inset:.1f} mm inside the wall; it must "
            f"be 0 to {1e3 * most:.1f} mm, so that half the branch of "
            f"{1e3 * skin.junction.branch_diameter:.0f} mm stays open"
        )
    _check_ball(skin)


def check_shape(skin: Skin) -> None:
    """Refuse a skin that cannot exist, whatever sizes and angles collars are made for.

    Args:
        skin: Surface to check.

    Raises:
        GeometryError: The branch runs out of the main's side, or the skin folds onto itself.
    """
    _check_width(skin.junction)
    _check_ball(skin)


def _check_finite(junction: Junction) -> None:
    names = {
        "main diameter": junction.main_diameter,
        "branch diameter": junction.branch_diameter,
        "angle": junction.angle,
        "radius of the edge": junction.fillet,
        "offset": junction.offset,
        "ovality": junction.ovality,
        "direction of the short axis": junction.short_axis,
    }
    for name, number in names.items():
        if not math.isfinite(number):
            raise GeometryError(f"the {name} of the junction is {number}; it must be a number")


def _check_between(name: str, size: float, allowed: tuple[float, float]) -> None:
    low, high = allowed
    if not low * (1.0 - _SLACK) <= size <= high * (1.0 + _SLACK):
        raise GeometryError(
            f"the {name} diameter is {1e3 * size:.1f} mm; collars are made for "
            f"{1e3 * low:.0f} to {1e3 * high:.0f} mm"
        )


def _check_width(junction: Junction) -> None:
    """The branch must open into the main with its whole width."""
    radius, half = junction.branch_diameter / 2.0, half_width(profile_of(junction))
    oval = ", across the branch, where it is oval" if junction.ovality else ""
    if radius > half * (1.0 + _SLACK):
        raise GeometryError(
            f"the branch of {2e3 * radius:.0f} mm is wider than the main of {2e3 * half:.0f} mm, "
            f"inside its liner{oval}; collars are made for branches as wide as the main or "
            "narrower: measure both again"
        )
    most = max(OFFSET_MOST * (half - radius), min(half - radius, 0.02 * half))
    if abs(junction.offset) > most + _SLACK * half:
        raise GeometryError(
            f"the branch's axis passes {1e3 * abs(junction.offset):.1f} mm beside the main's; "
            f"for these widths it may be {1e3 * most:.1f} mm at most, so that the branch does "
            "not run out of the main's side"
        )


def _check_ball(skin: Skin) -> None:
    ball = skin.junction.fillet + skin.inset
    largest, phi = edge_reach(skin)
    if ball > BALL_MOST * largest:
        raise GeometryError(
            f"at the {place_name(phi)} a radius of {1e3 * ball:.1f} mm (edge "
            f"{1e3 * skin.junction.fillet:.1f} mm, middle of the fabric {1e3 * skin.inset:.1f} mm "
            f"inside it) would fold onto itself; it must be below "
            f"{1e3 * BALL_MOST * largest:.1f} mm: a sharper edge or a thinner fabric is needed"
        )


def place_name(phi: float) -> str:
    """Nearest of crotch, flanks and heel.

    Args:
        phi: Angle round the branch from the crotch [rad].

    Returns:
        `crotch`, `flank towards +y`, `heel` or `flank towards -y`.
    """
    names = ("crotch", "flank towards +y", "heel", "flank towards -y")
    return names[round(phi / (math.pi / 2.0)) % 4]

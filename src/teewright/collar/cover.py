"""How far a collar reaches over the rounded edge, along the main and up the branch."""

import math

import numpy as np

from teewright.collar.values import Collar
from teewright.errors import GeometryError
from teewright.junction.fillet import Fillet, roll_ball
from teewright.junction.saddle import mid_surface, quadrant_angles
from teewright.junction.values import Junction

SEAM_SAMPLES = 1440
"""Points round the seam: a quarter of a degree keeps the chord error far below 0.05 mm."""


def opening_centre(junction: Junction) -> float:
    """Middle of the opening in the main's crown, from where the axes meet, R / tan(theta) [m]."""
    return junction.main_diameter / 2.0 / math.tan(junction.angle)


def crown_height(junction: Junction) -> float:
    """Where the branch's axis passes the main's crown, from where the axes meet [m]."""
    return junction.main_diameter / 2.0 / math.sin(junction.angle)


def sleeve_margins(edge: Fillet, centre: float, sleeve_length: float) -> tuple[float, float]:
    """Length of sleeve that lies on the main beyond the rounded edge.

    Args:
        edge: Rounded edge of the mid-surface.
        centre: Middle of the sleeve along the main [m].
        sleeve_length: Formed length [m].

    Returns:
        Upstream and downstream of the opening, both above 0 [m].

    Raises:
        GeometryError: The sleeve ends on the rounded edge or before it.
    """
    along = edge.main_flat[:, 0]
    half = sleeve_length / 2.0
    upstream = centre + half - float(np.max(along))
    downstream = float(np.min(along)) - (centre - half)
    short = min(upstream, downstream)
    if not short > 0.0:
        raise GeometryError(
            f"a sleeve of {1e3 * sleeve_length:.0f} mm ends on the rounded edge of the opening; "
            f"more than {1e3 * (sleeve_length - 2.0 * short):.0f} mm would reach the main on "
            "both sides"
        )
    return upstream, downstream


def check_branch_part(edge: Fillet, branch_length: float) -> None:
    """Refuse a branch part that ends on the rounded edge.

    Args:
        edge: Rounded edge of the mid-surface.
        branch_length: Formed length beyond the highest point of the seam [m].

    Raises:
        GeometryError: It does not reach the branch all round.
    """
    needed = float(np.max(edge.branch_flat[:, 1]) - np.max(edge.branch_seam[:, 1]))
    if not branch_length > needed:
        raise GeometryError(
            f"a branch part of {1e3 * branch_length:.0f} mm ends on the rounded edge; more than "
            f"{1e3 * needed:.0f} mm would reach the branch all round"
        )


def branch_reach(collar: Collar) -> float:
    """From the main's crown up the branch's axis to the top of a collar [m]."""
    shape = mid_surface(collar.junction, collar.thickness)
    edge = roll_ball(shape, quadrant_angles(SEAM_SAMPLES))
    top = float(np.max(edge.branch_seam[:, 1])) + collar.branch_length
    return top - crown_height(collar.junction)

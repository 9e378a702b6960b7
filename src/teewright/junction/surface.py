"""Places on a skin: from unrolled main, unrolled branch and rounded edge to space."""

import math

import numpy as np

from teewright.junction.edge import arc_points, branch_outward, edge_of
from teewright.junction.profile import normal_at_arc, profile_of, profile_point
from teewright.junction.skin import FloatArray
from teewright.junction.values import Skin


def on_main(skin: Skin, flat: FloatArray) -> FloatArray:
    """Points of the skin's main, whether or not the branch's opening is there.

    Args:
        skin: Surface.
        flat: (x, arc length round the main from the crown, positive to +y), shape (n, 2) [m].

    Returns:
        Shape (n, 3) [m].
    """
    profile = profile_of(skin.junction)
    psi = normal_at_arc(profile, flat[:, 1], -skin.inset)
    return np.column_stack([flat[:, 0], profile_point(profile, psi, -skin.inset)])


def on_branch(skin: Skin, phi: FloatArray, along: FloatArray) -> FloatArray:
    """Points of the skin's branch.

    Args:
        skin: Surface.
        phi: Angle round the branch from the crotch, shape (n,) [rad].
        along: Along the branch's axis from the origin, shape (n,) [m].

    Returns:
        Shape (n, 3) [m].
    """
    junction = skin.junction
    axis = np.array([math.cos(junction.angle), 0.0, math.sin(junction.angle)])
    foot = np.array([0.0, junction.offset, 0.0])
    radius = junction.branch_diameter / 2.0 - skin.inset
    return np.asarray(foot + along[:, None] * axis + radius * branch_outward(junction.angle, phi))


def on_edge(skin: Skin, phi: FloatArray, share: FloatArray) -> FloatArray:
    """Points of the skin's rounded edge.

    Args:
        skin: Surface.
        phi: Angle round the branch from the crotch, shape (n,) [rad].
        share: Of the arc from the main's contact line (0) to the branch's (1), shape (n,) [-].

    Returns:
        Shape (n, 3) [m].
    """
    return arc_points(edge_of(skin, phi), share)

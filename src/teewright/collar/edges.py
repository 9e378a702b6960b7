"""The saddle seam in space, before there is a mesh."""

import math

import numpy as np

from teewright.junction.edge import arc_points, edge_of, seam_share
from teewright.junction.skin import FloatArray
from teewright.junction.values import Seam, Skin

_SAMPLES = 721


def start_seam(skin: Skin) -> Seam:
    """A seam that is good at right angles and at 45 degrees, and between them in proportion.

    Args:
        skin: Surface.

    Returns:
        The seam.
    """
    # measured on mains of 150 to 300 and branches of 100 to 150 mm
    lean = min(max((math.pi / 2.0 - skin.junction.angle) / (math.pi / 4.0), 0.0), 1.3)
    return Seam(0.55 - 0.13 * lean, 0.55 + 0.15 * lean, 0.55 - 0.04 * lean)


def seam_line(skin: Skin, seam: Seam) -> FloatArray:
    """The saddle seam once round, from the heel by the crotch to the heel, shape (n, 3) [m].

    A share outside 0 to 1 is drawn at the nearer end of the arc.

    Args:
        skin: Surface.
        seam: Where the seam runs.
    """
    edge = edge_of(skin, np.linspace(-math.pi, math.pi, _SAMPLES))
    share = np.clip(seam_share(seam, edge.phi), 0.0, 1.0)
    return np.asarray(arc_points(edge, share))


def highest_seam(skin: Skin, seam: Seam) -> float:
    """Highest point of the saddle seam along the branch's axis, from the origin [m]."""
    angle = skin.junction.angle
    axis = np.array([math.cos(angle), 0.0, math.sin(angle)])
    return float(np.max(seam_line(skin, seam) @ axis))

"""Columns of a mesh: angles round the branch, evenly along the seam in each quadrant."""

import math

import numpy as np

from teewright.junction.edge import arc_points, edge_of, seam_share
from teewright.junction.skin import FloatArray
from teewright.junction.values import Seam, Skin

_DENSE = 96


def seam_points(skin: Skin, seam: Seam, phi: FloatArray) -> FloatArray:
    """Places on the seam; one that runs below the edge is taken where the edge begins.

    Args:
        skin: Surface.
        seam: Where the seam runs.
        phi: Angle round the branch, shape (n,) [rad].

    Returns:
        Shape (n, 3) [m].
    """
    edge = edge_of(skin, phi)
    share = seam_share(seam, phi)
    theta = skin.junction.angle
    axis = np.array([math.cos(theta), 0.0, math.sin(theta)])
    beyond = (np.maximum(share - 1.0, 0.0) * edge.length)[:, None]
    return np.asarray(arc_points(edge, np.clip(share, 0.0, 1.0)) + beyond * axis)


def seam_run(skin: Skin, seam: Seam, quadrant: int) -> tuple[FloatArray, FloatArray]:
    """Angles in one quadrant and the seam's length up to each.

    The run starts at the crotch or at the heel and ends at the flank, so that both sides of a
    symmetric junction give the same numbers.

    Args:
        skin: Surface.
        seam: Where the seam runs.
        quadrant: 0 from crotch to +y, 1 from heel to +y, 2 from heel to -y, 3 from crotch to
            -y.

    Returns:
        phi between -pi and pi [rad] and length from the start [m].
    """
    turn = np.linspace(0.0, 1.0, _DENSE + 1) * (math.pi / 2.0)
    phi = turn if quadrant in (0, 3) else math.pi - turn
    phi = phi if quadrant < 2 else -phi
    steps = np.linalg.norm(np.diff(seam_points(skin, seam, phi), axis=0), axis=1)
    return phi, np.concatenate([[0.0], np.cumsum(steps)])


def seam_lengths(skin: Skin, seam: Seam) -> tuple[float, float, float, float]:
    """Length of the seam in each quadrant, from the crotch by +y [m]."""
    first, second, third, fourth = (float(seam_run(skin, seam, k)[1][-1]) for k in range(4))
    return first, second, third, fourth


def column_angles(skin: Skin, seam: Seam, columns: tuple[int, ...]) -> FloatArray:
    """Angles of the columns, evenly along the seam in each quadrant.

    Args:
        skin: Surface.
        seam: Where the seam runs.
        columns: Of each quadrant from the crotch by +y: two of half a mesh, four of a whole.

    Returns:
        Between -pi and pi, from the crotch by +y to the heel, and on to the last before the
        crotch where there are four; mirror columns differ in sign only, shape (n,) [rad].
    """
    runs = [_spread(skin, seam, k, count) for k, count in enumerate(columns)]
    upper = np.concatenate([runs[0][:-1], runs[1][::-1]])
    if len(columns) == 2:
        return np.asarray(upper)
    return np.concatenate([upper, runs[2][1:], runs[3][-2:0:-1]])


def _spread(skin: Skin, seam: Seam, quadrant: int, count: int) -> FloatArray:
    """Angles of one quadrant from crotch or heel to the flank."""
    phi, length = seam_run(skin, seam, quadrant)
    angles = np.interp(np.linspace(0.0, length[-1], count + 1), length, phi)
    angles[0], angles[-1] = phi[0], phi[-1]
    return np.asarray(angles)

"""How large a ball can roll round the edge: the limit of fillet and fabric together."""

import math

import numpy as np

from teewright.junction.edge import ball_path, branch_outward
from teewright.junction.values import Skin

_QUADRANT = 32
_DIRECTIONS = 9


def edge_reach(skin: Skin) -> tuple[float, float]:
    """Radius of the largest ball that rolls round the edge in the lumen and touches it once.

    The edge is where main and branch, both enlarged by the fillet, cut each other. For each
    point p of it and each direction u between the inward normals of both pipes, a ball that
    touches at p and goes through another point q has the radius |q - p|^2 / (2 (q - p) . u)
    (H. Federer, Curvature measures, Trans. Am. Math. Soc. 93, 1959, theorem 4.8, for one
    point's cone of normals; recalled).

    Args:
        skin: Surface; its inset is not used.

    Returns:
        The radius [m], to some percent, and the angle round the branch of the place that
        limits it [rad].
    """
    phi = np.linspace(-math.pi, math.pi, 4 * _QUADRANT, endpoint=False)
    psi, centre, _ = ball_path(skin, phi)
    main = np.column_stack([np.zeros_like(psi), np.sin(psi), np.cos(psi)])
    branch = branch_outward(skin.junction.angle, phi)
    apart = centre[None, :, :] - centre[:, None, :]
    square = np.sum(apart**2, axis=2)
    least, place = math.inf, 0.0
    for share in np.linspace(0.0, 1.0, _DIRECTIONS):
        inward = -(1.0 - share) * main - share * branch
        inward /= np.maximum(np.linalg.norm(inward, axis=1), 1e-9)[:, None]
        height = np.matmul(apart, inward[:, :, None])[:, :, 0]
        radius = np.where(height > 1e-12, square / np.maximum(2.0 * height, 1e-12), math.inf)
        row = int(np.argmin(radius.min(axis=1)))
        if radius[row].min() < least:
            least, place = float(radius[row].min()), float(phi[row])
    return least, place

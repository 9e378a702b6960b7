"""The rounded edge of a skin: a ball that touches main and branch, for any offset and ovality.

The ball's centre runs where the main's profile and the branch, both enlarged by the fillet,
cut each other; the skin is the ball's surface at fillet plus inset.
"""

import math
from dataclasses import dataclass

import numpy as np

from teewright.junction.profile import arc_at, normal_at, profile_of, profile_point
from teewright.junction.skin import FloatArray
from teewright.junction.values import Seam, Skin


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """The rounded edge of a skin at n angles round the branch.

    Attributes:
        phi: Angle round the branch from the crotch, shape (n,) [rad].
        psi: Angle of the main's normal from z towards +y, shape (n,) [rad].
        centre: Centre of the ball, shape (n, 3) [m].
        main_normal: Outward normal of the main at its contact line, shape (n, 3) [-].
        branch_normal: Outward normal of the branch at its contact line, shape (n, 3) [-].
        radius: Radius of the ball's arc on the skin, fillet plus inset [m].
        turning: Angle of the arc, shape (n,) [rad].
        main_flat: Contact line on the main unrolled, (x, round), shape (n, 2) [m].
        branch_flat: Contact line on the branch unrolled, (round, along), shape (n, 2) [m].
        main_reach: Whole arc laid straight on from `main_flat`, shape (n, 2) [m].
        branch_reach: Whole arc laid straight on from `branch_flat`, shape (n, 2) [m].
    """

    phi: FloatArray
    psi: FloatArray
    centre: FloatArray
    main_normal: FloatArray
    branch_normal: FloatArray
    radius: float
    turning: FloatArray
    main_flat: FloatArray
    branch_flat: FloatArray
    main_reach: FloatArray
    branch_reach: FloatArray

    @property
    def length(self) -> FloatArray:
        """Length of the arc, shape (n,) [m]."""
        return np.asarray(self.radius * self.turning)


def edge_of(skin: Skin, phi: FloatArray) -> Edge:
    """The rounded edge of a skin at given angles.

    Args:
        skin: Surface, checked by `check_skin`.
        phi: Angle round the branch from the crotch, shape (n,) [rad].

    Returns:
        Ball, contact lines and their developments.
    """
    junction = skin.junction
    profile, radius = profile_of(junction), junction.fillet + skin.inset
    psi, centre, along = ball_path(skin, phi)
    main_normal = np.column_stack([np.zeros_like(psi), np.sin(psi), np.cos(psi)])
    branch_normal = branch_outward(junction.angle, phi)
    turning = angle_between(main_normal, branch_normal)
    on_main, on_branch = _arc_directions(junction.angle, phi, psi)
    # the arc over its sine: finite where both pipes touch and the arc shrinks to nothing
    reach = (radius / np.sinc(turning / math.pi))[:, None]
    round_branch = (junction.branch_diameter / 2.0 - skin.inset) * phi
    return Edge(
        phi=phi,
        psi=psi,
        centre=centre,
        main_normal=main_normal,
        branch_normal=branch_normal,
        radius=radius,
        turning=turning,
        main_flat=np.column_stack([centre[:, 0], arc_at(profile, psi, -skin.inset)]),
        branch_flat=np.column_stack([round_branch, along]),
        main_reach=reach * on_main,
        branch_reach=reach * on_branch,
    )


def ball_path(skin: Skin, phi: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Where the ball's centre runs.

    Args:
        skin: Surface; its inset is not used.
        phi: Angle round the branch from the crotch, shape (n,) [rad].

    Returns:
        Angle of the main's normal (n,) [rad], centre (n, 3) [m], and its height along the
        branch's axis from the origin (n,) [m].
    """
    junction = skin.junction
    profile, rho = profile_of(junction), junction.fillet
    radius, theta = junction.branch_diameter / 2.0 + rho, junction.angle
    psi = normal_at(profile, junction.offset + radius * np.sin(phi), rho)
    y, z = profile_point(profile, psi, rho).T
    along = (z + radius * np.cos(phi) * math.cos(theta)) / math.sin(theta)
    x = along * math.cos(theta) + radius * np.cos(phi) * math.sin(theta)
    return psi, np.column_stack([x, y, z]), np.asarray(along)


def branch_outward(theta: float, phi: FloatArray) -> FloatArray:
    """Outward normal of the branch at angles round it, shape (n, 3) [-]."""
    return np.column_stack(
        [np.cos(phi) * math.sin(theta), np.sin(phi), -np.cos(phi) * math.cos(theta)]
    )


def angle_between(first: FloatArray, second: FloatArray) -> FloatArray:
    """Angle between unit vectors, exact also near 0 and pi, shape (n,) [rad]."""
    sine = np.linalg.norm(np.cross(first, second), axis=1)
    return np.asarray(np.arctan2(sine, np.einsum("ij,ij->i", first, second)))


def _arc_directions(
    theta: float, phi: FloatArray, psi: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Directions of the arc where it leaves main and branch, times the sine of its angle.

    On the main (x, round), on the branch (round, along): each is minus the other pipe's
    normal seen in this pipe's tangent plane.
    """
    sine, cosine = np.sin(phi), np.cos(phi)
    lean, rise = math.cos(theta), math.sin(theta)
    across, up = np.sin(psi), np.cos(psi)
    on_main = np.column_stack([-cosine * rise, -(sine * up + cosine * across * lean)])
    on_branch = np.column_stack([-(sine * up * lean + cosine * across), -up * rise])
    return on_main, on_branch


def arc_points(edge: Edge, share: FloatArray) -> FloatArray:
    """Points of the rounded edge.

    Args:
        edge: At n angles.
        share: Of the arc, from the main's contact line (0) to the branch's (1), shape (n, ...).

    Returns:
        Shape of `share` plus (3,) [m].
    """
    extra = (1,) * (share.ndim - 1)
    angle = edge.turning.reshape(-1, *extra)
    # spherical interpolation, written with sinc so that an arc of no angle stays finite
    whole = np.sinc(angle / math.pi)
    to_main = (1.0 - share) * np.sinc((1.0 - share) * angle / math.pi) / whole
    to_branch = share * np.sinc(share * angle / math.pi) / whole
    shape = (-1, *extra, 3)
    normal = to_main[..., None] * edge.main_normal.reshape(shape)
    normal = normal + to_branch[..., None] * edge.branch_normal.reshape(shape)
    return np.asarray(edge.centre.reshape(shape) - edge.radius * normal)


def seam_share(seam: Seam, phi: FloatArray) -> FloatArray:
    """Share of the arc at which a seam crosses the edge, shape of `phi` [-]."""
    ends = (seam.crotch + seam.heel) / 2.0
    mean, second = (ends + seam.flank) / 2.0, (ends - seam.flank) / 2.0
    first = (seam.crotch - seam.heel) / 2.0
    return np.asarray(
        mean + first * np.cos(phi) + second * np.cos(2.0 * phi) + seam.side * np.sin(phi)
    )

"""The rounded edge: a ball rolled along both cylinders inside the host's material.

The ball's centre stays at R + rho from the main's axis and at r + rho from the branch's, so
that it runs on the saddle of two cylinders of those radii. Everything follows in closed form.
"""

import math
from dataclasses import dataclass

import numpy as np

from teewright.junction.saddle import (
    FloatArray,
    quadrant_angles,
    saddle_curve,
    saddle_height,
)
from teewright.junction.values import Junction


@dataclass(frozen=True, slots=True)
class Fillet:
    """The rounded edge at n angles round the branch.

    The arc of the ball's great circle between its two contact points is a geodesic of the
    rounded edge. A panel is unrolled to its contact line and goes on from there straight, in
    the arc's direction, for the arc's length: fibres across the seam keep length and direction.

    Attributes:
        phi: Angle round the branch from the crotch, shape (n,) [rad].
        turning: Angle of the arc, shape (n,) [rad].
        centre: Centre of the ball, shape (n, 3) [m].
        main_contact: Where the ball touches the main, shape (n, 3) [m].
        branch_contact: Where the ball touches the branch, shape (n, 3) [m].
        seam: Half-way round the arc, shape (n, 3) [m].
        main_flat: Contact line on the main unrolled, (along, round), shape (n, 2) [m].
        branch_flat: Contact line on the branch unrolled, (round, along), shape (n, 2) [m].
        main_seam: Seam on the main unrolled and carried on, shape (n, 2) [m].
        branch_seam: Seam on the branch unrolled and carried on, shape (n, 2) [m].
    """

    phi: FloatArray
    turning: FloatArray
    centre: FloatArray
    main_contact: FloatArray
    branch_contact: FloatArray
    seam: FloatArray
    main_flat: FloatArray
    branch_flat: FloatArray
    main_seam: FloatArray
    branch_seam: FloatArray


def roll_ball(junction: Junction, phi: FloatArray) -> Fillet:
    """The rounded edge of a junction at given angles.

    Args:
        junction: Shape, checked by `check_junction`.
        phi: Angle round the branch from the crotch, shape (n,) [rad].

    Returns:
        Contact lines, seam half-way round, and their developments.
    """
    rho = junction.fillet
    main, branch = junction.main_diameter / 2.0, junction.branch_diameter / 2.0
    path = _path(junction)
    centre = saddle_curve(path, phi)
    psi = np.arcsin(np.clip(centre[:, 1] / (main + rho), -1.0, 1.0))
    normal_main = np.column_stack([np.zeros_like(psi), np.sin(psi), np.cos(psi)])
    normal_branch = _branch_normal(junction.angle, phi)
    turning = _angle_between(normal_main, normal_branch)
    middle = normal_main + normal_branch
    middle /= np.linalg.norm(middle, axis=1)[:, None]
    main_flat = np.column_stack([centre[:, 0], main * psi])
    branch_flat = np.column_stack([branch * phi, saddle_height(path, phi)])
    on_main, on_branch = _arc_directions(junction.angle, phi, psi)
    # half the arc over its sine: finite where both cylinders touch and the arc shrinks to nothing
    reach = (rho / 2.0 / np.sinc(turning / math.pi))[:, None]
    return Fillet(
        phi=phi,
        turning=turning,
        centre=centre,
        main_contact=centre - rho * normal_main,
        branch_contact=centre - rho * normal_branch,
        seam=centre - rho * middle,
        main_flat=main_flat,
        branch_flat=branch_flat,
        main_seam=main_flat + reach * on_main,
        branch_seam=branch_flat + reach * on_branch,
    )


def _path(junction: Junction) -> Junction:
    """The two cylinders on which the ball's centre runs."""
    return Junction(
        main_diameter=junction.main_diameter + 2.0 * junction.fillet,
        branch_diameter=junction.branch_diameter + 2.0 * junction.fillet,
        angle=junction.angle,
        fillet=0.0,
    )


def _branch_normal(theta: float, phi: FloatArray) -> FloatArray:
    """Outward normal of the branch, shape (n, 3)."""
    return np.column_stack(
        [np.cos(phi) * math.sin(theta), np.sin(phi), -np.cos(phi) * math.cos(theta)]
    )


def _angle_between(first: FloatArray, second: FloatArray) -> FloatArray:
    """Angle between unit vectors, exact also near 0 and pi, shape (n,) [rad]."""
    sine = np.linalg.norm(np.cross(first, second), axis=1)
    return np.asarray(np.arctan2(sine, np.einsum("ij,ij->i", first, second)))


def _arc_directions(
    theta: float, phi: FloatArray, psi: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Directions of the arc where it leaves main and branch, times the sine of its angle.

    On the main (along, round), on the branch (round, along): each is minus the other
    cylinder's normal seen in this cylinder's tangent plane.
    """
    on_main = np.column_stack(
        [
            -np.cos(phi) * math.sin(theta),
            -(np.sin(phi) * np.cos(psi) + np.cos(phi) * np.sin(psi) * math.cos(theta)),
        ]
    )
    on_branch = np.column_stack(
        [
            -(np.sin(phi) * np.cos(psi) * math.cos(theta) + np.cos(phi) * np.sin(psi)),
            -np.cos(psi) * math.sin(theta),
        ]
    )
    return on_main, on_branch


def fillet_excess(turning: FloatArray, fillet: float) -> FloatArray:
    """Length of a sharp template that a rounded edge does not need.

    2 rho (tan(beta/2) - beta/2): two tangents against the arc, in the plane across the edge.

    Args:
        turning: Angle beta of the arc, shape (n,), below pi [rad].
        fillet: Radius rho of the edge [m].

    Returns:
        Both panels together, shape (n,) [m].
    """
    return np.asarray(2.0 * fillet * (np.tan(turning / 2.0) - turning / 2.0))


def fillet_area(junction: Junction, *, samples: int = 720, steps: int = 24) -> float:
    """Area of the rounded edge between its two contact lines [m2].

    Args:
        junction: Shape, checked by `check_junction`.
        samples: Angles round the branch.
        steps: Parts of each arc.

    Returns:
        Area of the triangles between neighbouring arcs; the error falls with the square of
        both numbers.
    """
    if junction.fillet == 0.0:
        return 0.0
    grid = _strip(roll_ball(junction, quadrant_angles(samples)), steps)
    a, b = grid[:-1, :-1], grid[1:, :-1]
    c, d = grid[1:, 1:], grid[:-1, 1:]
    lower = np.linalg.norm(np.cross(b - a, c - a), axis=2)
    upper = np.linalg.norm(np.cross(c - a, d - a), axis=2)
    return float(lower.sum() + upper.sum()) / 2.0


def _strip(fillet: Fillet, steps: int) -> FloatArray:
    """Points of the rounded edge, shape (n, steps + 1, 3) [m]."""
    start = (fillet.main_contact - fillet.centre)[:, None, :]
    end = (fillet.branch_contact - fillet.centre)[:, None, :]
    beta = fillet.turning[:, None]
    share = np.linspace(0.0, 1.0, steps + 1)[None, :]
    # spherical interpolation, written with sinc so that an arc of no angle stays finite
    whole = np.sinc(beta / math.pi)
    from_start = (1.0 - share) * np.sinc((1.0 - share) * beta / math.pi) / whole
    from_end = share * np.sinc(share * beta / math.pi) / whole
    points = from_start[:, :, None] * start + from_end[:, :, None] * end
    return np.asarray(fillet.centre[:, None, :] + points)

"""The sharp edge where the branch cuts the main: its shape, its developments, its length.

The main's axis is x, the branch leaves upwards (z) and leans towards +x. The branch's axis
has the direction (cos theta, 0, sin theta); `phi` runs round it from the crotch, so that a
point of the branch is s d + r cos(phi) e + r sin(phi) y with e = (sin theta, 0, -cos theta).
"""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from teewright.errors import GeometryError
from teewright.junction.values import Junction

FloatArray = NDArray[np.float64]
"""Array of floats."""

ANGLE_MIN = math.radians(45.0)
"""Least angle between the axes for which collars are drawn [rad]."""
ANGLE_MAX = math.radians(90.0)
"""Greatest angle between the axes, by definition of the acute side [rad]."""

_SLACK = 1e-9
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(96)


def check_junction(junction: Junction) -> None:
    """Refuse a shape that cannot exist or that the closed forms do not hold for.

    Args:
        junction: Shape to check.

    Raises:
        GeometryError: A size is not a positive number, the angle is outside 45 to 90
            degrees, the branch is wider than the main, or the rounding of the edge is
            larger than the radius of the branch.
    """
    sizes = {"main": junction.main_diameter, "branch": junction.branch_diameter}
    for name, size in sizes.items():
        if not (math.isfinite(size) and size > 0.0):
            raise GeometryError(f"the {name} diameter is {size:.6g} m; it must be above 0")
    _check_angle(junction.angle)
    if junction.branch_diameter > junction.main_diameter * (1.0 + _SLACK):
        raise GeometryError(
            f"the branch of {1e3 * junction.branch_diameter:.0f} mm is wider than the main of "
            f"{1e3 * junction.main_diameter:.0f} mm, inside its liner; collars are drawn for "
            "branches as wide as the main or narrower: measure both again"
        )
    _check_fillet(junction)


def _check_angle(angle: float) -> None:
    if not ANGLE_MIN - _SLACK <= angle <= ANGLE_MAX + _SLACK:
        raise GeometryError(
            f"the branch meets the main at {math.degrees(angle):.1f} degrees; "
            "collars are drawn for 45 to 90 degrees"
        )


def _check_fillet(junction: Junction) -> None:
    radius = junction.branch_diameter / 2.0
    if not 0.0 <= junction.fillet <= radius:
        raise GeometryError(
            f"the edge is rounded with {1e3 * junction.fillet:.1f} mm; it must be 0 to "
            f"{1e3 * radius:.1f} mm, the radius of the branch"
        )


def mid_surface(junction: Junction, thickness: float) -> Junction:
    """The surface in the middle of a fabric that lies against a junction from inside.

    Args:
        junction: The host's inner surface.
        thickness: Installed thickness of the fabric, >= 0 [m].

    Returns:
        Both radii less, and the fillet more, by half the thickness: the edge is convex
        towards the fabric.

    Raises:
        GeometryError: The fabric would fill the branch.
    """
    if not 0.0 <= thickness < junction.branch_diameter:
        raise GeometryError(
            f"a fabric {1e3 * thickness:.1f} mm thick does not go into a branch of "
            f"{1e3 * junction.branch_diameter:.0f} mm"
        )
    return replace(
        junction,
        main_diameter=junction.main_diameter - thickness,
        branch_diameter=junction.branch_diameter - thickness,
        fillet=junction.fillet + thickness / 2.0,
    )


def saddle_height(junction: Junction, phi: FloatArray) -> FloatArray:
    """Height of the sharp edge along the branch's axis, from where the axes meet [m].

    s(phi) = [sqrt(R^2 - r^2 sin^2 phi) + r cos phi cos theta] / sin theta; at 90 degrees
    this is the tee template of sheet-metal work (*Sheet and Plate Metal Work*, ch. III;
    *Pattern Development*, ch. 16).

    Args:
        junction: Shape; its fillet is not used.
        phi: Angle round the branch from the crotch, shape (n,) [rad].

    Returns:
        Shape (n,) [m].
    """
    radius, theta = junction.branch_diameter / 2.0, junction.angle
    rise = _main_rise(junction, phi)
    return np.asarray((rise + radius * np.cos(phi) * math.cos(theta)) / math.sin(theta))


def _main_rise(junction: Junction, phi: FloatArray) -> FloatArray:
    """Height of the edge above the main's axis, sqrt(R^2 - r^2 sin^2 phi) [m]."""
    main, branch = junction.main_diameter / 2.0, junction.branch_diameter / 2.0
    return np.sqrt(np.maximum(main**2 - (branch * np.sin(phi)) ** 2, 0.0))


def saddle_curve(junction: Junction, phi: FloatArray) -> FloatArray:
    """The sharp edge in space.

    Args:
        junction: Shape; its fillet is not used.
        phi: Angle round the branch from the crotch, shape (n,) [rad].

    Returns:
        x along the main, y across, z up, shape (n, 3) [m].
    """
    radius, theta = junction.branch_diameter / 2.0, junction.angle
    rise = _main_rise(junction, phi)
    x = (rise * math.cos(theta) + radius * np.cos(phi)) / math.sin(theta)
    return np.column_stack([x, radius * np.sin(phi), rise])


def developed_hole(junction: Junction, phi: FloatArray) -> FloatArray:
    """The sharp edge on the main unrolled: (x, R asin(y/R)).

    Args:
        junction: Shape; its fillet is not used.
        phi: Angle round the branch from the crotch, shape (n,) [rad].

    Returns:
        Along the main and round it from the crown, shape (n, 2) [m].
    """
    main = junction.main_diameter / 2.0
    curve = saddle_curve(junction, phi)
    round_main = main * np.arcsin(np.clip(curve[:, 1] / main, -1.0, 1.0))
    return np.column_stack([curve[:, 0], round_main])


def developed_edge(junction: Junction, phi: FloatArray) -> FloatArray:
    """The sharp edge on the branch unrolled: (r phi, s(phi)).

    Args:
        junction: Shape; its fillet is not used.
        phi: Angle round the branch from the crotch, shape (n,) [rad].

    Returns:
        Round the branch from the crotch and along its axis, shape (n, 2) [m].
    """
    radius = junction.branch_diameter / 2.0
    return np.column_stack([radius * phi, saddle_height(junction, phi)])


def turning_angle(junction: Junction, phi: FloatArray) -> FloatArray:
    """Angle between the outward normals of main and branch along the sharp edge.

    pi - theta at the crotch, theta at the heel, acos(r/R) at the flanks.

    Args:
        junction: Shape; its fillet is not used.
        phi: Angle round the branch from the crotch, shape (n,) [rad].

    Returns:
        beta, shape (n,) [rad].
    """
    main, branch = junction.main_diameter / 2.0, junction.branch_diameter / 2.0
    sine = branch / main * np.sin(phi)
    cosine = np.sqrt(np.maximum(1.0 - sine**2, 0.0))
    dot = sine * np.sin(phi) - cosine * np.cos(phi) * math.cos(junction.angle)
    return np.asarray(np.arccos(np.clip(dot, -1.0, 1.0)))


def saddle_lengths(junction: Junction) -> tuple[float, float, float]:
    """Length of the sharp edge once round, found in three ways.

    Args:
        junction: Shape; its fillet is not used.

    Returns:
        In space, on the branch unrolled and round the hole unrolled [m]: the same number,
        by Gauss's quadrature of each curve's own speed over each quadrant.
    """
    quadrants = np.arange(4)[:, None] * (math.pi / 2.0)
    phi = (quadrants + (_NODES + 1.0) * (math.pi / 4.0)).ravel()
    weights = np.tile(_WEIGHTS * (math.pi / 4.0), 4)
    main, branch, theta = junction.main_diameter / 2, junction.branch_diameter / 2, junction.angle
    rise = _main_rise(junction, phi)
    d_rise = -(branch**2) * np.sin(phi) * np.cos(phi) / rise
    d_x = (d_rise * math.cos(theta) - branch * np.sin(phi)) / math.sin(theta)
    d_y = branch * np.cos(phi)
    d_s = (d_rise - branch * np.sin(phi) * math.cos(theta)) / math.sin(theta)
    speeds = (
        np.sqrt(d_x**2 + d_y**2 + d_rise**2),
        np.hypot(branch, d_s),
        np.hypot(d_x, d_y * main / rise),
    )
    space, on_branch, on_main = (float(np.dot(weights, speed)) for speed in speeds)
    return space, on_branch, on_main


def quadrant_angles(samples: int) -> FloatArray:
    """Angles once round the branch with crotch, heel and both flanks among them.

    Args:
        samples: Number of angles, rounded up to a multiple of 4.

    Returns:
        From -pi (heel) by the crotch at 0 to +pi (heel again), shape (samples + 1,) [rad].
    """
    count = 4 * math.ceil(samples / 4)
    return np.linspace(-math.pi, math.pi, count + 1)

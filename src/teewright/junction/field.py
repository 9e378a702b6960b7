"""Exact signed distance to a skin, for arrays and for compiled loops.

`gap` is positive in the lumen and negative where a point has gone through the skin; the normal
points from the skin into the lumen. The field's level sets are exact parallel surfaces.
"""

import math
from dataclasses import dataclass

import numpy as np

from teewright.junction import kernel
from teewright.junction.edge import ball_path
from teewright.junction.kernel import distance
from teewright.junction.profile import half_width, profile_of, profile_point
from teewright.junction.reach import edge_reach
from teewright.junction.skin import FloatArray
from teewright.junction.values import Skin

__all__ = [
    "Field",
    "distance",
    "distances",
    "drum_field",
    "field_of",
    "pipe_field",
    "plane_field",
]

_QUADRANT = 32


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """What the compiled distance reads.

    Attributes:
        numbers: Kind and sizes, see `kernel`, shape (14,).
        table: Angle and place of points of the curve on which the ball's centre runs, shape
            (4, k) [rad, m, m, m].
    """

    numbers: FloatArray
    table: FloatArray


def field_of(skin: Skin) -> Field:
    """Distance to a skin.

    Args:
        skin: Surface, checked by `check_skin`.

    Returns:
        The field.
    """
    junction, numbers = skin.junction, np.zeros(kernel.COUNT)
    rho, round_main = junction.fillet, junction.ovality == 0.0
    profile = profile_of(junction)
    numbers[kernel.KIND] = kernel.ROUND if round_main else kernel.OVAL
    numbers[kernel.LEVEL] = rho + skin.inset
    numbers[kernel.MAIN] = profile.radius + rho
    numbers[kernel.BRANCH] = junction.branch_diameter / 2.0 + rho
    numbers[kernel.OFFSET] = junction.offset
    numbers[kernel.COSINE], numbers[kernel.SINE] = (
        math.cos(junction.angle),
        math.sin(junction.angle),
    )
    numbers[kernel.FILLET] = rho
    numbers[kernel.SHORT], numbers[kernel.LONG] = profile.semi_axes
    numbers[kernel.AXIS_COSINE] = math.cos(junction.short_axis)
    numbers[kernel.AXIS_SINE] = math.sin(junction.short_axis)
    flank = profile_point(profile, np.array([math.pi / 2.0]))[0]
    numbers[kernel.TILT] = 0.0 if round_main else flank[1] / (half_width(profile) + rho)
    phi = np.linspace(-math.pi, math.pi, 4 * _QUADRANT, endpoint=False)
    numbers[kernel.SAFE] = 0.9 * edge_reach(skin)[0]
    return Field(numbers, np.ascontiguousarray(np.vstack([phi, ball_path(skin, phi)[1].T])))


def plane_field(z: float) -> Field:
    """Material below a level plane at height z [m]."""
    return _plain(kernel.PLANE, z)


def drum_field(radius: float) -> Field:
    """Material inside a cylinder about the y-axis, of a given radius [m]."""
    return _plain(kernel.DRUM, radius)


def pipe_field(radius: float) -> Field:
    """Material outside a cylinder about the x-axis, of a given radius [m]."""
    return _plain(kernel.PIPE, radius)


def _plain(kind: float, level: float) -> Field:
    numbers = np.zeros(kernel.COUNT)
    numbers[kernel.KIND], numbers[kernel.LEVEL] = kind, level
    return Field(numbers, np.zeros((4, 1)))


def distances(
    field: Field, points: FloatArray, *, hints: FloatArray | None = None
) -> tuple[FloatArray, FloatArray]:
    """Signed distance of many points.

    Args:
        field: Surface.
        points: Shape (n, 3) [m].
        hints: Kept between calls, shape (n,), written to; None where nothing is known.

    Returns:
        gap (n,) [m], positive in the lumen, and normal (n, 3) from the skin into the lumen.
    """
    count = len(points)
    gap, normal = np.empty(count), np.empty((count, 3))
    kept = np.full(count, math.nan) if hints is None else hints
    kernel.many_distances(
        field.numbers,
        field.table,
        np.ascontiguousarray(points, dtype=np.float64),
        gap,
        normal,
        kept,
    )
    return gap, normal

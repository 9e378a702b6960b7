"""Lengths on the skin itself, not through it: what flat cloth is measured against.

A chord across an edge of radius rho is short by (h / rho)^2 / 24 of its length h, in one
direction only: at h = rho / 2 that is 1 %, as much as the spread of stretch that is looked for.
"""

import numpy as np

from teewright.junction.field import distances, field_of
from teewright.junction.skin import FloatArray, SkinMesh


def true_sides(mesh: SkinMesh) -> FloatArray:
    """Length of each triangle's sides along the skin.

    The unit normals at both ends of a side of a circle differ by 2 sin(a / 2) along the chord,
    with a the angle of the arc, whose length is the chord's times (a / 2) / sin(a / 2).

    Args:
        mesh: The skin.

    Returns:
        Sides from corner 0 to 1, 1 to 2 and 2 to 0, shape (m, 3) [m].
    """
    normals = _normals(mesh)
    here, there = mesh.triangles, np.roll(mesh.triangles, -1, axis=1)
    chord = mesh.points[there] - mesh.points[here]
    length = np.linalg.norm(chord, axis=2)
    turned = np.einsum("ijk,ijk->ij", normals[there] - normals[here], chord) / length
    half = np.clip(0.5 * np.abs(turned), 1e-8, 0.9)
    sides: FloatArray = length * np.arcsin(half) / half
    return sides


def _normals(mesh: SkinMesh) -> FloatArray:
    """Unit normals of the skin at the vertices, in the mirror plane on its border."""
    normals = distances(field_of(mesh.skin), mesh.points)[1]
    if mesh.half:
        normals[np.abs(mesh.points[:, 1]) < 1e-12, 1] = 0.0
        normals /= np.linalg.norm(normals, axis=1)[:, None]
    return normals

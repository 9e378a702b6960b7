"""Measures of a mesh: angles, areas, total curvature."""

import math

import numpy as np

from teewright.junction.skin import FloatArray, IntArray, SkinMesh


def triangle_angles(points: FloatArray, triangles: IntArray) -> FloatArray:
    """Angles at the corners.

    Args:
        points: Shape (n, 3) [m].
        triangles: Shape (m, 3).

    Returns:
        Shape (m, 3) [rad].
    """
    corner = points[triangles]
    ahead = np.roll(corner, -1, axis=1) - corner
    behind = np.roll(corner, 1, axis=1) - corner
    sine = np.linalg.norm(np.cross(ahead, behind), axis=2)
    return np.asarray(np.arctan2(sine, np.einsum("ijk,ijk->ij", ahead, behind)))


def triangle_areas(points: FloatArray, triangles: IntArray) -> FloatArray:
    """Areas, shape (m,) [m2], of triangles (m, 3) of points (n, 3) [m]."""
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0)


def zone_areas(mesh: SkinMesh) -> tuple[float, float, float]:
    """Areas of the triangles on main, rounded edge and branch, of half a mesh twice [m2]."""
    areas = triangle_areas(mesh.points, mesh.triangles) * (2.0 if mesh.half else 1.0)
    main, edge, branch = (float(areas[mesh.zone == k].sum()) for k in range(3))
    return main, edge, branch


def angle_defects(mesh: SkinMesh) -> FloatArray:
    """Curvature at each vertex: 2 pi less the angles round it.

    Zero on the free edges, where nothing goes round the vertex. A vertex in the mirror plane
    of half a mesh counts with the angles of both halves, and half of it is returned.

    Args:
        mesh: The mesh.

    Returns:
        Shape (n,) [rad].
    """
    count, triangles = len(mesh.points), mesh.triangles
    angles = triangle_angles(mesh.points, triangles)
    round_it = np.bincount(triangles.ravel(), weights=angles.ravel(), minlength=count)
    rim = rim_edges(triangles)
    mirror = np.zeros(count, dtype=bool)
    if mesh.half:
        mirror[mesh.points[:, 1] == 0.0] = True
    free = np.zeros(count, dtype=bool)
    free[rim[~mirror[rim].all(axis=1)]] = True
    whole = np.where(mirror, math.pi, 2.0 * math.pi)
    return np.asarray(np.where(free, 0.0, whole - round_it))


def rim_edges(triangles: IntArray) -> IntArray:
    """Edges with one triangle only, shape (k, 2)."""
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    pairs, count = np.unique(np.sort(edges, axis=1), axis=0, return_counts=True)
    return np.asarray(pairs[count == 1])


def total_curvature(mesh: SkinMesh) -> float:
    """Integral of Gaussian curvature over a mesh [rad].

    The sum of the angle defects. By Gauss and Bonnet it is 2 pi times the Euler characteristic
    less the turning of the free edges. A junction is a sphere with three holes, characteristic
    -1; its free edges are straight across their pipes and do not turn: -2 pi, for any sizes.

    Args:
        mesh: The mesh; of half a mesh the whole is told.

    Returns:
        The integral, near -2 pi.
    """
    return float(angle_defects(mesh).sum()) * (2.0 if mesh.half else 1.0)

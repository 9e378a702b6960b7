"""Cloths of simple shape, and a tee of undersized cloth in its junction."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.forming.build import pressed, unsewn
from teewright.forming.values import Contact, Restraint, Setup
from teewright.junction.field import field_of
from teewright.junction.mesh import mesh_skin
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Junction, Seam, Skin

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

NU, ACROSS, ALONG, SHEAR = 0.3, 15e3, 30e3, 6e3
"""A knitted tube: soft across, stiff along its grain [N/m]."""


@dataclass(frozen=True)
class Patch:
    """Vertices in space and flat, in a grid: points[i, j] is vertex i * columns + j."""

    points: FloatArray
    triangles: IntArray
    rest: FloatArray
    grid: IntArray


def orthotropic(across: float, along: float, nu: float, shear: float) -> FloatArray:
    """D11, D22, D12, D33; nu is the contraction across when pulled along."""
    free = 1.0 - nu * nu * across / along
    return np.array([across / free, along / free, nu * across / free, shear])


def isotropic(stiffness: float, nu: float) -> FloatArray:
    return orthotropic(stiffness, stiffness, nu, stiffness / (2.0 * (1.0 + nu)))


def grid_patch(points: FloatArray, flat: FloatArray, *, ring: bool = False) -> Patch:
    """Cut a grid (rows, columns, 3) into triangles, diagonals in turn; `ring` closes columns.

    Flat places are (rows, columns, 2), with one more column than points if it is a ring.
    """
    rows, columns = points.shape[:2]
    grid = np.arange(rows * columns).reshape(rows, columns)
    wide = np.column_stack([grid, grid[:, 0]]) if ring else grid
    triangles, rest = [], []
    for i in range(rows - 1):
        for j in range(wide.shape[1] - 1):
            a, b, c, d = (i, j), (i, j + 1), (i + 1, j + 1), (i + 1, j)
            cut = ((a, b, c), (a, c, d)) if (i + j) % 2 == 0 else ((a, b, d), (b, c, d))
            for corners in cut:
                triangles.append([wide[corner] for corner in corners])
                rest.append([flat[corner] for corner in corners])
    return Patch(points.reshape(-1, 3), np.array(triangles), np.array(rest), grid)


def tube(radius: float, length: float, around: int, along: int, wedge: float = math.tau) -> Patch:
    """A tube about x, across the grain round it; pressure pushes outwards."""
    ring = wedge == math.tau
    angle = np.linspace(0.0, wedge, around + 1)
    x = np.linspace(0.0, length, along + 1)
    t = angle[:-1] if ring else angle
    circle = np.column_stack([np.zeros_like(t), np.sin(t), np.cos(t)])
    points = x[:, None, None] * np.array([1.0, 0.0, 0.0]) + radius * circle[None]
    flat = np.stack(np.broadcast_arrays(-radius * angle[None, :], x[:, None]), axis=2)
    patch = grid_patch(points, flat, ring=ring)
    return Patch(patch.points, patch.triangles[:, ::-1], patch.rest[:, ::-1], patch.grid)


def square(size: float, count: int) -> Patch:
    """A square in z = 0 from the origin; pressure pushes up."""
    line = np.linspace(0.0, size, count + 1)
    y, x = np.meshgrid(line, line, indexing="ij")
    flat = np.stack([x, y], axis=2)
    return grid_patch(np.dstack([x, y, np.zeros_like(x)]), flat)


def quarter_disc(radii: FloatArray, around: int) -> Patch:
    """A quarter of a disc or ring in z = 0; pressure pushes up."""
    angle = np.linspace(0.0, math.pi / 2.0, around + 1)
    x, y = radii[:, None] * np.cos(angle), radii[:, None] * np.sin(angle)
    x[:, -1], y[:, 0] = 0.0, 0.0
    patch = grid_patch(np.dstack([x, y, np.zeros_like(x)]), np.dstack([x, y]))
    return Patch(patch.points, patch.triangles[:, ::-1], patch.rest[:, ::-1], patch.grid)


def mirror_free(points: FloatArray) -> FloatArray:
    """Restraint of a quarter: vertices stay in the planes x = 0 and y = 0."""
    free = np.ones_like(points)
    for axis in (0, 1):
        free[np.abs(points[:, axis]) < 1e-12, axis] = 0.0
    return free


def held(free: FloatArray) -> Restraint:
    return Restraint(free, np.zeros(len(free)), np.zeros_like(free))


def local_rest(mesh: SkinMesh, angle: float) -> FloatArray:
    """Each triangle flat on its own, the grain along the axis of its pipe, (m, 3, 2)."""
    corners = mesh.points[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    on_main = (mesh.zone == 0) | ((mesh.zone == 1) & (np.abs(normal[:, 2]) > 0.7))
    branch = np.array([math.cos(angle), 0.0, math.sin(angle)])
    axis = np.where(on_main[:, None], np.array([1.0, 0.0, 0.0]), branch)
    along = axis - (axis * normal).sum(axis=1)[:, None] * normal
    along /= np.linalg.norm(along, axis=1)[:, None]
    across = np.cross(along, normal)
    from_first = corners - corners[:, :1]
    return np.stack([(from_first @ d[:, :, None])[..., 0] for d in (across, along)], axis=2)


def tee(
    size: float, *, half: bool = True, friction: float = 0.3, under: float = 0.85
) -> tuple[SkinMesh, Setup]:
    """A DN200/DN100 tee, 90 degrees, edge 5 mm, of a cloth at a share of the bore, at 1 bar."""
    small = Skin(Junction(under * 0.2, under * 0.1, math.pi / 2.0, 0.005), 0.0)
    host = Skin(Junction(0.2, 0.1, math.pi / 2.0, 0.005), 0.0)
    middle = Seam(0.5, 0.5, 0.5)
    mesh = mesh_skin(small, sleeve=(-0.15, 0.15), top=0.2, seam=middle, size=size, half=half)
    return mesh, tee_setup(mesh, host, friction)


def tee_setup(mesh: SkinMesh, host: Skin, friction: float) -> Setup:
    """The mesh as its own flat triangles, ends held along the pipes."""
    points = mesh.points
    free = np.ones_like(points)
    if mesh.half:
        free[points[:, 1] == 0.0, 1] = 0.0
    free[np.abs(np.abs(points[:, 0]) - 0.15) < 1e-9, 0] = 0.0
    free[mesh.grid[-1], 2] = 0.0
    cloth = unsewn(
        mesh.triangles,
        local_rest(mesh, host.junction.angle),
        orthotropic(ACROSS, ALONG, NU, SHEAR),
    )
    contact = Contact(field_of(host), friction)
    return Setup(cloth, points, pressed(len(points), 1e5), contact, held(free))

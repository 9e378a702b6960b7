"""Cloth, load and restraint of common kinds."""

import math

import numpy as np

from teewright.forming.values import Cloth, FloatArray, IntArray, Load, Restraint


def unsewn(triangles: IntArray, rest: FloatArray, stiffness: FloatArray) -> Cloth:
    """A cloth without seams of their own stiffness.

    Args:
        triangles: Shape (m, 3).
        rest: Flat corners, (across, along the grain), shape (m, 3, 2) [m].
        stiffness: D11, D22, D12, D33 of all of it (4,) or of each triangle (m, 4) [N/m].

    Returns:
        The cloth.
    """
    whole = np.broadcast_to(np.asarray(stiffness, dtype=np.float64), (len(triangles), 4))
    none = np.zeros(0)
    return Cloth(triangles, rest, whole, np.zeros((0, 2), dtype=np.int64), none, none)


def green_stiffness(
    hencky: tuple[float, float, float, float], stretch: float = 1.0
) -> tuple[float, float, float, float]:
    """Constants of the law in Green's strain for a cloth measured in logarithmic strains.

    Pulled without contraction, the force per width as cut is D ln(lambda)/lambda in the
    logarithmic law and D' lambda (lambda^2 - 1)/2 in Green's; both agree at the stretch at
    which they are asked to, with D'/D = 2 ln(lambda)/(lambda^2 (lambda^2 - 1)), 1 at no stretch.
    Below it Green's law is the softer, above it the stiffer one.

    Args:
        hencky: D11, D22, D12, D33, e.g. `FabricLaw.matrix()` of the room `fabric` [N/m].
        stretch: At which both laws agree, > 0 [-].

    Returns:
        D11, D22, D12, D33 for a `Cloth` [N/m].
    """
    square = stretch * stretch
    near = abs(square - 1.0) < 1e-9
    ratio = 1.0 if near else math.log(square) / (square * (square - 1.0))
    d11, d22, d12, d33 = (ratio * value for value in hencky)
    return d11, d22, d12, d33


def pressed(count: int, pressure: float) -> Load:
    """Pressure alone.

    Args:
        count: Of vertices.
        pressure: [Pa].

    Returns:
        The load.
    """
    return Load(pressure, np.zeros((count, 3)), np.zeros(0))


def end_thrust(
    points: FloatArray, line: IntArray, direction: FloatArray, area: float, *, closed: bool
) -> FloatArray:
    """Spread a force per pressure over an edge of the cloth, by length.

    Args:
        points: Vertices, shape (n, 3) [m].
        line: Vertices of the edge in order, shape (k,).
        direction: Unit vector, shape (3,).
        area: Share of the bladder's cross-section whose thrust the cloth carries [m2].
        closed: Whether the edge returns to its first vertex.

    Returns:
        For `Load.thrust`, shape (n, 3) [m2].
    """
    ends = np.roll(line, -1) if closed else line[1:]
    begins = line if closed else line[:-1]
    length = np.linalg.norm(points[ends] - points[begins], axis=1)
    share = np.zeros(len(points))
    np.add.at(share, begins, 0.5 * length)
    np.add.at(share, ends, 0.5 * length)
    return np.asarray(area * (share / length.sum())[:, None] * np.asarray(direction))


def unheld(count: int) -> Restraint:
    """Nothing but the surface holds the cloth.

    Args:
        count: Of vertices.

    Returns:
        The restraint.
    """
    return Restraint(np.ones((count, 3)), np.zeros(count), np.zeros((count, 3)))

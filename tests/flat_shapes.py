"""Surfaces with known flat shapes, for the tests of flattening."""

import math

import numpy as np

from teewright.flattening.values import FloatArray, IntArray, Pieces, chords

NONE = np.empty(0, dtype=np.int64)


def disc(rings: int) -> tuple[FloatArray, IntArray]:
    """(radius 0 to 1, angle) of points on rings, and triangles, counter-clockwise."""
    points = [(0.0, 0.0)]
    points += [
        (k / rings, 2.0 * math.pi * j / (6 * k)) for k in range(1, rings + 1) for j in range(6 * k)
    ]

    def number(ring: int, place: int) -> int:
        return 0 if ring == 0 else 1 + 3 * ring * (ring - 1) + place % (6 * ring)

    triangles = []
    for k in range(1, rings + 1):
        for side in range(6):
            for j in range(k):
                a, b = number(k - 1, side * (k - 1) + j), number(k, side * k + j)
                c = number(k, side * k + j + 1)
                triangles.append((a, b, c))
                if j < k - 1:
                    triangles.append((a, c, number(k - 1, side * (k - 1) + j + 1)))
    return np.array(points), np.array(triangles, dtype=np.int64)


def alone(corners: FloatArray, triangles: IntArray) -> Pieces:
    """One piece that is sewn to nothing."""
    sides = chords(corners, triangles)
    return Pieces(sides, triangles, np.empty((0, 4), dtype=np.int64), NONE, NONE)


def cap(radius: float, rings: int) -> tuple[Pieces, FloatArray]:
    """A geodesic disc of the unit sphere, sides along great circles, and its plan view."""
    polar, triangles = disc(rings)
    distance, angle = radius * polar[:, 0], polar[:, 1]
    flat = np.column_stack([np.cos(angle), np.sin(angle)]) * np.sin(distance)[:, None]
    corners = np.column_stack([flat, np.cos(distance)])
    arcs = 2.0 * np.arcsin(chords(corners, triangles) / 2.0)
    none = np.empty((0, 4), dtype=np.int64)
    return Pieces(arcs, triangles, none, NONE, NONE), flat


def sheet(columns: int, rows: int) -> tuple[FloatArray, IntArray]:
    """Unit square as a grid of triangles, counter-clockwise."""
    x, y = np.meshgrid(np.linspace(0, 1, columns + 1), np.linspace(0, 1, rows + 1))
    number = np.arange(x.size).reshape(x.shape)
    a, b = number[:-1, :-1].ravel(), number[:-1, 1:].ravel()
    c, d = number[1:, 1:].ravel(), number[1:, :-1].ravel()
    triangles = np.concatenate([np.column_stack([a, b, c]), np.column_stack([a, c, d])])
    return np.column_stack([x.ravel(), y.ravel()]), triangles.astype(np.int64)


def patch(radius: float, turn: float, height: float) -> tuple[Pieces, FloatArray]:
    """Part of a cylinder, its facets truly developable, and its development."""
    unit, triangles = sheet(8, 6)
    angle = turn * unit[:, 0]
    step = turn / 8
    corners = np.column_stack([radius * np.cos(angle), radius * np.sin(angle), height * unit[:, 1]])
    # facets are flat: once round is measured by chords
    across = unit[:, 0] * 8 * 2.0 * radius * math.sin(step / 2.0)
    return alone(corners, triangles), np.column_stack([across, height * unit[:, 1]])

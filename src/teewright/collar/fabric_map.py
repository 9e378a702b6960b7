"""The formed collar as triangles, for pictures and for other programs."""

import numpy as np

from teewright.collar.flat import FlatCollar
from teewright.collar.landed import formed_thickness
from teewright.collar.mirror import both_halves
from teewright.collar.order import Order
from teewright.collar.sewing import SEWN
from teewright.collar.trial import Trial
from teewright.collar.values import CollarMap
from teewright.fabric.law import law_of
from teewright.junction.skin import FloatArray, IntArray

_DIGITS = 6


def map_of(order: Order, trial: Trial, flat: FlatCollar) -> CollarMap:
    """Picture of a formed collar, both halves.

    Args:
        order: What was ordered.
        trial: Its forming run.
        flat: Its pieces, both halves.
    """
    formed, mesh = trial.formed, trial.sewn.flat.mesh
    points = both_halves(mesh, formed.positions) if mesh.half else formed.positions
    times = 2 if mesh.half else 1
    stretch = np.tile(formed.stretch, (times, 1))
    thickness = np.tile(formed_thickness(order, trial), times)
    poisson = law_of(order.fabric).poisson
    margin = stretch[:, 1] - np.maximum(stretch[:, 0], 1.0) ** -poisson
    return CollarMap(
        points=_triples(points),
        triangles=_corners(flat.mesh.triangles),
        stretch=_numbers(stretch[:, 0]),
        least=_numbers(stretch[:, 1]),
        thickness=_numbers(thickness),
        wrinkle=_numbers(margin),
        seams=tuple(_triples(points[line]) for line in _seam_lines(flat)),
        flats=tuple(
            (
                piece.name,
                tuple((round(x, _DIGITS), round(y, _DIGITS)) for x, y in piece.flat.tolist()),
                _corners(piece.triangles),
                tuple(piece.faces.tolist()),
            )
            for piece in flat.pieces
        ),
    )


def _seam_lines(flat: FlatCollar) -> list[IntArray]:
    """Mesh vertices along each seam, each seam once."""
    found: dict[tuple[int, ...], IntArray] = {}
    for piece in flat.pieces:
        for name, line in piece.lines:
            if name in SEWN:
                vertices = piece.vertices[line]
                found.setdefault(tuple(sorted(set(vertices.tolist()))), vertices)
    return list(found.values())


def _numbers(values: FloatArray) -> tuple[float, ...]:
    return tuple(np.round(values, _DIGITS).tolist())


def _triples(points: FloatArray) -> tuple[tuple[float, float, float], ...]:
    return tuple((x, y, z) for x, y, z in np.round(points, _DIGITS).tolist())


def _corners(triangles: IntArray) -> tuple[tuple[int, int, int], ...]:
    return tuple((a, b, c) for a, b, c in triangles.tolist())

"""Free pieces turned as they are moved: exactly, where Newton's straight steps would swell them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from teewright.flattening.system import System
from teewright.flattening.values import FloatArray

BoolArray = NDArray[np.bool_]
"""Array of yes and no."""


@dataclass(frozen=True, slots=True, eq=False)
class Free:
    """The pieces of a system that no fold holds.

    Attributes:
        pieces: Which flat vertices belong to each, shape (k,) each.
    """

    pieces: tuple[BoolArray, ...]


def free_pieces(system: System) -> Free:
    """Pieces that may turn.

    Args:
        system: The unknowns.

    Returns:
        Their vertices.
    """
    tri = system.triangles
    count = len(system.slots)
    ends = np.r_[tri[:, 0], tri[:, 1]], np.r_[tri[:, 1], tri[:, 2]]
    graph = coo_array((np.ones(2 * len(tri), np.int8), ends), shape=(count, count))
    number, piece = connected_components(graph, directed=False)
    each = [np.asarray(piece == n) for n in range(number)]
    return Free(tuple(own for own in each if not np.any(system.slots[own] < 0)))


def moved(free: Free, flat: FloatArray, step: FloatArray, share: float) -> FloatArray:
    """Corners after a share of a step, of which the turning is done along the circle.

    Args:
        free: Pieces that may turn.
        flat: Corners, shape (k, 2) [m].
        step: Step, shape (k, 2) [m].
        share: Share of it that is taken [-].

    Returns:
        Corners, shape (k, 2) [m].
    """
    there = flat + share * step
    for own in free.pieces:
        place, way = _about_middle(flat[own]), _about_middle(step[own])
        angle = float(np.vdot(place, way).imag / np.vdot(place, place).real)
        rest = way - 1j * angle * place
        new = (place * np.exp(1j * share * angle) + share * rest).reshape(-1, 1)
        middle = flat[own].mean(axis=0) + share * step[own].mean(axis=0)
        there[own] = np.column_stack([new.real, new.imag]) + middle
    return there


def turned_like(free: Free, flat: FloatArray, start: FloatArray) -> FloatArray:
    """Turn free pieces to lie as they did at the start, in the mean square.

    Args:
        free: Pieces that may turn.
        flat: Corners, shape (k, 2) [m].
        start: Corners before, shape (k, 2) [m].

    Returns:
        Corners, shape (k, 2) [m].
    """
    turned = flat.copy()
    for own in free.pieces:
        place, wanted = _about_middle(flat[own]), _about_middle(start[own])
        new = place * np.exp(1j * np.angle(np.vdot(place, wanted)))
        turned[own] = np.column_stack([new.real, new.imag]) + flat[own].mean(axis=0)
    return turned


def _about_middle(flat: FloatArray) -> NDArray[np.complex128]:
    """Places as complex numbers about their mean."""
    whole = flat[:, 0] + 1j * flat[:, 1]
    centred: NDArray[np.complex128] = whole - whole.mean()
    return centred

"""The grain of pieces that no fold holds: straight along their pipe."""

from dataclasses import dataclass, replace

import numpy as np

from teewright.collar.layout_cut import Cut
from teewright.collar.layout_start import developed
from teewright.flattening.values import Pieces
from teewright.junction.skin import FloatArray, IntArray, SkinMesh


@dataclass(frozen=True, slots=True, eq=False)
class Straight:
    """Pieces held along the grain, and a start that is turned to it.

    Attributes:
        pieces: With two vertices of each free piece held to one line along the grain.
        start: Flat vertices, shape (k, 2) [m].
        moved: By which each was moved across the grain, shape (k,) [m].
    """

    pieces: Pieces
    start: FloatArray
    moved: FloatArray


def straightened(mesh: SkinMesh, cut: Cut, pieces: Pieces, flat: FloatArray) -> Straight:
    """Hold pieces that lie on one pipe so that a line along the pipe runs along the grain.

    A piece of a plain pipe may be cut at any angle to the grain and still fit, so that nothing
    else decides how it lies. A piece of both pipes has no such line and stays free.

    Args:
        mesh: The skin.
        cut: Its cut.
        pieces: What is laid flat.
        flat: Where to start from, shape (k, 2) [m].

    Returns:
        What to lay flat instead.
    """
    start, held, axes = flat.copy(), pieces.held, pieces.axes
    moved = np.zeros(len(flat))
    for piece in range(int(cut.piece.max()) + 1):
        own = np.unique(cut.triangles[cut.piece == piece])
        line = _line(developed(mesh, cut, piece)[own])
        if line is None or np.isin(own, pieces.held).any():
            continue
        ends = own[line]
        start[own] = _turned(start[own], start[ends])
        moved[own] = -start[ends].mean(axis=0)[0]
        start[own, 0] += moved[own]
        start[ends, 0] = 0.0
        held = np.concatenate([held, ends])
        axes = np.concatenate([axes, np.zeros(2, dtype=np.int64)])
    return Straight(replace(pieces, held=held, axes=axes), start, moved)


def _line(laid: FloatArray) -> IntArray | None:
    """Ends of a line along the pipe of a development: in its middle, else its longest border.

    The middle keeps a piece that is its own mirror image symmetric. None without a line.
    """
    if np.isnan(laid).any():
        return None
    across, along = laid.T
    near = 1e-6 * float(np.ptp(across))
    middle = np.flatnonzero(np.abs(across - 0.5 * (across.max() + across.min())) < near)
    if len(middle) > 1:
        return _ends(middle, along)
    borders = [np.flatnonzero(np.abs(across - end) < near) for end in (across.max(), across.min())]
    lines = [_ends(on, along) for on in borders if len(on) > 1]
    return max(lines, key=lambda ends: float(np.ptp(along[ends])), default=None)


def _ends(on: IntArray, along: FloatArray) -> IntArray:
    """Lowest and highest of some vertices."""
    return on[[np.argmin(along[on]), np.argmax(along[on])]]


def _turned(flat: FloatArray, ends: FloatArray) -> FloatArray:
    """Turned so that the way from the first end to the second runs along the grain."""
    way = ends[1] - ends[0]
    c, s = way[::-1] / np.hypot(*way)
    about = ends[0]
    away = flat - about
    return np.asarray(
        about + np.column_stack([c * away[:, 0] - s * away[:, 1], s * away[:, 0] + c * away[:, 1]])
    )

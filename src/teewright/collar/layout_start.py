"""A first flat shape for each piece: its development, or angles kept where it has none."""

import numpy as np

from teewright.collar.layout_cut import Cut
from teewright.collar.layout_lines import rows_of
from teewright.flattening.start import conformal
from teewright.junction.skin import FloatArray, IntArray, SkinMesh


def first_shape(
    mesh: SkinMesh, cut: Cut, folds: tuple[IntArray, ...], held: IntArray
) -> FloatArray:
    """Flat vertices to begin with.

    Args:
        mesh: The skin.
        cut: Its cut.
        folds: Mesh vertices of each fold, in order.
        held: Flat vertices on folds, which come to lie on the line across = 0.

    Returns:
        (across, along) the grain, shape (k, 2) [m].
    """
    flat = np.empty((len(cut.vertices), 2))
    for piece in range(int(cut.piece.max()) + 1):
        own = np.unique(cut.triangles[cut.piece == piece])
        laid = developed(mesh, cut, piece)
        if np.isnan(laid[own]).any() or _overturned(cut, piece, laid):
            laid = _kept_angles(mesh, cut, piece, _fold_line(cut, own, folds))
        folded = np.intersect1d(own, held)
        shift = float(laid[folded, 0].mean()) if len(folded) else 0.0
        flat[own] = laid[own] - np.array([shift, 0.0])
    flat[held, 0] = 0.0
    return flat


def _overturned(cut: Cut, piece: int, flat: FloatArray) -> bool:
    a, b, c = (flat[cut.triangles[cut.piece == piece][:, i]] for i in range(3))
    one, two = b - a, c - a
    return bool(np.any(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0] <= 0.0))


def _fold_line(cut: Cut, own: IntArray, folds: tuple[IntArray, ...]) -> IntArray:
    """Flat vertices of a piece on its longest fold, in order; empty where it has none."""
    lines = []
    for line in folds:
        here = own[np.isin(cut.vertices[own], line)]
        order = {int(vertex): place for place, vertex in enumerate(line)}
        lines.append(sorted(here, key=lambda k: order[int(cut.vertices[k])]))
    return np.array(max(lines, key=len, default=[]), dtype=np.int64)


def developed(mesh: SkinMesh, cut: Cut, piece: int) -> FloatArray:
    """Flat vertices by the development of the pipe that the piece lies on.

    Args:
        mesh: The skin.
        cut: Its cut.
        piece: Number of the piece.

    Returns:
        (across, along) the grain, nan where there is no development, and at other pieces,
        shape (k, 2) [m].
    """
    on_branch = bool(rows_of(mesh)[mesh.triangles[cut.piece == piece]].max() > mesh.seam_row)
    unrolled = mesh.branch_unrolled if on_branch else mesh.main_unrolled
    # seen from the host with +x up, +y is on the left
    flat = unrolled if on_branch else unrolled[:, ::-1] * np.array([-1.0, 1.0])
    faces = np.flatnonzero(cut.piece == piece)
    corners = flat[mesh.triangles[faces]]
    if not mesh.half:
        corners[:, :, 0] = _near(corners[:, :, 0], _round(mesh, on_branch=on_branch))
    laid = np.full((len(cut.vertices), 2), np.nan)
    laid[cut.triangles[faces]] = corners
    return laid


def _round(mesh: SkinMesh, *, on_branch: bool) -> float:
    """Once round the pipe [m]."""
    if on_branch:
        arcs = mesh.branch_unrolled[mesh.grid[-1], 0]
        return float(np.pi * (arcs[-1] - arcs[0]) * 2.0 / (mesh.phi[-1] - mesh.phi[0]))
    return float(2.0 * np.nanmax(np.abs(mesh.main_unrolled[:, 1])))


def _near(across: FloatArray, once: float) -> FloatArray:
    """Corners of each triangle brought to the same turn, within half a turn of 0."""
    apart = across - across[:, :1]
    together = across[:, :1] + apart - once * np.round(apart / once)
    middle = together.mean(axis=1, keepdims=True)
    brought: FloatArray = together - once * np.round(middle / once)
    return brought


def _kept_angles(mesh: SkinMesh, cut: Cut, piece: int, folds: IntArray) -> FloatArray:
    """Flat vertices of a piece with its angles kept, grain along the main or on the fold."""
    faces = np.flatnonzero(cut.piece == piece)
    own, local = np.unique(cut.triangles[faces], return_inverse=True)
    straight = np.searchsorted(own, folds) if len(folds) else None
    corners = mesh.points[cut.vertices[own]]
    flat = conformal(corners, local.reshape(-1, 3), straight=straight)
    if straight is None:
        flat = _turned(flat, mesh.main_unrolled[cut.vertices[own]], corners)
    laid = np.full((len(cut.vertices), 2), np.nan)
    laid[own] = flat
    return laid


def _turned(flat: FloatArray, unrolled: FloatArray, corners: FloatArray) -> FloatArray:
    """Turned so that +x on the main runs along the grain."""
    known = ~np.isnan(unrolled[:, 0])
    if np.count_nonzero(known) < 3:
        known = np.ones(len(flat), dtype=bool)
        unrolled = corners[:, :2]
    along = unrolled[known, 0] - unrolled[known, 0].mean()
    place = (flat[known, 0] + 1j * flat[known, 1]) - np.mean(flat[known] @ np.array([1.0, 1j]))
    slope = np.sum(place * along)
    turn = 1j * np.conj(slope) / abs(slope)
    turned = (flat @ np.array([1.0, 1j])) * turn
    return np.column_stack([turned.real, turned.imag])

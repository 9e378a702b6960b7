"""Half a collar made whole: mesh and pieces mirrored in the plane y = 0."""

from dataclasses import replace

import numpy as np

from teewright.collar.flat import FlatCollar, FlatPiece
from teewright.collar.layout_pieces import chained
from teewright.junction.skin import FloatArray, IntArray, SkinMesh

SIDES = {"left": "right"}


def whole(collar: FlatCollar) -> FlatCollar:
    """All of a collar of which half was laid flat.

    A piece with a fold is unfolded; a piece without gets its mirror image beside it.

    Args:
        collar: Of a half or a whole mesh.

    Returns:
        Of a whole mesh; the same where it was whole.
    """
    if not collar.mesh.half:
        return collar
    pieces: list[FlatPiece] = []
    for piece in collar.pieces:
        folded = any(name == "fold" for name, _ in piece.lines)
        pieces += [_unfolded(piece, collar.mesh)] if folded else _both(piece, collar.mesh)
    return replace(
        collar,
        mesh=whole_mesh(collar.mesh),
        pieces=tuple(pieces),
        stretch=np.concatenate([collar.stretch, collar.stretch]),
        along=np.concatenate([collar.along, collar.along]),
    )


def both_halves(mesh: SkinMesh, points: FloatArray) -> FloatArray:
    """Points of a half mesh and their images, in the order of `whole_mesh`.

    Args:
        mesh: Half a mesh.
        points: Of its vertices, where it is formed or where it lies, shape (n, 3) [m].

    Returns:
        Shape (n + k, 3) [m].
    """
    off = images(mesh) >= len(mesh.points)
    return np.concatenate([points, points[off] * np.array([1.0, -1.0, 1.0])])


def whole_mesh(mesh: SkinMesh) -> SkinMesh:
    """A half mesh and its mirror image, vertices and triangles of the half first.

    Args:
        mesh: Half a mesh.

    Returns:
        The whole mesh.
    """
    mirror = images(mesh)
    new = np.flatnonzero(mirror >= len(mesh.points))
    inner = slice(-2, 0, -1)
    once = 2.0 * float(mesh.branch_unrolled[mesh.grid[-1, -1], 0])
    main = mesh.main_unrolled[new] * np.array([1.0, -1.0])
    branch = mesh.branch_unrolled[new] * np.array([-1.0, 1.0]) + np.array([once, 0.0])
    return replace(
        mesh,
        points=both_halves(mesh, mesh.points),
        triangles=np.concatenate([mesh.triangles, mirror[mesh.triangles[:, [0, 2, 1]]]]),
        zone=np.concatenate([mesh.zone, mesh.zone]),
        phi=np.concatenate([mesh.phi, 2.0 * np.pi - mesh.phi[inner]]),
        grid=np.concatenate([mesh.grid, mirror[mesh.grid[:, inner]]], axis=1),
        wings=tuple(w for wing in mesh.wings for w in (wing, mirror[wing])),
        main_unrolled=np.concatenate([mesh.main_unrolled, main]),
        branch_unrolled=np.concatenate([mesh.branch_unrolled, branch]),
        half=False,
    )


def images(mesh: SkinMesh) -> IntArray:
    """Mirror image of each vertex in the whole mesh; itself in the plane, shape (n,)."""
    count = len(mesh.points)
    off = mesh.points[:, 1] > 1e-12
    found = np.arange(count)
    found[off] = count + np.arange(np.count_nonzero(off))
    return found


def _unfolded(piece: FlatPiece, mesh: SkinMesh) -> FlatPiece:
    """Both sides of a piece in one, joined along its folds."""
    count = len(piece.vertices)
    on_fold = np.zeros(count, dtype=bool)
    for name, line in piece.lines:
        if name == "fold":
            on_fold[line] = True
    twin = np.arange(count)
    twin[~on_fold] = count + np.arange(np.count_nonzero(~on_fold))
    names, border = _border(piece)
    other = np.column_stack([twin[border[:, 1]], twin[border[:, 0]], border[:, 2]])
    return FlatPiece(
        name=piece.name,
        vertices=np.concatenate([piece.vertices, images(mesh)[piece.vertices[~on_fold]]]),
        flat=np.concatenate([piece.flat, _mirrored(piece.flat[~on_fold])]),
        triangles=np.concatenate([piece.triangles, twin[piece.triangles[:, [0, 2, 1]]]]),
        faces=np.concatenate([piece.faces, piece.faces + len(mesh.triangles)]),
        lines=chained(np.concatenate([border, other]), names),
    )


def _border(piece: FlatPiece) -> tuple[tuple[str, ...], IntArray]:
    """Names and border edges (from, to, name) of the lines that are not folds."""
    kept = [(name, line) for name, line in piece.lines if name != "fold"]
    names = tuple(dict.fromkeys(name for name, _ in kept))
    edges = [
        np.column_stack([line[:-1], line[1:], np.full(len(line) - 1, names.index(name))])
        for name, line in kept
    ]
    return names, np.concatenate(edges)


def _both(piece: FlatPiece, mesh: SkinMesh) -> list[FlatPiece]:
    """A piece and its mirror image."""
    words = [SIDES.get(word, word) for word in piece.name.split()]
    image = FlatPiece(
        name=" ".join(words),
        vertices=images(mesh)[piece.vertices],
        flat=_mirrored(piece.flat),
        triangles=piece.triangles[:, [0, 2, 1]],
        faces=piece.faces + len(mesh.triangles),
        lines=tuple((name, line[::-1].copy()) for name, line in piece.lines),
    )
    return [piece, image]


def _mirrored(flat: FloatArray) -> FloatArray:
    """The other side of the line across = 0."""
    mirrored: FloatArray = flat * np.array([-1.0, 1.0])
    return mirrored

"""A flat collar sewn together and put on the packer: what a forming run starts from."""

import numpy as np

from teewright.collar.flat import FlatCollar, FlatPiece
from teewright.fabric.law import law_of
from teewright.forming.build import green_stiffness
from teewright.forming.values import Cloth
from teewright.junction.skin import FloatArray, IntArray, SkinMesh
from teewright.kit.values import Fabric

SEWN = ("saddle", "edge", "crown", "closing", "flank")
"""Lines of a flat piece along which it is sewn."""
IN_PLANE = ("crown", "closing")
"""Of them, those that lie in the plane of symmetry."""


def sew(flat: FlatCollar, fabric: Fabric, stretch: float = 1.0) -> Cloth:
    """The cloth that the sewn pieces make.

    Args:
        flat: Flat collar, half or whole.
        fabric: Its fabric.
        stretch: At which the law in Green's strain agrees with the fabric's own, > 0 [-].

    Returns:
        One triangle for each of the mesh, with its corners as cut, and a bar for each edge of a
        seam; in a half mesh the seams of the plane of symmetry count half.
    """
    mesh = flat.mesh
    rest = np.full((len(mesh.triangles), 3, 2), np.nan)
    for piece in flat.pieces:
        rest[piece.faces] = _corners(piece, mesh)
    bars, lengths, shares = _seams(flat)
    law = green_stiffness(law_of(fabric).matrix(), stretch)
    stiffness = np.tile(law, (len(rest), 1))
    return Cloth(
        triangles=mesh.triangles,
        rest=rest,
        stiffness=stiffness,
        bars=bars,
        bar_rest=lengths,
        bar_stiffness=fabric.seam_stiffness * shares,
    )


def _corners(piece: FlatPiece, mesh: SkinMesh) -> FloatArray:
    """Flat corners of the triangles of a piece in the order of the mesh, shape (t, 3, 2)."""
    in_space = mesh.triangles[piece.faces]
    given = piece.vertices[piece.triangles]
    # a triangle of a piece may start at another corner than the mesh's, or run backwards
    order = np.argmax(given[:, None, :] == in_space[:, :, None], axis=2)
    rows = np.arange(len(order))[:, None]
    return np.asarray(piece.flat[piece.triangles][rows, order])


def _seams(flat: FlatCollar) -> tuple[IntArray, FloatArray, FloatArray]:
    """Ends (k, 2), sewn lengths (k,) and share of the seam's stiffness (k,) of each bar."""
    pairs, lengths, shares = [], [], []
    for piece in flat.pieces:
        for name, line in piece.lines:
            if name not in SEWN:
                continue
            ends = np.column_stack([line[:-1], line[1:]])
            pairs.append(np.sort(piece.vertices[ends], axis=1))
            lengths.append(np.linalg.norm(np.diff(piece.flat[line], axis=0), axis=1))
            half = flat.mesh.half and name in IN_PLANE
            shares.append(np.full(len(ends), 0.5 if half else 1.0))
    if not pairs:
        return np.empty((0, 2), dtype=np.int64), np.empty(0), np.empty(0)
    bars, first = np.unique(np.vstack(pairs), axis=0, return_index=True)
    return bars, np.concatenate(lengths)[first], np.concatenate(shares)[first]

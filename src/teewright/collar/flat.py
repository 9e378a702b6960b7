"""A collar laid flat: what the flattening hands on, before allowances and marks are drawn."""

from dataclasses import dataclass

from teewright.junction.skin import FloatArray, IntArray, SkinMesh
from teewright.junction.values import Seam


@dataclass(frozen=True, slots=True, eq=False)
class FlatPiece:
    """One piece of fabric, flat, as it is cut along its seam lines.

    Attributes:
        name: `main`, `branch`, `edge`, or these with ` left`/` right` (+y is left) or ` front`/
            ` back`; unique in a collar.
        vertices: Mesh vertex of each flat vertex, shape (k,). A mesh vertex on a seam is in
            two pieces, or twice in a piece that closes on itself.
        flat: Cut coordinates, (across the grain, along the grain), shape (k, 2) [m].
        triangles: Flat vertices, counter-clockwise seen on the face that meets the host,
            shape (t, 3).
        faces: Mesh triangle of each, shape (t,).
        lines: (name, flat vertices in order) of each line of the boundary, all together the
            whole boundary. Names: `saddle`, `closing`, `crown` (seam in the plane y = 0),
            `edge` (second seam of an edge strip), `end` (free edge).
    """

    name: str
    vertices: IntArray
    flat: FloatArray
    triangles: IntArray
    faces: IntArray
    lines: tuple[tuple[str, IntArray], ...]


@dataclass(frozen=True, slots=True, eq=False)
class FlatCollar:
    """All pieces of one layout for one junction.

    Attributes:
        layout: `saddle seam`, `four pieces`, `mirror halves`, `edge strip` or `one piece`.
        seam: Where the saddle seam runs.
        mesh: The formed surface.
        pieces: Flat pieces; of a half mesh, its half only.
        stretch: Principal stretches of each mesh triangle, formed over cut, larger first,
            shape (m, 2) [-].
        along: Stretch along and across the grain of each mesh triangle, shape (m, 2) [-].
        ratio: t*, largest over smallest principal stretch of the best map found [-]; a local
            optimum, not a bound.
        window: Least and largest stretch allowed [-].
        mismatch: Largest difference of the two edges of a seam, summed along it from its start,
            as cut [m].
        iterations: Newton steps.
    """

    layout: str
    seam: Seam
    mesh: SkinMesh
    pieces: tuple[FlatPiece, ...]
    stretch: FloatArray
    along: FloatArray
    ratio: float
    window: tuple[float, float]
    mismatch: float
    iterations: int

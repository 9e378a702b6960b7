"""Panels as they are cut: the flat pieces with allowances, notches, grain arrow and label."""

import math
from collections.abc import Sequence

import numpy as np

from teewright.collar.allowance import Side, cut_lines
from teewright.collar.flat import FlatCollar, FlatPiece
from teewright.collar.notches import notch_angles
from teewright.collar.outline import points, ring_area
from teewright.collar.values import Notch, Panel, Point2
from teewright.errors import GeometryError
from teewright.junction.skin import FloatArray, IntArray, SkinMesh
from teewright.kit.values import Fabric

_CROWN_NOTCHES = 4
"""Spaces between the notches of a seam along a pipe."""
_SIDES = {
    ("crown", False): ("K", "N"),
    ("crown", True): ("U", "V"),
    ("flank", False): ("F", "G"),
    ("flank", True): ("S", "T"),
}
"""Letters of the seams along a pipe, by their kind and whether they are on the branch: each seam
has its own. The first is that of the crotch's side or of the flank towards +y."""

Place = tuple[str, float]
"""Label of a notch, and where it is along the seam, in mesh vertices from its start."""


def draw_panels(flat: FlatCollar, fabric: Fabric, *, lap: float) -> tuple[Panel, ...]:
    """Panels of a flat collar.

    The bulk of a seam is taken from beyond the seam line: half of `fabric.seam_take` is added
    to the allowance of each sewn edge, so that the needle stays on the designed line.

    Args:
        flat: Flat collar, both halves.
        fabric: Its fabric.
        lap: Overlap of each closing seam, half on either edge [m].

    Returns:
        One panel a piece, in the order of the pieces.

    Raises:
        GeometryError: A piece cannot be drawn: it crosses itself or leaves no room for a seam.
    """
    sewn = fabric.seam_allowance + fabric.seam_take / 2.0
    allowances = dict.fromkeys(("saddle", "edge", "crown", "flank"), sewn)
    allowances |= {"closing": lap / 2.0, "end": 0.0}
    return tuple(_panel(piece, flat.mesh, allowances, lap) for piece in flat.pieces)


def _panel(piece: FlatPiece, mesh: SkinMesh, allowances: dict[str, float], lap: float) -> Panel:
    lines = [(name, forwards(piece, line)) for name, line in piece.lines]
    rings = [
        [Side(name, piece.flat[line]) for name, line in ring] for ring in boundary_rings(lines)
    ]
    cut, hole = cut_lines(rings, allowances)
    seams = tuple((name, points(piece.flat[line])) for name, line in lines if name != "end")
    return Panel(
        name=piece.name,
        cut=cut,
        hole=hole,
        seams=seams,
        laps=_laps(seams, lap),
        notches=tuple(_notches(piece, lines, mesh)),
        grain=_grain(piece),
        label_at=_middle(piece),
        area=ring_area(cut) - (ring_area(hole) if hole else 0.0),
    )


def forwards(piece: FlatPiece, line: IntArray) -> IntArray:
    """A line of a piece's boundary in the direction that has the fabric on its left."""
    tri = piece.triangles
    ahead = {
        (int(a), int(b)) for a, b in np.vstack([tri[:, [0, 1]], tri[:, [1, 2]], tri[:, [2, 0]]])
    }
    return line if (int(line[0]), int(line[1])) in ahead else line[::-1]


def boundary_rings(lines: Sequence[tuple[str, IntArray]]) -> list[list[tuple[str, IntArray]]]:
    """Lines joined end to end.

    Args:
        lines: (name, flat vertices) each, fabric on the left.

    Returns:
        Closed rings, each in order.

    Raises:
        GeometryError: The lines do not close.
    """
    left = list(lines)
    rings = []
    while left:
        ring = [left.pop(0)]
        while int(ring[-1][1][-1]) != int(ring[0][1][0]):
            end = int(ring[-1][1][-1])
            following = [i for i, (_, line) in enumerate(left) if int(line[0]) == end]
            if not following:
                raise GeometryError("the boundary of a flat piece does not close")
            ring.append(left.pop(following[0]))
        rings.append(ring)
    return rings


def _notches(
    piece: FlatPiece, lines: Sequence[tuple[str, IntArray]], mesh: SkinMesh
) -> list[Notch]:
    found: list[Notch] = []
    for name, line in lines:
        if name in {"saddle", "edge"}:
            found += _along_seam(piece, line, mesh, "" if name == "saddle" else "E")
        elif name in {"crown", "flank"}:
            found += _along_pipe(piece, line, mesh, name)
    return found


def _along_seam(piece: FlatPiece, line: IntArray, mesh: SkinMesh, before: str) -> list[Notch]:
    """Notches of a seam round the branch: the same places in space on both pieces."""
    rows, columns = _grid_place(mesh, piece.vertices[line])
    row = mesh.grid[rows]
    phi = np.concatenate([mesh.phi[len(mesh.phi) // 2 :] - 2.0 * math.pi, mesh.phi])
    whole = np.concatenate([row[len(row) // 2 :], row])
    inside = (phi > -math.pi - 1e-9) & (phi < math.pi + 1e-9)
    marks = notch_angles(phi[inside], mesh.points[whole[inside]])
    at = np.unwrap(mesh.phi[columns])
    steps = np.arange(len(line), dtype=np.float64)
    if at[-1] < at[0]:
        at, steps = at[::-1], steps[::-1]
    turns = (-2.0 * math.pi, 0.0, 2.0 * math.pi)
    places = [(label, angle + turn) for label, angle in marks for turn in turns]
    found = [
        _notch(piece, line, before + label, float(np.interp(angle, at, steps)))
        for label, angle in places
        if at[0] - 1e-9 <= angle <= at[-1] + 1e-9
    ]
    # where the line closes on itself, its start and its end are one place
    return list({(n.label, round(n.point[0], 6), round(n.point[1], 6)): n for n in found}.values())


def _grid_place(mesh: SkinMesh, vertices: IntArray) -> tuple[int, IntArray]:
    """Row of a seam, and the column of each of its vertices."""
    places = {int(v): (r, c) for r, row in enumerate(mesh.grid) for c, v in enumerate(row)}
    found = [places[int(v)] for v in vertices]
    return found[0][0], np.array([c for _, c in found], dtype=np.int64)


def _along_pipe(piece: FlatPiece, line: IntArray, mesh: SkinMesh, name: str) -> list[Notch]:
    """Notches at equal shares of the formed length of a seam along main or branch."""
    space = mesh.points[piece.vertices[line]]
    upwards = _reading(space)
    length = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(space, axis=0), axis=1))])
    on_branch = piece.name.startswith("branch")
    side = _SIDES[name, on_branch][0 if _first_side(space, mesh, name) else 1]
    out = []
    for number in range(1, _CROWN_NOTCHES):
        share = number / _CROWN_NOTCHES
        goal = length[-1] * (share if upwards else 1.0 - share)
        steps = float(np.interp(goal, length, np.arange(len(line))))
        out.append(_notch(piece, line, f"{side}{number}", steps))
    return out


def _first_side(space: FloatArray, mesh: SkinMesh, name: str) -> bool:
    """Whether a line runs on the side of the crotch, or of two flanks towards +y."""
    if name == "crown":
        return float(np.mean(space[:, 0])) > _axis_x(mesh, space)
    return float(np.mean(space[:, 1])) > mesh.skin.junction.offset


def _reading(space: FloatArray) -> bool:
    """Whether a line in space runs the way in which its notches are counted."""
    first, last = space[0], space[-1]
    return bool((round(last[2], 9), round(last[0], 9)) >= (round(first[2], 9), round(first[0], 9)))


def _axis_x(mesh: SkinMesh, space: FloatArray) -> float:
    """Where the branch's axis is at the mean height of a line [m]."""
    return float(np.mean(space[:, 2])) / math.tan(mesh.skin.junction.angle)


def _notch(piece: FlatPiece, line: IntArray, label: str, steps: float) -> Notch:
    flat = piece.flat[line]
    first = min(int(steps), len(line) - 2)
    share = steps - first
    at = flat[first] * (1.0 - share) + flat[first + 1] * share
    along = flat[min(first + 2, len(line) - 1)] - flat[max(first - 1, 0)]
    along /= math.hypot(*along)
    return Notch(
        label=label,
        point=(float(at[0]), float(at[1])),
        normal=(float(along[1]), float(-along[0])),
    )


def _laps(
    seams: Sequence[tuple[str, tuple[Point2, ...]]], lap: float
) -> tuple[tuple[Point2, ...], ...]:
    """The lines to which the other edge reaches when a panel is closed."""
    if lap == 0.0:
        return ()
    found = []
    for name, line in seams:
        if name == "closing":
            xy = np.asarray(line)
            (x0, y0), (x1, y1) = xy[0], xy[-1]
            size = math.hypot(x1 - x0, y1 - y0)
            inwards = np.array([-(y1 - y0), x1 - x0]) / size
            found.append(points(xy + lap / 2.0 * inwards))
    return tuple(found)


def _spine(piece: FlatPiece) -> FloatArray:
    """Middles of the triangles, shape (t, 2) [m]."""
    return np.asarray(piece.flat[piece.triangles].mean(axis=1))


def _middle(piece: FlatPiece) -> Point2:
    middle = _spine(piece).mean(axis=0)
    return float(middle[0]), float(middle[1])


def _grain(piece: FlatPiece) -> tuple[Point2, Point2]:
    """An arrow along the grain through the middle of the piece, half its length."""
    x, _ = _middle(piece)
    low, high = float(np.min(piece.flat[:, 1])), float(np.max(piece.flat[:, 1]))
    quarter = (high - low) / 4.0
    return (x, low + quarter), (x, high - quarter)

"""Flat pieces with their names and border lines, from a cut and its flat shape."""

import numpy as np

from teewright.collar.flat import FlatPiece
from teewright.collar.layout_cut import Cut
from teewright.collar.layout_lines import Plan, rows_of
from teewright.junction.skin import FloatArray, IntArray, SkinMesh

BANDS = {1: ("main",), 2: ("main", "branch"), 3: ("main", "edge", "branch")}
"""Names of the bands of a layout, by their number."""


def flat_pieces(mesh: SkinMesh, plan: Plan, cut: Cut, flat: FloatArray) -> tuple[FlatPiece, ...]:
    """Pieces of a laid cut, main before branch.

    Args:
        mesh: The skin.
        plan: How it was cut.
        cut: The cut mesh.
        flat: Cut coordinates, shape (k, 2) [m].

    Returns:
        The pieces.
    """
    made = [_piece(mesh, plan, cut, flat, n) for n in range(int(cut.piece.max()) + 1)]
    names = [name for name in BANDS[3] if name in BANDS[len(plan.bands)]]
    return tuple(sorted(made, key=lambda p: (names.index(p.name.split()[0]), p.name)))


def cumulated(cut: Cut, flat: FloatArray) -> float:
    """Largest difference of the two edges of a seam, summed along it from its start [m].

    Args:
        cut: The cut mesh.
        flat: Cut coordinates, shape (k, 2) [m].

    Returns:
        Of all seams of which both edges are in the mesh.
    """
    ends = flat[cut.pairs]
    one = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    two = np.linalg.norm(ends[:, 3] - ends[:, 2], axis=1)
    worst = 0.0
    for number in np.unique(cut.line):
        apart = np.cumsum((one - two)[cut.line == number])
        worst = max(worst, float(np.max(np.abs(apart))))
    return worst


def _piece(mesh: SkinMesh, plan: Plan, cut: Cut, flat: FloatArray, number: int) -> FlatPiece:
    faces = np.flatnonzero(cut.piece == number)
    own, local = np.unique(cut.triangles[faces], return_inverse=True)
    inside = np.isin(cut.border[:, 0], own)
    border = cut.border[inside].copy()
    border[:, :2] = np.searchsorted(own, border[:, :2])
    return FlatPiece(
        name=_name(mesh, plan, faces),
        vertices=cut.vertices[own],
        flat=flat[own],
        triangles=local.reshape(-1, 3),
        faces=faces,
        lines=chained(border, tuple(line.name for line in plan.lines)),
    )


def _name(mesh: SkinMesh, plan: Plan, faces: IntArray) -> str:
    """Name of a piece by the rows it covers and the side on which it lies."""
    corners = mesh.triangles[faces]
    top = int(rows_of(mesh)[corners].max())
    band = BANDS[len(plan.bands)][sum(top > row for row in plan.bands[1:])]
    middle = mesh.points[corners].mean(axis=(0, 1))
    if plan.split == "sides":
        return f"{band} {'left' if middle[1] > 0.0 else 'right'}"
    if plan.split == "ends":
        return f"{band} {_end(mesh, faces)}"
    return band


def _end(mesh: SkinMesh, faces: IntArray) -> str:
    """`front` where the piece has the crotch, `back` where it has the heel."""
    return "front" if np.isin(mesh.triangles[faces], mesh.grid[:, 0]).any() else "back"


def chained(border: IntArray, names: tuple[str, ...]) -> tuple[tuple[str, IntArray], ...]:
    """Border edges chained to lines, a new line wherever the name changes.

    Args:
        border: (from, to, number of the name or -1 for `end`), shape (b, 3).
        names: Names.

    Returns:
        (name, vertices in order) of each line; a closed one ends where it begins.
    """
    after = {int(a): (int(b), int(label)) for a, b, label in border}
    lines: list[tuple[str, IntArray]] = []
    while after:
        lines += _loop(after, names)
    return tuple(lines)


def _loop(after: dict[int, tuple[int, int]], names: tuple[str, ...]) -> list[tuple[str, IntArray]]:
    """One border loop, taken out of `after`, started where the label changes."""
    first = next(iter(after))
    steps = []
    here = first
    while here in after:
        there, label = after.pop(here)
        steps.append((here, there, label))
        here = there
    turns = [n for n in range(len(steps)) if steps[n - 1][2] != steps[n][2]]
    start = turns[0] if turns else 0
    steps = steps[start:] + steps[:start]
    lines: list[tuple[str, IntArray]] = []
    run = [steps[0][0]]
    for n, (_, there, label) in enumerate(steps):
        run.append(there)
        if n + 1 == len(steps) or steps[n + 1][2] != label:
            lines.append((names[label] if label >= 0 else "end", np.array(run, dtype=np.int64)))
            run = [there]
    return lines

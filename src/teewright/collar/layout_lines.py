"""Where each layout cuts the skin, and where it is folded instead."""

import math
from dataclasses import dataclass, replace

import numpy as np

from teewright.errors import UnknownNameError
from teewright.junction.skin import IntArray, SkinMesh

LAYOUTS = ("saddle seam", "four pieces", "mirror halves", "edge strip", "one piece")
"""Layouts, the default one first."""


CROTCH_PRICE = 1.1
"""At the crotch the cloth turns sharpest, and the bulk of a closing seam holds it off: the branch
closes there only where that takes a tenth off log t* (common practice, no source)."""


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A line of mesh edges that is sewn or, on the plane of a half mesh, folded.

    Attributes:
        name: As in `collar.flat.FlatPiece`, or `fold`.
        vertices: In order, shape (n,).
    """

    name: str
    vertices: IntArray


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """One way to cut a skin for a layout.

    Attributes:
        layout: One of `LAYOUTS`.
        lines: All lines that are cut, and on a half mesh those that are folded.
        bands: First row of each band of pieces: main, (edge,) branch; one band where main and
            branch are in one piece.
        split: How bands are split: `` (not), `sides` or `ends`.
        price: What log t* is multiplied by where ways are compared, above 1 for a way that is
            harder to sew or to set [-].
    """

    layout: str
    lines: tuple[Line, ...]
    bands: tuple[int, ...]
    split: str
    price: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class _Ways:
    """The lines of a mesh along which layouts cut."""

    mesh: SkinMesh

    def row(self, number: int) -> IntArray:
        """A row round the branch, closed on a whole mesh."""
        line = self.mesh.grid[number]
        return line if self.mesh.half else np.append(line, line[0])

    def column(self, phi: float, first: int = 0, last: int | None = None) -> IntArray:
        """A column upwards, from row `first` to row `last`."""
        number = int(np.argmin(np.abs(self.mesh.phi - phi)))
        part: IntArray = self.mesh.grid[first : None if last is None else last + 1, number]
        return part

    def far(self) -> IntArray:
        """The line opposite the branch, along +x."""
        if self.mesh.wings and self.mesh.wings[0].size:
            last: IntArray = self.mesh.wings[0][-1]
            return last
        return self._far_of_grid()

    def _far_of_grid(self) -> IntArray:
        row = np.unique(self.mesh.grid[0])
        away = np.abs(self.mesh.main_unrolled[row, 1])
        here = row[away > (1.0 - 1e-9) * away.max()]
        ordered: IntArray = here[np.argsort(self.mesh.points[here, 0])]
        return ordered

    def flank(self, phi: float, wing: int) -> IntArray:
        """A flank's column downwards from the seam, through the wing to the far side."""
        down = self.column(phi, 0, self.mesh.seam_row)[::-1]
        wings = self.mesh.wings
        if wing >= len(wings) or not wings[wing].size:
            return down
        grid = wings[wing]
        place = int(np.flatnonzero(grid[0] == down[-1])[0])
        return np.concatenate([down, grid[1:, place]])


def plans(mesh: SkinMesh, layout: str) -> tuple[Plan, ...]:
    """Ways to cut a skin for a layout; of several the one that lies better is kept.

    Args:
        mesh: The skin.
        layout: One of `LAYOUTS`.

    Returns:
        At least one.

    Raises:
        UnknownNameError: There is no such layout.
    """
    makers = {
        "saddle seam": _saddle_seam,
        "four pieces": _four_pieces,
        "mirror halves": _mirror_halves,
        "edge strip": _edge_strip,
        "one piece": _one_piece,
    }
    if layout not in makers:
        raise UnknownNameError(
            "is no layout", field="layout", value=layout, allowed=", ".join(LAYOUTS)
        )
    return tuple(_only_cuts(mesh, plan) for plan in makers[layout](_Ways(mesh)))


def _only_cuts(mesh: SkinMesh, plan: Plan) -> Plan:
    """On a whole mesh a fold is nothing but cloth."""
    if mesh.half:
        return plan
    lines = tuple(line for line in plan.lines if line.name != "fold")
    return replace(plan, lines=lines)


def _saddle_seam(ways: _Ways) -> tuple[Plan, ...]:
    """The branch closes at the heel, or at the crotch of an oblique junction."""
    heel = Plan("saddle seam", _closed_at(ways, math.pi), (0, ways.mesh.seam_row), "")
    if math.isclose(ways.mesh.skin.junction.angle, math.pi / 2.0):
        return (heel,)
    crotch = Plan(
        "saddle seam", _closed_at(ways, 0.0), (0, ways.mesh.seam_row), "", price=CROTCH_PRICE
    )
    return heel, crotch


def _closed_at(ways: _Ways, phi: float) -> tuple[Line, ...]:
    """Lines of two pieces, with the branch closed at an angle round it."""
    seam = ways.mesh.seam_row
    return (
        Line("saddle", ways.row(seam)),
        Line("closing", ways.far()),
        Line("closing", ways.column(phi, seam)),
        Line("fold", ways.column(math.pi - phi, seam)),
        Line("fold", ways.column(0.0, 0, seam)),
        Line("fold", ways.column(math.pi, 0, seam)),
    )


def _four_pieces(ways: _Ways) -> tuple[Plan, ...]:
    seam = ways.mesh.seam_row
    always = (Line("saddle", ways.row(seam)), Line("closing", ways.far()))
    sides = (
        Line("crown", ways.column(0.0, 0, seam)),
        Line("crown", ways.column(0.0, seam)),
        Line("crown", ways.column(math.pi, 0, seam)),
        Line("closing", ways.column(math.pi, seam)),
    )
    by_sides = Plan("four pieces", (*always, *sides), (0, seam), "sides")
    by_ends = Plan("four pieces", (*always, *_across(ways)), (0, seam), "ends")
    return by_sides, by_ends


def _across(ways: _Ways) -> tuple[Line, ...]:
    """Cuts down both flanks, and folds at crotch and heel."""
    seam, half = ways.mesh.seam_row, ways.mesh.half
    flanks = (0.5 * math.pi,) if half else (0.5 * math.pi, 1.5 * math.pi)
    cuts = [Line("flank", ways.flank(phi, wing)) for wing, phi in enumerate(flanks)]
    cuts += [Line("flank", ways.column(phi, seam)) for phi in flanks]
    folds = [Line("fold", ways.column(phi, 0, seam)) for phi in (0.0, math.pi)]
    folds += [Line("fold", ways.column(phi, seam)) for phi in (0.0, math.pi)]
    return (*cuts, *folds)


def _mirror_halves(ways: _Ways) -> tuple[Plan, ...]:
    lines = (
        Line("closing", ways.far()),
        Line("crown", ways.column(0.0)),
        Line("crown", ways.column(math.pi)),
    )
    return (Plan("mirror halves", lines, (0,), "sides"),)


def _one_piece(ways: _Ways) -> tuple[Plan, ...]:
    """Mirror halves with one of the three seams folded instead."""
    seams = _mirror_halves(ways)[0].lines
    choices = []
    for folded in range(len(seams)):
        lines = [
            Line("fold", line.vertices) if number == folded else line
            for number, line in enumerate(seams)
        ]
        choices.append(Plan("one piece", tuple(lines), (0,), ""))
    return tuple(choices)


def _edge_strip(ways: _Ways) -> tuple[Plan, ...]:
    low, high = edge_rows(ways.mesh)
    lines = (
        Line("saddle", ways.row(low)),
        Line("edge", ways.row(high)),
        Line("closing", ways.far()),
        Line("closing", ways.column(math.pi, low, high)),
        Line("closing", ways.column(math.pi, high)),
        Line("fold", ways.column(0.0, 0, low)),
        Line("fold", ways.column(0.0, low, high)),
        Line("fold", ways.column(0.0, high)),
        Line("fold", ways.column(math.pi, 0, low)),
    )
    return (Plan("edge strip", lines, (0, low, high), ""),)


def edge_rows(mesh: SkinMesh) -> tuple[int, int]:
    """Rows that lie nearest to where the rounded edge leaves the main and the branch.

    Args:
        mesh: The skin.

    Returns:
        The lower and the upper row, on either side of the seam's row.
    """
    rows = rows_of(mesh)
    between = rows[mesh.triangles].max(axis=1)
    on_grid = rows[mesh.triangles].min(axis=1) >= 0
    share = np.array(
        [
            float(np.mean(mesh.zone[on_grid & (between == row)] == 1))
            for row in range(1, len(mesh.grid))
        ]
    )
    inside = np.flatnonzero(share > 0.5)
    low = min(int(inside.min(initial=mesh.seam_row)), mesh.seam_row - 1)
    high = max(int(inside.max(initial=0)) + 1, mesh.seam_row + 1)
    return low, high


def rows_of(mesh: SkinMesh) -> IntArray:
    """Row of each vertex round the branch, -1 in the wings, shape (n,)."""
    rows = np.full(len(mesh.points), -1, dtype=np.int64)
    numbers = np.broadcast_to(np.arange(len(mesh.grid))[:, None], mesh.grid.shape)
    rows[mesh.grid] = numbers
    return rows

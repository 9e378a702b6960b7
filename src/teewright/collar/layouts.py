"""Layouts of a collar: a skin cut into pieces and laid flat."""

import math
from dataclasses import dataclass, replace

import numpy as np

from teewright.collar.flat import FlatCollar
from teewright.collar.layout_cut import Cut, cut_open
from teewright.collar.layout_grain import straightened
from teewright.collar.layout_lines import Plan, plans, rows_of
from teewright.collar.layout_metric import true_sides
from teewright.collar.layout_pieces import cumulated, flat_pieces
from teewright.collar.layout_start import first_shape
from teewright.errors import CannotBeMadeError, ConvergenceError, GeometryError
from teewright.flattening.solve import least_energy, least_spread
from teewright.flattening.values import Flattening, FloatArray, Pieces, Stiffness
from teewright.junction.skin import IntArray, SkinMesh
from teewright.junction.values import Seam


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A layout laid flat with the least spread of stretch.

    Attributes:
        plan: How it is cut.
        cut: The cut mesh.
        pieces: What was laid flat.
        flattening: The map.
        way: Number of the way that it is cut, among `plans`.
    """

    plan: Plan
    cut: Cut
    pieces: Pieces
    flattening: Flattening
    way: int = 0


def flatten(
    mesh: SkinMesh,
    layout: str,
    *,
    seam: Seam,
    stiffness: Stiffness,
    targets: FloatArray,
    window: tuple[float, float],
    laid: Laid | None = None,
) -> FlatCollar:
    """Cut a skin into the pieces of a layout and find their flat shapes.

    Args:
        mesh: The skin.
        layout: One of `LAYOUTS`.
        seam: Where the mesh has its seam row.
        stiffness: Of the fabric.
        targets: Wanted stretch (along, across the grain), shape (2,) or one for each mesh
            triangle, shape (m, 2) [-].
        window: Least and largest principal stretch [-].
        laid: From `least`, where it has been found already.

    Returns:
        The pieces; of a half mesh, its half.

    Raises:
        CannotBeMadeError: No map within the window was found; the sentence has t*.
        UnknownNameError: There is no such layout.
        ConvergenceError: The solver gave up.
    """
    best = least(mesh, layout) if laid is None else laid
    found = best.flattening
    if found.ratio >= window[1] / window[0]:
        raise CannotBeMadeError([_too_far(layout, found.ratio, window)])
    held = straightened(mesh, best.cut, best.pieces, found.flat)
    made = least_energy(
        held.pieces,
        held.start,
        stiffness=stiffness,
        targets=targets,
        window=window,
    )
    there = made.flat - np.column_stack([held.moved, np.zeros(len(held.moved))])
    return FlatCollar(
        layout=layout,
        seam=seam,
        mesh=mesh,
        pieces=flat_pieces(mesh, best.plan, best.cut, there),
        stretch=made.stretch,
        along=made.along,
        ratio=found.ratio,
        window=window,
        mismatch=cumulated(best.cut, made.flat),
        iterations=found.iterations + made.iterations,
    )


def least(mesh: SkinMesh, layout: str, *, tolerance: float = 0.02, way: int | None = None) -> Laid:
    """Lay a layout flat with the least t*, the best of the ways that it can be cut.

    Args:
        mesh: The skin.
        layout: One of `LAYOUTS`.
        tolerance: Of log t*, as in `flattening.solve.least_spread` [-].
        way: Number of the way among `plans`; None tries all.

    Returns:
        The map and what it needs to go on from.

    Raises:
        UnknownNameError: There is no such layout.
        ConvergenceError: The solver gave up.
        GeometryError: No way gives pieces that can be laid flat.
    """
    sides = true_sides(mesh)
    found: list[Laid] = []
    failed: Exception | None = None
    ways = plans(mesh, layout)
    for number in range(len(ways)) if way is None else (way,):
        try:
            found.append(replace(_lay(mesh, sides, ways[number], tolerance), way=number))
        except (GeometryError, ConvergenceError) as error:
            failed = error
    if not found and failed is not None:
        raise failed
    return min(found, key=cost)


def carried(laid: Laid, before: SkinMesh, mesh: SkinMesh) -> Laid:
    """A layout laid flat, carried to a mesh that reaches a little farther or less far.

    Each flat vertex is moved as its place on the unrolled pipe moves; the map is one to start
    from, and its t* that of the mesh before.

    Args:
        laid: Of the mesh before.
        before: That mesh.
        mesh: Of the same counts.

    Returns:
        The layout, with the sides of the new mesh.
    """
    main = (mesh.main_unrolled - before.main_unrolled)[:, ::-1] * np.array([-1.0, 1.0])
    branch = mesh.branch_unrolled - before.branch_unrolled
    upper = rows_of(mesh)[laid.cut.vertices] > mesh.seam_row
    on_branch = np.zeros(len(laid.cut.vertices), dtype=bool)
    for piece in range(int(laid.cut.piece.max()) + 1):
        own = np.unique(laid.cut.triangles[laid.cut.piece == piece])
        on_branch[own] = upper[own].any()
    move = np.where(on_branch[:, None], branch[laid.cut.vertices], main[laid.cut.vertices])
    flat = laid.flattening.flat + np.nan_to_num(move)
    flat[laid.pieces.held, laid.pieces.axes] = 0.0
    pieces = replace(laid.pieces, sides=true_sides(mesh))
    return replace(laid, pieces=pieces, flattening=replace(laid.flattening, flat=flat))


def cost(laid: Laid) -> float:
    """What ways to cut a layout are compared by: log t* and the price of the way [-]."""
    return laid.plan.price * math.log(laid.flattening.ratio)


def _lay(mesh: SkinMesh, sides: FloatArray, plan: Plan, tolerance: float) -> Laid:
    cut = cut_open(mesh.triangles, tuple(line.vertices for line in plan.lines))
    held, axes = _folds(plan, cut)
    pieces = Pieces(sides, cut.triangles, cut.pairs, held, axes)
    folds = tuple(line.vertices for line in plan.lines if line.name == "fold")
    start = first_shape(mesh, cut, folds, held)
    return Laid(plan, cut, pieces, least_spread(pieces, start, tolerance=tolerance))


def _folds(plan: Plan, cut: Cut) -> tuple[IntArray, IntArray]:
    """Flat vertices on a fold, whose place across the grain is 0."""
    folds = [n for n, line in enumerate(plan.lines) if line.name == "fold"]
    on = cut.border[np.isin(cut.border[:, 2], folds)]
    held = np.unique(on[:, :2])
    return held, np.zeros(len(held), dtype=np.int64)


def _too_far(layout: str, ratio: float, window: tuple[float, float]) -> str:
    return (
        f"{layout}: largest over smallest stretch is {ratio:.4f} at best, but a window of "
        f"{window[0]:.3f} to {window[1]:.3f} allows {window[1] / window[0]:.4f}; a larger "
        "edge radius in the survey, another layout or a fabric that stretches further would help"
    )

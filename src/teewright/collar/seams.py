"""Where the saddle seam runs best: the place of least spread of stretch."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import minimize

from teewright.collar.edges import start_seam
from teewright.collar.layout_lines import plans
from teewright.collar.layouts import cost, least
from teewright.errors import ConvergenceError, GeometryError
from teewright.flattening.values import FloatArray
from teewright.junction.mesh import build_mesh
from teewright.junction.plan import MeshPlan, plan_mesh
from teewright.junction.values import Seam, Skin

__all__ = ["FoundSeam", "best_seam", "coarse_plan", "start_seam"]

BOUNDS = (0.05, 0.95)
"""Shares of the edge's arc between which the seam is looked for."""
COLUMNS = {2: 24, 3: 20}
"""Edges of the coarse mesh round half the branch, about, by how many numbers are searched over."""
WHOLE_COLUMNS = 18
"""The same where a whole mesh is needed, which takes many times as long."""
MOST_MESHES = 24
"""Coarse meshes laid flat at the most, in the search of a symmetric seam."""
SIDE = 0.1
"""Shift of the seam round the branch that is tried on an off-centre one, as `Seam.side` [-]."""


@dataclass(frozen=True, slots=True)
class FoundSeam:
    """A seam and how it was found.

    Attributes:
        seam: The best seam.
        cost: log t* on the coarse mesh, times the price of the way it is cut [-].
        start_cost: The same at the seam where the search began [-].
        meshes: Coarse meshes laid flat.
    """

    seam: Seam
    cost: float
    start_cost: float
    meshes: int


def best_seam(
    skin: Skin,
    *,
    sleeve: tuple[float, float],
    top: float,
    layout: str = "saddle seam",
    start: Seam | None = None,
) -> FoundSeam:
    """Look for the seam with the least t*, by simplex search on a coarse mesh.

    Off-centre, the seam of the like symmetric junction is found and then shifted.

    Args:
        skin: Surface, checked.
        sleeve: x from and to of the main part [m].
        top: Height of the branch part along its axis from the origin [m].
        layout: Layout that it is for.
        start: Where to begin, None for `start_seam`.

    Returns:
        The seam; a local optimum.

    Raises:
        GeometryError: The coarse mesh cannot be made or cut.
    """
    begin = start_seam(skin) if start is None else start
    like = _mirrored(skin)
    plan = coarse_plan(like, sleeve=sleeve, top=top, seam=replace(begin, side=0.0))
    found = _searched(_Search(like, plan, layout))
    if skin.junction.symmetric:
        return found
    whole = coarse_plan(skin, sleeve=sleeve, top=top, seam=begin)
    return _sideways(_Search(skin, whole, layout), found)


def _mirrored(skin: Skin) -> Skin:
    """The skin with its branch in the middle of a round main, where it is not symmetric."""
    if skin.junction.symmetric:
        return skin
    junction = replace(skin.junction, offset=0.0, ovality=0.0, short_axis=0.0)
    return replace(skin, junction=junction)


class _Search:
    """Costs of seams on one coarse mesh, all cut the same way."""

    def __init__(self, skin: Skin, plan: MeshPlan, layout: str) -> None:
        self.skin, self.plan, self.layout = skin, plan, layout
        self.way = _best_way(skin, plan, layout)
        self.values: list[float] = []

    def cost(self, seam: Seam) -> float:
        """Cost of one seam [-]."""
        plan = replace(self.plan, seam=seam)
        self.values.append(_cost(self.skin, plan, self.layout, self.way))
        return self.values[-1]


def _searched(search: _Search) -> FoundSeam:
    """The best seam of a symmetric junction."""

    def at(numbers: FloatArray) -> float:
        inside = np.clip(numbers, *BOUNDS)
        return search.cost(_seam(inside)) + float(np.abs(numbers - inside).sum())

    best = _simplex(at, _numbers(search.skin, search.plan.seam))
    if not math.isfinite(min(search.values)):
        raise GeometryError("no seam near the start can be laid flat")
    seam = _seam(np.clip(best, *BOUNDS))
    return FoundSeam(seam, min(search.values), search.values[0], len(search.values))


def _sideways(search: _Search, found: FoundSeam) -> FoundSeam:
    """The same seam, shifted round the branch as far as suits an off-centre one."""
    first = search.cost(search.plan.seam)
    tried = {side: search.cost(replace(found.seam, side=side)) for side in (-SIDE, 0.0, SIDE)}
    left, middle, right = tried.values()
    bend = left - 2.0 * middle + right
    if math.isfinite(bend) and bend > 0.0:
        lowest = float(np.clip(0.5 * SIDE * (left - right) / bend, -2.0 * SIDE, 2.0 * SIDE))
        tried[lowest] = search.cost(replace(found.seam, side=lowest))
    best = min(tried, key=lambda side: tried[side])
    if not math.isfinite(tried[best]):
        raise GeometryError("no seam near the start can be laid flat")
    meshes = found.meshes + len(search.values)
    if first < tried[best]:
        return FoundSeam(search.plan.seam, first, first, meshes)
    return FoundSeam(replace(found.seam, side=best), tried[best], first, meshes)


def coarse_plan(skin: Skin, *, sleeve: tuple[float, float], top: float, seam: Seam) -> MeshPlan:
    """Plan of the mesh on which seams are compared.

    Args:
        skin: Surface.
        sleeve: x from and to of the main part [m].
        top: Height of the branch part along its axis from the origin [m].
        seam: Where the search begins.

    Returns:
        The plan; its counts stay while the seam moves, so that t* changes smoothly.
    """
    radius = skin.junction.branch_diameter / 2.0 + skin.junction.fillet
    half = skin.junction.symmetric
    size = math.pi * radius / (COLUMNS[len(_numbers(skin, seam))] if half else WHOLE_COLUMNS)
    return plan_mesh(skin, sleeve=sleeve, top=top, seam=seam, size=size, growth=1.4)


def _cost(skin: Skin, plan: MeshPlan, layout: str, way: int) -> float:
    """Cost (log t*) at one place of the seam; infinite where it cannot be laid flat."""
    mesh = build_mesh(skin, plan)
    try:
        return cost(least(mesh, layout, tolerance=0.05, way=way))
    except (ConvergenceError, GeometryError):
        return math.inf


def _best_way(skin: Skin, plan: MeshPlan, layout: str) -> int:
    """The way to cut that is best where the search begins; it is kept throughout."""
    count = len(plans(build_mesh(skin, plan), layout))
    return min(range(count), key=lambda way: _cost(skin, plan, layout, way)) if count > 1 else 0


def _numbers(skin: Skin, seam: Seam) -> FloatArray:
    """What is searched over: two numbers where crotch and heel are alike, else three."""
    if math.isclose(skin.junction.angle, math.pi / 2.0) and seam.crotch == seam.heel:
        return np.array([seam.crotch, seam.flank])
    return np.array([seam.crotch, seam.flank, seam.heel])


def _seam(numbers: FloatArray) -> Seam:
    crotch, flank = float(numbers[0]), float(numbers[1])
    return Seam(crotch, flank, float(numbers[2]) if len(numbers) > 2 else crotch)


def _simplex(at: Callable[[FloatArray], float], start: FloatArray) -> FloatArray:
    corners = np.vstack([start, start + 0.12 * np.eye(len(start))])
    found = minimize(
        at,
        start,
        method="Nelder-Mead",
        options={
            "initial_simplex": corners,
            "maxfev": MOST_MESHES,
            "xatol": 0.02,
            "fatol": 5e-4,
        },
    )
    return np.asarray(found.x, dtype=np.float64)

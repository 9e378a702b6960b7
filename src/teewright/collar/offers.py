"""Which layouts the fabric bears, and what each costs in seams."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from teewright.collar.edges import highest_seam
from teewright.collar.layout_lines import LAYOUTS, plans
from teewright.collar.layouts import Laid, least
from teewright.collar.order import Effort, Order, edge_size, extent_of, plan_of, wanted_of
from teewright.collar.values import Offer
from teewright.errors import ConvergenceError, GeometryError
from teewright.fabric.law import window
from teewright.junction.mesh import build_mesh
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Seam

COARSE, COARSE_WHOLE = 1.5, 2.0
"""Edge length of the mesh on which layouts are compared, over that of the design: of half a mesh,
and of a whole one [-]."""
PIECES = {
    "saddle seam": 2,
    "four pieces": 4,
    "mirror halves": 2,
    "edge strip": 3,
    "one piece": 1,
}
"""Pieces of each layout."""


@dataclass(frozen=True, slots=True)
class Compared:
    """Every layout on one coarse mesh.

    Attributes:
        offers: In the order of `LAYOUTS`; one whose flat pieces were not found has an infinite
            t*.
        ways: Number of the best way to cut each layout that was found, as in `plans`.
    """

    offers: tuple[Offer, ...]
    ways: Mapping[str, int]


def compared(order: Order, seam: Seam) -> Compared:
    """Every layout with its t* and the best way to cut it.

    Args:
        order: The collar.
        seam: Where the saddle seam runs.

    Returns:
        All of them.
    """
    wanted = wanted_of(order, highest_seam(order.skin, seam))
    coarse = COARSE if order.skin.junction.symmetric else COARSE_WHOLE
    size = edge_size(order, Effort(fineness=coarse))
    mesh = build_mesh(order.skin, plan_of(order, extent_of(wanted), seam, size))
    low, high = window(order.fabric)
    laid = {layout: _laid(mesh, layout) for layout in LAYOUTS}
    offers = tuple(
        Offer(
            layout=layout,
            ratio=math.inf if found is None else found.flattening.ratio,
            allowed=high / low,
            seam_length=_seams(mesh, layout),
            pieces=PIECES[layout],
            chosen=False,
        )
        for layout, found in laid.items()
    )
    return Compared(offers, {name: found.way for name, found in laid.items() if found is not None})


def _laid(mesh: SkinMesh, layout: str) -> Laid | None:
    try:
        return least(mesh, layout)
    except (ConvergenceError, GeometryError):
        return None


def _seams(mesh: SkinMesh, layout: str) -> float:
    """Length of all seams in space; those beside the plane of a half mesh count twice [m]."""
    total = 0.0
    for line in plans(mesh, layout)[0].lines:
        if line.name == "fold":
            continue
        points = mesh.points[line.vertices]
        length = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
        in_plane = line.name in {"crown", "closing"}
        total += length * (2.0 if mesh.half and not in_plane else 1.0)
    return total

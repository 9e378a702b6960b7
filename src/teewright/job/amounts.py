"""Resin of one collar, piece by piece, from the thickness that it has when formed."""

import math
from collections.abc import Sequence

import numpy as np

from teewright.collar.made import Made
from teewright.collar.values import CollarMap
from teewright.kit.values import Fabric, Resin
from teewright.resin.amount import amount, panel_of, void_fraction_at
from teewright.resin.amount_values import Filling, Panel, ResinAmount

FIBRE = 1380.0
"""Density of the fibre where the kit does not tell it [kg/m3]: polyester, as textile handbooks
have it; value from memory. It only weighs the soaked collar."""
BEYOND = "seam allowances and laps"
"""Fabric that is cut beside the formed surface, and holds resin too."""


def resin_of(
    made: Made,
    fabric: Fabric,
    resin: Resin,
    *,
    soaked: float,
    loss: float,
    fillings: Sequence[Filling] = (),
) -> ResinAmount:
    """What is mixed for one collar.

    The map of the formed collar has the thickness at which it was formed; a connection whose
    pressure leaves the fabric thicker takes more resin, in proportion. Allowances and laps are
    taken as thick as the fabric as cut.

    Args:
        made: The collar and its map.
        fabric: Its fabric.
        resin: The resin.
        soaked: Thickness of the fabric as cut, under what presses it to the wall [m].
        loss: Share of what is mixed that stays in mixer, rollers and film [-].
        fillings: Voids beside the collar, as declared for its connection.

    Returns:
        The amount, with its trace.

    Raises:
        RangeError: A value outside the ranges of `teewright.resin.amount`.
    """
    return amount(
        _panels(made, soaked),
        resin,
        void_fraction=void_fraction_at(fabric, soaked),
        fibre_density=fabric.fibre_density or FIBRE,
        fillings=fillings,
        loss=loss,
        declared_ratio=resin.ratio_volume,
    )


def _panels(made: Made, soaked: float) -> list[Panel]:
    collar, found = made.collar, made.map
    as_cut = collar.thickness * collar.stretch * collar.stretch
    areas = _formed_areas(found)
    thickness = np.asarray(found.thickness) * (soaked / as_cut)
    panels = [
        panel_of(name, areas[list(own)].tolist(), thickness[list(own)].tolist())
        for name, _, _, own in found.flats
    ]
    flat = math.fsum(_flat_area(found, number) for number in range(len(found.flats)))
    beyond = collar.fabric_area - flat
    return [*panels, Panel(BEYOND, beyond, soaked)] if beyond > 0.0 else panels


def _formed_areas(found: CollarMap) -> np.ndarray:
    points = np.asarray(found.points)
    a, b, c = np.moveaxis(points[np.asarray(found.triangles)], 1, 0)
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0)


def _flat_area(found: CollarMap, number: int) -> float:
    _, points, triangles, _ = found.flats[number]
    a, b, c = np.moveaxis(np.asarray(points)[np.asarray(triangles)], 1, 0)
    u, v = b - a, c - a
    return float(np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum() / 2.0)

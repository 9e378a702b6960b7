"""What is told of the formed collar: landing, thickness, resin, and its picture."""

import numpy as np

from teewright.collar.closing import Closed
from teewright.collar.landing import GAP, INNER, quantile, triangle_areas
from teewright.collar.order import Order
from teewright.collar.trial import Trial
from teewright.collar.values import Landing
from teewright.fabric.maps import thinned
from teewright.junction.field import distances, field_of
from teewright.junction.skin import FloatArray, IntArray

EDGE = 1
"""Zone of the rounded edge in a mesh, between that of the main and that of the branch."""


def landing_of(order: Order, closed: Closed) -> Landing:
    """Everything measured on the formed collar.

    Args:
        order: What was ordered.
        closed: The best panels, formed.
    """
    trial = closed.trial
    measured, formed = trial.measured, trial.formed
    thickness = formed_thickness(order, trial)
    area = triangle_areas(formed.positions, trial.sewn.flat.mesh.triangles)
    resin = order.void_fraction * thickness
    return Landing(
        pressure=order.pressure,
        pressure_landed=pressure_landed(trial),
        edges=measured.edges,
        stretch=measured.stretch,
        stretch_inner=measured.stretch_inner,
        thickness=(quantile(thickness, area, INNER), quantile(thickness, area, 1.0 - INNER)),
        wrinkle_strain=measured.wrinkle_strain,
        wrinkle_height=measured.wrinkle_height,
        gap=measured.gap,
        resin=(
            quantile(resin, area, INNER),
            float(np.sum(resin * area) / np.sum(area)),
            quantile(resin, area, 1.0 - INNER),
        ),
        limits=trial.limits,
        rounds=closed.rounds,
        runs=closed.runs,
        triangles=len(formed.stretch),
        drift=closed.drift,
        thin=_thin(thickness, area, trial.sewn.flat.mesh.zone),
    )


def _thin(thickness: FloatArray, area: FloatArray, zone: IntArray) -> tuple[float, ...]:
    """Least thickness of main, rounded edge and branch; the edge counts with all of them."""
    parts = (zone <= EDGE, zone == EDGE, zone >= EDGE)
    return tuple(quantile(thickness[own], area[own], INNER) for own in parts)


def formed_thickness(order: Order, trial: Trial) -> FloatArray:
    """Thickness of each triangle in place, thinned by its own stretch, shape (m,) [m].

    A wrinkled triangle is folded, not thickened: its smaller stretch counts as the width that
    it would have in balance, at least 1/larger.
    """
    flat = order.thickness * order.stretch**2
    stretch = trial.formed.stretch.copy()
    stretch[:, 1] = np.maximum(stretch[:, 1], 1.0 / np.maximum(stretch[:, 0], 1.0))
    return thinned(flat, stretch)


def pressure_landed(trial: Trial) -> float:
    """Least pressure from which on the fabric lies against the pipes within the gap limit [Pa].

    Returns:
        Pressure on the path of the run; nan if it never does.
    """
    order, formed = trial.sewn.order, trial.formed
    field = field_of(order.skin)
    landed = float("nan")
    for moment, places in zip(reversed(formed.path), reversed(formed.track), strict=True):
        gap, _ = distances(field, places)
        if float(np.max(gap)) > GAP:
            break
        landed = moment.pressure
    return landed

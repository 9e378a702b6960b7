"""Extra pressure beyond forming: to press the soaked fabric thin."""

import math
from itertools import pairwise

from teewright.errors import InputError
from teewright.kit.values import Fabric
from teewright.numerics.limits import within


def squeeze_pressure(fabric: Fabric, wanted: float) -> float:
    """Least pressure on the fabric at which it is no thicker than wanted.

    The table of the fabric read the other way round: straight lines between its measured
    points. What the fabric gives up in thickness it gives up as resin, so that a collar that
    was soaked thick must be squeezed to the thickness in which it is to stand.

    Args:
        fabric: The fabric; its points are (pressure [Pa], thickness [m]), pressure ascending.
        wanted: Thickness to reach, not stretched [m].

    Returns:
        Pressure on the fabric [Pa]; that of the first point where it is thin enough as it is.

    Raises:
        InputError: The points are out of order, or the fabric grows thicker under pressure.
        RangeError: The fabric was not measured as thin as that.
    """
    points = fabric.thickness
    if not points or any(b[0] <= a[0] or b[1] > a[1] for a, b in pairwise(points)):
        raise InputError(
            "has no points in ascending order of pressure with thickness never growing",
            field=f"thickness of fabric {fabric.name}",
            value=points,
            allowed="pairs of pressure and thickness, pressures ascending, thickness falling",
        )
    law = f"the thickness measured for fabric {fabric.name} ({fabric.source})"
    within(wanted, (points[-1][1], math.inf), quantity="thickness wanted", unit="m", law=law)
    if wanted >= points[0][1]:
        return points[0][0]
    for (p0, t0), (p1, t1) in pairwise(points):
        if wanted >= t1:
            return p0 + (p1 - p0) * (t0 - wanted) / (t0 - t1)
    return points[-1][0]

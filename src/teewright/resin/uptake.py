"""A textile under pressure, stretched and soaked."""

from itertools import pairwise

from teewright.errors import InputError
from teewright.kit.values import Fabric
from teewright.numerics.limits import within

THICKNESS = (1e-4, 0.05)
"""Fabric thicknesses for which a demand is worked out [m]."""
VOID_FRACTION = (0.05, 0.98)
"""Void fractions of a textile [-]."""
LOSS = (0.0, 0.9)
"""Shares of the resin that may be lost [-]."""
RATIO = (0.01, 10.0)
"""Mass of part B per mass of part A [-]."""
ROUNDING = 1e-9
"""A demand this share above a whole number of packs does not open another one [-]."""

BALANCE = "volume balance of a saturated textile"


def thickness_at(fabric: Fabric, pressure: float) -> float:
    """Thickness of a fabric under pressure, on straight lines between its measured points.

    Args:
        fabric: The fabric; its points are (pressure [Pa], thickness [m]), pressure ascending.
        pressure: Pressure on the fabric [Pa].

    Returns:
        Thickness [m].

    Raises:
        InputError: The fabric has no points, or they are not in order of pressure.
        RangeError: The pressure is outside the measured points.
    """
    points = fabric.thickness
    if not points or any(b[0] <= a[0] for a, b in pairwise(points)):
        raise InputError(
            "has no points in ascending order of pressure",
            field=f"thickness of fabric {fabric.name}",
            value=points,
            allowed="at least one pair of pressure and thickness, pressures ascending",
        )
    law = f"the thickness measured for fabric {fabric.name} ({fabric.source})"
    within(pressure, (points[0][0], points[-1][0]), quantity="fabric pressure", unit="Pa", law=law)
    for (p0, t0), (p1, t1) in pairwise(points):
        if pressure <= p1:
            return t0 + (t1 - t0) * (pressure - p0) / (p1 - p0)
    return points[-1][1]


def stretched_thickness(thickness: float, stretch: float) -> float:
    """Thickness of a fabric that is stretched in both directions, t/lambda^2.

    At one pressure a felt has one density: the same fibre spread over lambda^2 of the area is
    that much thinner (conservation of mass; an assumption for other textiles).

    Args:
        thickness: Not stretched, at the pressure meant [m].
        stretch: Formed over cut, lambda, both directions [-].

    Returns:
        Thickness at the same pressure [m].
    """
    return thickness / stretch**2


def mixed_density(density_a: float, density_b: float, ratio_mass: float) -> float:
    """Density of a mix of two parts whose volumes add.

    1/rho = [1/rho_a + r/rho_b] / (1 + r). Conservation of mass and of volume; contraction on
    curing is left out.

    Args:
        density_a: Of part A [kg/m3].
        density_b: Of part B [kg/m3].
        ratio_mass: Mass of part B per mass of part A [-].

    Returns:
        Density of the mix [kg/m3].
    """
    return (1.0 + ratio_mass) / (1.0 / density_a + ratio_mass / density_b)

"""How much resin one collar takes: voids of the fabric, filling, losses, packs."""

import math
from itertools import pairwise

from teewright.errors import InputError
from teewright.kit.values import Fabric, Resin
from teewright.numerics.limits import within
from teewright.resin.values import ResinDemand
from teewright.trace import Origin, TraceRow

AREA = (1e-4, 20.0)
"""Fabric areas for which a demand is worked out [m2]."""
THICKNESS = (1e-4, 0.05)
"""Fabric thicknesses for which a demand is worked out [m]."""
VOID_FRACTION = (0.05, 0.98)
"""Void fractions of a textile [-]."""
LOSS = (0.0, 0.9)
"""Shares of the resin that may be lost [-]."""
FILLING = (0.0, 0.1)
"""Volumes beyond the fabric that may be filled [m3]."""
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


def demand(
    collar_area: float,
    thickness: float,
    fabric: Fabric,
    resin: Resin,
    *,
    filling: float,
    loss: float,
) -> ResinDemand:
    """Resin for one collar: V = (A t n + V_f) / (1 - loss), in whole packs.

    Whole packs are mixed, so that the ratio of the parts is the pack's own.

    Args:
        collar_area: Area of fabric cut, laps included [m2].
        thickness: Of the fabric as it was cut, at the pressure of use [m]; stretching it
            spreads the same voids over a larger area.
        fabric: The fabric; its void fraction counts.
        resin: The resin; densities, ratio and pack count.
        filling: Volume to fill besides the fabric, e.g. the gap at the cut edge [m3].
        loss: Share of what is mixed that stays in mixer, rollers and film [-].

    Returns:
        The demand, with its trace.

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    _check(collar_area, thickness, fabric, resin, filling=filling, loss=loss)
    in_fabric = collar_area * thickness * fabric.void_fraction
    volume = (in_fabric + filling) / (1.0 - loss)
    mass = volume * resin.density
    packs = math.ceil(mass / resin.pack_mass * (1.0 - ROUNDING))
    mass_a = mass / (1.0 + resin.ratio_mass)
    left_over = max(0.0, packs * resin.pack_mass - mass)
    trace = (
        *_inputs(collar_area, thickness, fabric, filling=filling, loss=loss),
        TraceRow("resin in the voids", "V_v", in_fabric, "l", "A t_0 n", BALANCE),
        TraceRow(
            "resin to mix, losses included", "V", volume, "l", "(V_v + V_f) / (1 − s_l)", BALANCE
        ),
        *_masses(resin, mass=mass, mass_a=mass_a, packs=packs, left_over=left_over),
    )
    return ResinDemand(volume, mass, mass_a, mass - mass_a, packs, left_over, trace)


def _check(
    area: float, thickness: float, fabric: Fabric, resin: Resin, *, filling: float, loss: float
) -> None:
    within(area, AREA, quantity="fabric area", unit="m2", law=BALANCE)
    within(thickness, THICKNESS, quantity="fabric thickness", unit="m", law=BALANCE)
    within(fabric.void_fraction, VOID_FRACTION, quantity="void fraction", unit="-", law=BALANCE)
    within(filling, FILLING, quantity="filling", unit="m3", law=BALANCE)
    within(loss, LOSS, quantity="loss", unit="-", law=BALANCE)
    within(resin.ratio_mass, RATIO, quantity="mix ratio by mass", unit="-", law=BALANCE)
    for name, value in (
        ("density of the mix", resin.density),
        ("density of part A", resin.density_a),
        ("density of part B", resin.density_b),
    ):
        within(value, (500.0, 3000.0), quantity=name, unit="kg/m3", law=BALANCE)
    within(resin.pack_mass, (1e-3, 1e4), quantity="mass of a pack", unit="kg", law=BALANCE)


def _inputs(
    area: float, thickness: float, fabric: Fabric, *, filling: float, loss: float
) -> tuple[TraceRow, ...]:
    kit = f"fabric {fabric.name}: {fabric.source}"
    given = "design rules"
    return (
        TraceRow("area of fabric, laps included", "A", area, "m2", "", "collar", Origin.INPUT),
        TraceRow(
            "thickness as cut, pressed as in place", "t_0", thickness, "mm", "", kit, Origin.TABLE
        ),
        TraceRow("void fraction", "n", fabric.void_fraction, "%", "", kit, Origin.TABLE),
        TraceRow("filling besides the fabric", "V_f", filling, "l", "", given, Origin.INPUT),
        TraceRow("share lost", "s_l", loss, "%", "", given, Origin.INPUT),
    )


def _masses(
    resin: Resin, *, mass: float, mass_a: float, packs: int, left_over: float
) -> tuple[TraceRow, ...]:
    kit = f"resin {resin.name}: {resin.source}"
    parts = mixed_density(resin.density_a, resin.density_b, resin.ratio_mass)
    return (
        TraceRow("part B per part A, by mass", "r_m", resin.ratio_mass, "-", "", kit, Origin.TABLE),
        TraceRow("density of the mix", "ρ_r", resin.density, "kg/m3", "", kit, Origin.TABLE),
        TraceRow(
            "the same from its parts, as a check",
            "ρ_ab",
            parts,
            "kg/m3",
            "(1 + r_m) / (1/ρ_a + r_m/ρ_b)",
            "conservation of mass and volume",
        ),
        TraceRow("difference of the two", "δ", parts / resin.density - 1.0, "%", "ρ_ab/ρ_r − 1"),
        TraceRow("mass to mix", "m", mass, "kg", "ρ_r V"),
        TraceRow("of it part A", "m_a", mass_a, "kg", "m / (1 + r_m)", kit),
        TraceRow("of it part B", "m_b", mass - mass_a, "kg", "m − m_a", kit),
        TraceRow("mass of a pack", "m_p", resin.pack_mass, "kg", "", kit, Origin.TABLE),
        TraceRow("packs to open", "n_p", float(packs), "no", "m / m_p, rounded up"),
        TraceRow("left over", "m_l", left_over, "kg", "n_p m_p − m"),
    )

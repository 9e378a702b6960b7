"""The law of a fabric against tables of the mechanics of laminae; the fit against NIST."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from support import Check, Standing
from teewright.fabric.fit import fit_strips
from teewright.fabric.law import FabricLaw, poisson_bound, shear_from_bias
from teewright.fabric.lines import line, line_through_origin
from teewright.fabric.strips import curves_of
from teewright.fabric.values import Direction, StripReading

LAMINAE = (
    "Table of off-axis constants of a carbon/epoxy ply, read in the tests of an open-source "
    "laminate program; the book is S. W. Tsai & H. T. Hahn, Introduction to Composite Materials, "
    "1980, by its figures"
)
PLY = FabricLaw(stiffness_across=10.3, stiffness_along=181.0, poisson=0.28, shear=7.17)
"""The ply of the table, stiffnesses in GPa: the law holds in any unit of stiffness."""


def off_axis(degrees: float, stiffness: float, poisson: float) -> tuple[Check, Check]:
    angle = math.radians(degrees)
    where = f"E 181 and 10.3 GPa, ν 0.28, G 7.17 GPa, {degrees:.0f} degrees"
    standing: Standing = "published, read in a secondary source"
    digit = 10.0 ** (math.floor(math.log10(stiffness)) - 3)
    return (
        Check(
            f"off-axis stiffness at {degrees:.0f} degrees", LAMINAE, where, standing,
            stiffness, "GPa", digit, "one in the last digit: the table cuts off after four",
            lambda: PLY.stiffness_at(angle),
        ),
        Check(
            f"off-axis Poisson's ratio at {degrees:.0f} degrees", LAMINAE, where, standing,
            poisson, "-", 0.001, "one in the third decimal: the table cuts off after it",
            lambda: PLY.poisson_at(angle),
        ),
    )  # fmt: skip


NORRIS = np.array(
    [
        (0.1, 0.2), (338.8, 337.4), (118.1, 118.2), (888.0, 884.6), (9.2, 10.1), (228.1, 226.5),
        (668.5, 666.3), (998.5, 996.3), (449.1, 448.6), (778.9, 777.0), (559.2, 558.2),
        (0.3, 0.4), (0.1, 0.6), (778.1, 775.5), (668.8, 666.9), (339.3, 338.0), (448.9, 447.5),
        (10.8, 11.6), (557.7, 556.0), (228.3, 228.1), (998.0, 995.8), (888.8, 887.6),
        (119.6, 120.2), (0.3, 0.3), (0.6, 0.3), (557.6, 556.8), (339.3, 339.1), (888.0, 887.2),
        (998.5, 999.0), (778.9, 779.0), (10.2, 11.1), (117.6, 118.3), (228.9, 229.2),
        (668.4, 669.1), (449.2, 448.9), (0.2, 0.5),
    ]
)  # fmt: skip
"""(y, x) of 36 calibrations of an ozone monitor."""


def norris(value: str) -> float:
    return float(getattr(line(NORRIS[:, 1], NORRIS[:, 0]), value))


def no_intercept(value: str) -> float:
    x = np.arange(60.0, 71.0)
    return float(getattr(line_through_origin(x, x + 70.0), value))


def certified(data: str, value: str, expected: float, compute: Callable[[str], float]) -> Check:
    return Check(
        f"{data}: {value.replace('_', ' ')}",
        f"NIST Statistical Reference Datasets, linear regression, {data}",
        "certified regression statistics",
        "published",
        expected,
        "-",
        abs(expected) * 1e-10,
        "1e-10 of the value: what double precision leaves of 15 certified digits",
        lambda: compute(value),
    )


def strip(stretches: tuple[float, ...], tension: Callable[[float], float]) -> list[StripReading]:
    """Readings of a strip 1 m wide and 1 m long whose force follows a given curve."""
    return [
        StripReading(specimen="1", direction=Direction.ALONG, width=1.0, gauge=1.0,
                     force=tension(s), extension=s - 1.0)
        for s in stretches
    ]  # fmt: skip


def strain_of_half_again() -> float:
    (curve,) = curves_of(strip((1.0, 1.5), lambda s: s))
    return float(curve.strain[-1])


def stiffness_of_neo_hookean_strip() -> float:
    """A rubber strip, F = mu (lambda - 1/lambda^2) per area: 3 mu where strains are small."""
    small = tuple(1.0 + 1e-4 * k for k in range(6))
    fit = fit_strips(strip(small, lambda s: 1000.0 * (s - s**-2)), limits=(0.0, 1e-3))
    return fit.stiffness_along


CHECKS: tuple[Check, ...] = (
    *(
        check
        for row in (
            (5.0, 154.4, 0.278),
            (10.0, 107.8, 0.273),
            (15.0, 72.62, 0.265),
            (30.0, 28.78, 0.226),
            (45.0, 16.73, 0.167),
            (60.0, 12.41, 0.0978),
        )
        for check in off_axis(*row)
    ),
    Check(
        "shear from the strip at 45 degrees",
        LAMINAE,
        "E 181 and 10.3 GPa, ν 0.28, E at 45 degrees 16.73 GPa; the table's G",
        "published, read in a secondary source",
        7.17,
        "GPa",
        0.009,
        "E at 45 degrees is rounded to 0.005 GPa, which is 0.004 GPa of G; G itself to 0.005",
        lambda: shear_from_bias(181.0, 10.3, 0.28, 16.73) or math.nan,
    ),
    Check(
        "Poisson's ratio pulled across the fibres",
        LAMINAE,
        "90 degrees",
        "published, read in a secondary source",
        0.0159,
        "-",
        0.00005,
        "rounding of the table",
        lambda: PLY.poisson_across,
    ),
    Check(
        "bound of Poisson's ratio, boron/epoxy laminate",
        "R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999",
        "section 2.4, E 11.86 and 1.33 million psi, where 1.97 was measured",
        "value from memory",
        2.99,
        "-",
        0.005,
        "rounding to three digits",
        lambda: poisson_bound(11.86, 1.33),
    ),
    certified("Norris", "slope", 1.00211681802045, norris),
    certified("Norris", "intercept", -0.262323073774029, norris),
    certified("Norris", "slope_error", 0.429796848199937e-3, norris),
    certified("Norris", "intercept_error", 0.232818234301152, norris),
    certified("Norris", "residual", 0.884796396144373, norris),
    certified("NoInt1", "slope", 2.07438016528926, no_intercept),
    certified("NoInt1", "slope_error", 0.165289256198347e-1, no_intercept),
    certified("NoInt1", "residual", 3.56753034006338, no_intercept),
    Check(
        "logarithmic strain of a strip pulled to one and a half",
        "Textbooks of plasticity: true strain is ln(1 + e)",
        "e = 0.5",
        "value from memory",
        0.405465,
        "-",
        5e-7,
        "rounding to six decimals",
        strain_of_half_again,
    ),
    Check(
        "stiffness of a rubber strip at small strain",
        "L. R. G. Treloar, The Physics of Rubber Elasticity, 3rd ed. 1975",
        "uniaxial law μ (λ − λ^−2), hence E = 3 μ for small strains; μ = 1 kN/m",
        "value from memory",
        3000.0,
        "N/m",
        1.0,
        "strains to 0.0005: the rest of the series, E h² / 6 and less, is below 1 N/m",
        stiffness_of_neo_hookean_strip,
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

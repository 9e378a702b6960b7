"""ASTM F1216 Appendix X1 in a textbook's worked designs of a 48 in host.

The standard itself was not read. The designs are the textbook's own: 12 ft of water over the
invert, ovality 2 %, K 7, N 2, E 250 000 psi of which half is left, 4500 psi.

Of other open publications none was found whose worked design could be read in numbers. Leads, not
read beyond their beginnings: a paper on the change of X1.3 in -07b (No-Dig Conference 2008), and
two on laboratory tests of liners of 200, 350 and 500 mm (Studia Geotechnica et Mechanica, 2021,
doi 10.2478/sgem-2021-0002 and 10.2478/sgem-2021-0007).
"""

import pytest

from support import Check
from teewright.units import FOOT, INCH, PSI, hydrostatic
from teewright.wall.f1216 import ovality_factor, x1_1_thickness, x1_2_thickness
from teewright.wall.f1216_soil import (
    buoyancy_factor,
    support_factor,
    x1_3_thickness,
    x1_4_thickness,
)
from teewright.wall.loads import total_load

SOURCE = "Najafi, Trenchless Technology Piping: Installation and Inspection (2010)"
PRINTED = "half of the last digit printed"
PCF = 4.4482216152605 / FOOT**3
D, E_L = 48.0 * INCH, 125_000.0 * PSI


def najafi(name: str, where: str, expected: float, unit: str, half: float, found: float) -> Check:
    return Check(name, SOURCE, where, "published", expected, unit, half, PRINTED, lambda: found)


def buckling(water_psi: float) -> float:
    thickness = x1_1_thickness(
        water_psi * PSI,
        D,
        E_L,
        poisson=0.3,
        ovality=0.02,
        safety_factor=2.0,
        enhancement=7.0,
    )
    return thickness / INCH


def deteriorated() -> float:
    thickness = x1_3_thickness(
        14.90 * PSI,
        D,
        E_L,
        soil_modulus=1000.0 * PSI,
        buoyancy=0.835,
        support=0.414,
        ovality=0.02,
        safety_factor=2.0,
    )
    return thickness / INCH


def total() -> float:
    load = total_load(8.0 * FOOT, 16.0 * FOOT, 120.0 * PCF, 0.35 * PSI)
    return load / PSI


def ovality(per_cent: float, factor: float) -> Check:
    return najafi(
        f"reduction by {per_cent:.0f} % ovality, table",
        "Table 2.9, p. 70",
        factor,
        "-",
        0.0051,
        ovality_factor(per_cent / 100.0),
    )


BENDING = x1_2_thickness(5.20 * PSI, D, 4500.0 * PSI, ovality=0.02, safety_factor=2.0) / INCH
HEAD = hydrostatic(12.0 * FOOT) / PSI

CHECKS: tuple[Check, ...] = (
    najafi("pressure of 12 ft of water", "p. 80", 5.20, "psi", 0.005, HEAD),
    najafi("reduction by 2 % ovality", "p. 77", 0.836, "-", 0.0005, ovality_factor(0.02)),
    najafi("X1.1 thickness, two digits", "p. 80", 0.88, "in", 0.005, buckling(5.20)),
    najafi("X1.1 thickness, three digits", "p. 83", 0.878, "in", 0.0005, buckling(5.20)),
    najafi("X1.2 thickness", "pp. 80, 83", 0.376, "in", 0.0005, BENDING),
    najafi("elastic support, 16 ft", "p. 77", 0.414, "-", 0.0005, support_factor(16.0 * FOOT)),
    najafi(
        "buoyancy factor, 8 ft in 16 ft", "p. 76", 0.835, "-", 0.0005, buoyancy_factor(8.0, 16.0)
    ),
    Check(
        "total load of water, soil and wheel",
        SOURCE,
        "p. 76",
        "published",
        14.90,
        "psi",
        0.06,
        "the printed terms 0.433 x 8 + 120 x 16 x 0.835 / 144 + 0.35 add up to 14.95",
        total,
    ),
    *(
        ovality(q, c)
        for q, c in ((1, 0.91), (4, 0.70), (5, 0.64), (6, 0.59), (8, 0.49), (10, 0.41))
    ),
    najafi("X1.3 thickness", "p. 77", 1.01, "in", 0.005, deteriorated()),
    najafi("X1.4 thickness", "p. 77", 0.790, "in", 0.0005, x1_4_thickness(D, 2.0 * E_L) / INCH),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

"""Surface of a junction, its mesh and its distances against results from outside."""

import math
from functools import partial

import numpy as np
import pytest

from junction_shapes import meshed, skin
from support import Check
from teewright.junction.edge import edge_of
from teewright.junction.field import distances, field_of
from teewright.junction.measure import total_curvature, zone_areas
from teewright.junction.profile import Profile, half_round, profile_point
from teewright.junction.reach import edge_reach
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Skin

GAUSS_BONNET = "Gauss-Bonnet theorem, a surface with the topology of a pair of pants"
ELLIPSE = "Programming exercise `Circumference of an Ellipse`, test cases to ten figures"
STEINER = "Steiner's formula for parallel curves"
STEINMETZ = "Wolfram MathWorld, Steinmetz Solid"


def curvature(surface: Skin, size: float) -> float:
    return total_curvature(meshed(surface, size=size))


def circumference(short: float, long: float) -> float:
    """Circumference of an ellipse by its profile."""
    mean = (short + long) / 2.0
    return 2.0 * half_round(Profile(mean, (mean - short) / mean, 0.3))


def lost_by_inset(ovality: float, inset: float) -> float:
    """Length of an oval profile less the length of the polygon inside it by the inset."""
    profile = Profile(0.15, ovality, 0.7)
    psi = np.linspace(-math.pi, math.pi, 200_001)
    inner = np.diff(profile_point(profile, psi, -inset), axis=0)
    return 2.0 * half_round(profile) - float(np.hypot(*inner.T).sum())


def sharp_unit_tee(scale: float, size: float) -> SkinMesh:
    """Mesh of the sharp edge of two equal pipes at right angles, radius `scale`."""
    return meshed(skin(2 * scale, 2 * scale, 90.0, 0.0, inset=0.0), size=size)


def opening_area(scale: float) -> float:
    """What the opening takes from the main of equal pipes, over the square of the radius.

    Two such openings, and two that the main takes from the branch, are the whole surface of
    the solid common to both.
    """
    mesh = sharp_unit_tee(scale, scale / 40.0)
    sleeve = float(np.ptp(mesh.points[mesh.grid[0], 0]))
    main = zone_areas(mesh)[0] + zone_areas(mesh)[1]
    return (2.0 * math.pi * scale * sleeve - main) / scale**2


def point_to_ellipse(level: float) -> float:
    """Distance inside an oval main from a point on its long axis, far from the branch."""
    surface = skin(0.3, 0.1, 90.0, 0.01, inset=level, ovality=0.1)
    # short axis upwards: semi-axes 0.135 and 0.165; the point is beyond the evolute's cusp
    gap, _ = distances(field_of(surface), np.array([[2.0, 0.12, 0.0]]))
    return float(gap[0]) + level


def crotch_reach(degrees: float) -> float:
    surface = skin(0.2, 0.2, degrees, 0.01)
    return edge_reach(surface)[0] / 0.11


def seam_height_drop() -> float:
    """Crotch to flank of the ball's path at 90 degrees, equal enlarged unit pipes."""
    surface = skin(0.2, 0.2, 90.0, 0.0, inset=0.0)
    height = edge_of(surface, np.array([0.0, math.pi / 3.0])).branch_flat[:, 1]
    return float(height[1] / height[0])


CHECKS: tuple[Check, ...] = (
    *(
        Check(
            name=f"total curvature of the mesh, {name}",
            source=GAUSS_BONNET,
            where="2 pi times the Euler characteristic -1; straight ends carry no turning",
            standing="value from memory",
            expected=-2.0 * math.pi,
            unit="rad",
            tolerance=0.01 * 2.0 * math.pi,
            why="one percent at edges of half the fillet",
            compute=partial(curvature, surface, size),
        )
        for name, surface, size in (
            ("200/100 at 90", skin(0.2, 0.1, 90.0, 0.010), 0.005),
            ("200/100 at 45", skin(0.2, 0.1, 45.0, 0.010), 0.005),
            ("150/150 at 90", skin(0.15, 0.15, 90.0, 0.010), 0.005),
            ("150/150 at 30", skin(0.15, 0.15, 30.0, 0.005), 0.0025),
            (
                "300/150 at 60, off-centre by 30 mm",
                skin(0.3, 0.15, 60.0, 0.010, offset=0.03),
                0.005,
            ),
            ("300/150 at 75, oval by 10 %", skin(0.3, 0.15, 75.0, 0.010, ovality=0.1), 0.005),
            ("900/300 at 45", skin(0.9, 0.3, 45.0, 0.020), 0.010),
        )
    ),
    Check(
        name="total curvature of the mesh converges, 200/100 at 60",
        source=GAUSS_BONNET,
        where="2 pi times the Euler characteristic -1; straight ends carry no turning",
        standing="value from memory",
        expected=-2.0 * math.pi,
        unit="rad",
        tolerance=0.001 * 2.0 * math.pi,
        why="the error of angle defects falls with the square of the edge",
        compute=lambda: curvature(skin(0.2, 0.1, 60.0, 0.010), 0.002),
    ),
    Check(
        name="circumference of an oval main, ellipse 1.5 : 1",
        source=ELLIPSE,
        where="row a = 1.5, b = 1: 7.932719795",
        standing="published, read in a secondary source",
        expected=7.932719795,
        unit="m",
        tolerance=1e-9,
        why="last digit",
        compute=lambda: circumference(1.0, 1.5),
    ),
    Check(
        name="circumference of an oval main, ellipse 1.2 : 1",
        source=ELLIPSE,
        where="row a = 1.2, b = 1: 6.925791195",
        standing="published, read in a secondary source",
        expected=6.925791195,
        unit="m",
        tolerance=1e-9,
        why="last digit",
        compute=lambda: circumference(1.0, 1.2),
    ),
    Check(
        name="an inset of half a 6 mm fabric takes pi t from an oval main's circumference",
        source=STEINER,
        where="length of the parallel curve at distance d inside a convex curve: L - 2 pi d",
        standing="value from memory",
        expected=math.pi * 0.006,
        unit="m",
        tolerance=1e-9,
        why="polygon of 200000 sides",
        compute=lambda: lost_by_inset(0.08, 0.003),
    ),
    Check(
        name="opening of equal pipes at 90 degrees, meshed, over the radius squared",
        source=STEINMETZ,
        where="equation 7: surface 16 r^2 of four equal pieces",
        standing="published",
        expected=4.0,
        unit="-",
        tolerance=0.02,
        why="flat triangles under a curved opening, 0.5 %",
        compute=lambda: opening_area(0.1),
    ),
    Check(
        name="distance along the long axis of an oval main",
        source="Analytic geometry: on the major axis beyond the evolute the vertex is nearest",
        where="point between the evolute's cusp (c^2 - b^2)/c and the vertex",
        standing="value from memory",
        expected=0.165 - 0.12,
        unit="m",
        tolerance=1e-12,
        why="exact",
        compute=lambda: point_to_ellipse(0.002),
    ),
    Check(
        name="largest ball at the crotch of equal pipes at 30 degrees, over the pipes' radius",
        source="Plane section of a cylinder: an ellipse; its tip has the radius b^2/a",
        where="b = R, a = R / sin(theta/2), so R sin(theta/2)",
        standing="value from memory",
        expected=math.sin(math.radians(15.0)),
        unit="-",
        tolerance=0.01 * math.sin(math.radians(15.0)),
        why="found from points 2.8 degrees apart",
        compute=lambda: crotch_reach(30.0),
    ),
    Check(
        name="tee template of the skin's edge at a third of the quarter circle, equal pipes",
        source="Sheet and Plate Metal Work, ch. III",
        where="Square tee-piece, fig. 8: first division of the quarter circle counted from the "
        "flank, cos 60 over cos 0",
        standing="published",
        expected=0.5,
        unit="-",
        tolerance=1e-12,
        why="exact",
        compute=seam_height_drop,
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

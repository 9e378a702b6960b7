"""Saddles of two pipes against sheet-metal practice and exact results of geometry."""

import math

import numpy as np
import pytest

from sharp_saddle import (
    developed_edge,
    developed_hole,
    quadrant_angles,
    saddle_curve,
    saddle_height,
    saddle_lengths,
)
from support import Check
from teewright.junction.edge import arc_points, edge_of
from teewright.junction.values import Junction, Skin

HUBBELL = "J. H. Hubbell, Common volume of two intersecting cylinders, J. Res. NBS 69C (1965)"
STEINMETZ = "Wolfram MathWorld, Steinmetz Solid"
SHEET = "Sheet and Plate Metal Work, ch. III"
ELLIPSE = "Programming exercise `Circumference of an Ellipse`, test cases to ten figures"
GAUSS_BONNET = "Gauss-Bonnet theorem, a surface with the topology of a pair of pants"


def tee(main_radius: float, branch_radius: float, degrees: float, fillet: float = 0.0) -> Junction:
    return Junction(2 * main_radius, 2 * branch_radius, math.radians(degrees), fillet)


def common_volume(ratio: float, degrees: float) -> float:
    """Volume common to cylinders of radii 1 and `ratio`, from the height of the saddle."""
    nodes, weights = np.polynomial.legendre.leggauss(200)
    # radius = ratio sin(t) takes the kink of equal cylinders out of the integrand
    angle = (nodes + 1.0) * math.pi / 4.0
    phi = quadrant_angles(2000)[:-1]
    total = 0.0
    for t, weight in zip(angle, weights * math.pi / 4.0, strict=True):
        radius = ratio * math.sin(t)
        mean = float(saddle_height(tee(1.0, radius, degrees), phi).mean())
        total += weight * 2.0 * math.pi * mean * radius * ratio * math.cos(t)
    return 2.0 * total


def unit_bicylinder_area() -> float:
    """Surface of the solid common to two unit cylinders: two branch ends, two main openings."""
    phi = quadrant_angles(20000)
    edge = developed_edge(tee(1.0, 1.0, 90.0), phi)
    end = float(np.sum((edge[1:, 1] + edge[:-1, 1]) / 2.0 * np.diff(edge[:, 0])))
    hole = developed_hole(tee(1.0, 1.0, 90.0), phi[:-1])
    x, y = hole[:, 0], hole[:, 1]
    opening = abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2.0
    return 2.0 * end + 2.0 * opening


def half_saddle(degrees: float, start: float) -> float:
    """Length of the saddle of unit cylinders over half a turn of the branch."""
    phi = np.linspace(start, start + math.pi, 40001)
    steps = np.diff(saddle_curve(tee(1.0, 1.0, degrees), phi), axis=0)
    return float(np.linalg.norm(steps, axis=1).sum())


def girth_difference(degrees: float) -> float:
    """Girth round the opening less length of the curve on the branch's pattern."""
    _, on_branch, on_main = saddle_lengths(tee(0.15, 0.075, degrees))
    return on_main - on_branch


def total_curvature(junction: Junction) -> float:
    """Integral of Gaussian curvature over the rounded edge; the cylinders have none.

    For a tube of radius rho about a path with curvature vector k, K dA = -(k . u) dv ds; over
    an arc of angle beta the mean direction is the middle one times 2 sin(beta/2).
    """
    phi = quadrant_angles(40000)
    edge = edge_of(Skin(junction, 0.0), phi)
    seam = arc_points(edge, np.full(len(phi), 0.5))
    tangent = np.diff(edge.centre, axis=0)
    tangent /= np.linalg.norm(tangent, axis=1)[:, None]
    turn = np.roll(tangent, -1, axis=0) - tangent
    middle = ((seam - edge.centre) / junction.fillet)[1:]
    share = 2.0 * np.sin(edge.turning / 2.0)[1:]
    return -float(np.sum(np.einsum("ij,ij->i", turn, middle) * share))


CHECKS: tuple[Check, ...] = (
    Check(
        name="girth round the opening equals the pattern's curve, square tee 300/150",
        source=SHEET,
        where="Tee piece with unequal pipes, fig. 10: the test of accurate working",
        standing="published",
        expected=0.0,
        unit="m",
        tolerance=1e-12,
        why="both are integrals of smooth functions; rounding only",
        compute=lambda: girth_difference(90.0),
    ),
    Check(
        name="girth round the opening equals the pattern's curve, oblique tee 300/150 at 60",
        source=SHEET,
        where="Tee piece with unequal pipes, fig. 10, applied to fig. 12",
        standing="published",
        expected=0.0,
        unit="m",
        tolerance=1e-12,
        why="both are integrals of smooth functions; rounding only",
        compute=lambda: girth_difference(60.0),
    ),
    Check(
        name="tee template, crotch minus flank of equal pipes at 90 degrees, unit radius",
        source=SHEET,
        where="Square tee-piece, fig. 8: heights are those of the quarter circle",
        standing="published",
        expected=1.0,
        unit="m",
        tolerance=1e-12,
        why="exact",
        compute=lambda: float(
            np.ptp(saddle_height(tee(1.0, 1.0, 90.0), np.array([0.0, math.pi / 2])))
        ),
    ),
    Check(
        name="tee template, height at a third of the quarter circle, unit radius",
        source=SHEET,
        where="Square tee-piece, fig. 8: second division of the quarter circle, cos 30",
        standing="published",
        expected=0.866025,
        unit="m",
        tolerance=5e-7,
        why="half a unit of the last digit",
        compute=lambda: float(
            saddle_height(tee(1.0, 1.0, 90.0), np.array([math.radians(30.0)]))[0]
        ),
    ),
    Check(
        name="common volume, equal unit cylinders at 90 degrees",
        source=STEINMETZ,
        where="equation 8, 16/3 r^3",
        standing="published",
        expected=16.0 / 3.0,
        unit="m3",
        tolerance=1e-5,
        why="quadrature over a kinked curve",
        compute=lambda: common_volume(1.0, 90.0),
    ),
    Check(
        name="surface of the solid common to equal unit cylinders at 90 degrees",
        source=STEINMETZ,
        where="equation 7, 16 r^2",
        standing="published",
        expected=16.0,
        unit="m2",
        tolerance=1e-5,
        why="trapezia under 20000 chords",
        compute=unit_bicylinder_area,
    ),
    Check(
        name="common volume, radii 0.5 and 1 at 90 degrees",
        source=HUBBELL,
        where="abstract, form 2, at k = 0.5, evaluated with complete elliptic integrals",
        standing="published, read in a secondary source",
        expected=1.520039988,
        unit="m3",
        tolerance=1e-8,
        why="nine decimals of the printed formula",
        compute=lambda: common_volume(0.5, 90.0),
    ),
    Check(
        name="common volume, radii 0.75 and 1 at 60 degrees",
        source=HUBBELL,
        where="abstract, form 2 over sin(beta), at k = 0.75",
        standing="published, read in a secondary source",
        expected=3.264145706 / math.sin(math.pi / 3.0),
        unit="m3",
        tolerance=1e-8,
        why="nine decimals of the printed formula",
        compute=lambda: common_volume(0.75, 60.0),
    ),
    Check(
        name="common volume, equal unit cylinders at 45 degrees",
        source=HUBBELL,
        where="abstract, v(1)/sin(beta) with v(1) = 16/3",
        standing="published, read in a secondary source",
        expected=7.542472333,
        unit="m3",
        tolerance=1e-5,
        why="quadrature over a kinked curve",
        compute=lambda: common_volume(1.0, 45.0),
    ),
    Check(
        name="crotch half of the saddle of equal pipes at 60 degrees is half an ellipse 2 : 1",
        source=ELLIPSE,
        where="row a = 2, b = 1: 9.688448220",
        standing="published, read in a secondary source",
        expected=9.688448220 / 2.0,
        unit="m",
        tolerance=1e-7,
        why="40000 chords",
        compute=lambda: half_saddle(60.0, -math.pi / 2),
    ),
    Check(
        name="crotch half of the saddle of equal pipes, ellipse 1.5 : 1",
        source=ELLIPSE,
        where="row a = 1.5, b = 1: 7.932719795",
        standing="published, read in a secondary source",
        expected=7.932719795 / 2.0,
        unit="m",
        tolerance=1e-7,
        why="40000 chords",
        compute=lambda: half_saddle(math.degrees(2.0 * math.asin(1.0 / 1.5)), -math.pi / 2),
    ),
    Check(
        name="heel half of the saddle of equal pipes, ellipse 1.2 : 1",
        source=ELLIPSE,
        where="row a = 1.2, b = 1: 6.925791195",
        standing="published, read in a secondary source",
        expected=6.925791195 / 2.0,
        unit="m",
        tolerance=1e-7,
        why="40000 chords",
        compute=lambda: half_saddle(math.degrees(2.0 * math.acos(1.0 / 1.2)), math.pi / 2),
    ),
    Check(
        name="saddle of equal pipes at 90 degrees is as long as one period of the sine curve",
        source="Length of the sine curve over one period, 4 sqrt(2) E(1/2)",
        where="mathematical constant",
        standing="value from memory",
        expected=7.640395578,
        unit="m",
        tolerance=1e-9,
        why="last digit of the constant",
        compute=lambda: saddle_lengths(tee(1.0, 1.0, 90.0))[0],
    ),
    Check(
        name="total curvature of the rounded edge, 200/100 at 45 degrees",
        source=GAUSS_BONNET,
        where="2 pi times the Euler characteristic -1; straight ends carry no turning",
        standing="value from memory",
        expected=-2.0 * math.pi,
        unit="rad",
        tolerance=1e-5,
        why="differences over 40000 steps",
        compute=lambda: total_curvature(tee(0.1, 0.05, 45.0, 0.01)),
    ),
    Check(
        name="total curvature of the rounded edge, 300/150 at 90 degrees",
        source=GAUSS_BONNET,
        where="2 pi times the Euler characteristic -1; straight ends carry no turning",
        standing="value from memory",
        expected=-2.0 * math.pi,
        unit="rad",
        tolerance=1e-5,
        why="differences over 40000 steps",
        compute=lambda: total_curvature(tee(0.15, 0.075, 90.0, 0.005)),
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()

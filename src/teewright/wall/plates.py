"""The collar over the cut opening, taken as a flat plate under pressure.

A cautious stand-in: the collar is curved and goes on into the branch, which both help it. The
plates are the exact thin-plate solutions: clamped and supported circle (Timoshenko and
Woinowsky-Krieger, Theory of Plates and Shells, ch. 3, value from memory; the clamped circle
also in the Mechanical Engineer's Data Handbook, p. 53) and clamped ellipse (the same, ch. 9,
value from memory).
"""

import math

from teewright.errors import GeometryError
from teewright.numerics.limits import within

ANGLE = (math.radians(20.0), math.pi / 2.0)
"""Angles between the axes of main and branch [rad]."""
BORE = (0.01, 5.0)
"""Diameters of branches [m]."""
SPANS = (1e-4, 20.0)
"""Spans of plates [m]."""
BROKEN = (0.0, 0.5)
"""Wall broken away beyond the cut [m]."""
PLATE = "a thin plate over the cut opening"
CLAMPED = 0.75
"""Largest stress of a clamped round plate, s t^2 / (P r^2) [-]."""


def opening_axes(branch_diameter: float, angle: float, broken: float) -> tuple[float, float]:
    """Axes of the ellipse that the branch cuts, seen along the normal of the main.

    Across the main d + 2 b, along it d / sin(angle) + 2 b: the cylinder of the branch cut by
    the plane that touches the main. The larger lies along the main, from crotch to heel.

    Args:
        branch_diameter: Diameter of the cut across the branch d [m].
        angle: Between the axes [rad].
        broken: Wall broken away beyond the cut, all round b [m].

    Returns:
        Larger and smaller axis [m].

    Raises:
        RangeError: A value out of range.
    """
    within(branch_diameter, BORE, quantity="branch diameter", unit="m", law=PLATE)
    within(angle, ANGLE, quantity="branch angle", unit="rad", law=PLATE)
    within(broken, BROKEN, quantity="wall broken away", unit="m", law=PLATE)
    return branch_diameter / math.sin(angle) + 2.0 * broken, branch_diameter + 2.0 * broken


def clamped_circle_thickness(pressure: float, span: float, stress: float) -> float:
    """Thickness of a round plate clamped at its rim, s = 3 P r^2 / (4 t^2).

    Args:
        pressure: P [Pa].
        span: Diameter of the plate [m].
        stress: Stress that it may bear s [Pa].

    Returns:
        Thickness [m].

    Raises:
        RangeError: A value out of range.
    """
    return _thickness(CLAMPED, pressure, span / 2.0, stress)


def supported_circle_thickness(
    pressure: float, span: float, stress: float, *, poisson: float
) -> float:
    """Thickness of a round plate that can turn at its rim, s = 3 (3 + v) P r^2 / (8 t^2).

    The bound where the rim comes loose; 1.28 times the clamped plate's at v = 0.3.

    Args:
        pressure: P [Pa].
        span: Diameter of the plate [m].
        stress: Stress that it may bear s [Pa].
        poisson: v [-].

    Returns:
        Thickness [m].

    Raises:
        RangeError: A value out of range.
    """
    within(poisson, (0.0, 0.5), quantity="Poisson's ratio", unit="-", law=PLATE)
    return _thickness(0.375 * (3.0 + poisson), pressure, span / 2.0, stress)


def clamped_ellipse_thickness(
    pressure: float, longer: float, shorter: float, stress: float
) -> float:
    """Thickness of an elliptic plate clamped at its rim.

    The largest stress is across the rim at the ends of the shorter axis: with semi-axes a > b,
    s = 6 P b^2 / { t^2 [3 + 2 (b/a)^2 + 3 (b/a)^4] }, the circle's 3 P r^2 / (4 t^2) at a = b
    and the clamped strip's P b^2 / t^2 * 2 as a grows.

    Args:
        pressure: P [Pa].
        longer: Longer axis 2 a [m].
        shorter: Shorter axis 2 b [m].
        stress: Stress that it may bear s [Pa].

    Returns:
        Thickness [m].

    Raises:
        GeometryError: The axes are the wrong way round.
        RangeError: A value out of range.
    """
    if shorter > longer:
        raise GeometryError(
            f"shorter axis = {shorter:.4g} m is more than the longer axis of {longer:.4g} m"
        )
    ratio = (shorter / longer) ** 2
    factor = 6.0 / (3.0 + 2.0 * ratio + 3.0 * ratio**2)
    return _thickness(factor, pressure, shorter / 2.0, stress)


def clamped_circle_pressure(thickness: float, span: float, stress: float) -> float:
    """Pressure that a clamped round plate bears, P = 4 s t^2 / (3 r^2).

    Args:
        thickness: t [m].
        span: Diameter of the plate [m].
        stress: Stress that it may bear s [Pa].

    Returns:
        Pressure [Pa].

    Raises:
        RangeError: A value out of range.
    """
    within(span, SPANS, quantity="span", unit="m", law=PLATE)
    return stress * (thickness / (span / 2.0)) ** 2 / CLAMPED


def _thickness(factor: float, pressure: float, radius: float, stress: float) -> float:
    within(2.0 * radius, SPANS, quantity="span", unit="m", law=PLATE)
    within(pressure, (0.0, 1e6), quantity="pressure", unit="Pa", law=PLATE)
    within(stress, (1e3, 1e10), quantity="stress", unit="Pa", law=PLATE)
    return radius * math.sqrt(factor * pressure / stress)

"""The two flat panels of a collar, in closed form.

Geometry is that of the fabric's mid-surface. The seam runs half-way round the rounded edge;
each panel is unrolled to the line where the rounding begins and carried on from there by half
the arc, and both are then scaled by one over the design stretch: undersizing evenly keeps the
seam edges as equal as they were. Seam allowance and laps are not scaled.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.collar.cover import (
    SEAM_SAMPLES,
    check_branch_part,
    crown_height,
    opening_centre,
    sleeve_margins,
)
from teewright.collar.notches import notch_angles, place_notches
from teewright.collar.numbers import Measures, collar_trace
from teewright.collar.outline import line_length, opening, points, rectangle, ring_area, sleeve
from teewright.collar.values import Collar, Panel
from teewright.errors import GeometryError
from teewright.junction.fillet import Fillet, fillet_area, fillet_excess, roll_ball
from teewright.junction.saddle import check_junction, mid_surface, quadrant_angles
from teewright.junction.values import Junction
from teewright.kit.values import Fabric

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Plan:
    """What both panels are drawn from: mid-surface, rounded edge, and the choices."""

    junction: Junction
    edge: Fillet
    centre: float
    top: float
    stretch: float
    sleeve_length: float
    lap: float
    allowance: float


def design_collar(
    junction: Junction,
    fabric: Fabric,
    *,
    thickness: float,
    stretch: float,
    sleeve_length: float,
    branch_length: float,
    lap: float,
    pattern: str,
) -> Collar:
    """Draw the main panel and the branch panel of a collar.

    The main panel wraps the main, grain along it, and closes at the invert, opposite the
    branch. The branch panel wraps the branch, grain along it, and closes at the heel: the
    crotch side is shorter, by twice r / tan(theta), but the fabric turns there through
    180 degrees less theta, and a doubled lap would hold it off the edge; at the heel it
    turns through theta only.

    Args:
        junction: The host's inner surface, lined.
        fabric: Fabric of both panels.
        thickness: Installed thickness at the forming pressure [m].
        stretch: Formed length over cut length, >= 1 [-].
        sleeve_length: Formed length along the main, centred on the opening [m].
        branch_length: Formed length up the branch beyond the highest point of the seam [m].
        lap: Overlap of each closing seam, >= 0 [m].
        pattern: Name of the pattern.

    Returns:
        The collar.

    Raises:
        GeometryError: The junction cannot be covered with these lengths; the sentence has the
            numbers.
    """
    check_junction(junction)
    _check_choices(stretch, lap)
    shape = mid_surface(junction, thickness)
    edge = roll_ball(shape, quadrant_angles(SEAM_SAMPLES))
    plan = _Plan(
        junction=shape,
        edge=edge,
        centre=opening_centre(junction),
        top=float(np.max(edge.branch_seam[:, 1])) + branch_length,
        stretch=stretch,
        sleeve_length=sleeve_length,
        lap=lap,
        allowance=fabric.seam_allowance,
    )
    sleeve_margins(edge, plan.centre, sleeve_length)
    check_branch_part(edge, branch_length)
    main, branch = _main_panel(plan), _branch_panel(plan)
    measures = _measure(plan, main, branch, junction)
    return Collar(
        pattern=pattern,
        junction=junction,
        fabric=fabric.name,
        thickness=thickness,
        stretch=stretch,
        sleeve_length=sleeve_length,
        branch_length=branch_length,
        panels=(main, branch),
        fabric_area=main.area + branch.area,
        formed_area=measures.formed_area,
        seam_length=measures.seam_length,
        seam_edges=measures.seam_edges,
        seam_stretch=measures.seam_stretch,
        excess=measures.excess,
        trace=collar_trace(
            junction, shape, measures, thickness=thickness, stretch=stretch, fabric=fabric.name
        ),
    )


def _check_choices(stretch: float, lap: float) -> None:
    if not 1.0 <= stretch <= 2.0:
        raise GeometryError(f"a design stretch of {stretch:.3f} is not between 1 and 2")
    if not 0.0 <= lap <= 0.2:
        raise GeometryError(f"a lap of {1e3 * lap:.0f} mm is not between 0 and 200 mm")


def _main_flat(plan: _Plan, line: FloatArray) -> FloatArray:
    """From (along, round) formed to (across, along the grain) cut, upstream up."""
    return np.column_stack([line[:, 1], line[:, 0] - plan.centre]) / plan.stretch


def _branch_flat(plan: _Plan, line: FloatArray) -> FloatArray:
    """From (round, along) formed to cut, lowest point of the seam at height 0."""
    low = float(np.min(plan.edge.branch_seam[:, 1]))
    return np.column_stack([line[:, 0], line[:, 1] - low]) / plan.stretch


def _main_panel(plan: _Plan) -> Panel:
    seam = _main_flat(plan, plan.edge.main_seam)
    half_seam = math.pi * plan.junction.main_diameter / 2.0 / plan.stretch
    half_length = plan.sleeve_length / 2.0 / plan.stretch
    cut = rectangle(half_seam + plan.lap / 2.0, -half_length, half_length)
    hole = opening(seam[:-1], plan.allowance)
    marks = notch_angles(plan.edge.phi, plan.edge.seam)
    # the seam line runs clockwise round the opening (crotch, then +y): the cut edge is inside it
    side = -1 if ring_area(points(seam[:-1])) < 0.0 else 1
    beside = (half_seam + float(np.max(seam[:, 0]))) / 2.0
    return Panel(
        name="main",
        cut=cut,
        hole=hole,
        seams=(
            ("saddle", points(seam)),
            *_closing(half_seam, (-half_length, -half_length), half_length),
        ),
        laps=_laps(half_seam, plan.lap, (-half_length, -half_length), half_length),
        notches=place_notches(marks, plan.edge.phi, seam, outside=side),
        grain=((beside, -half_length / 2.0), (beside, half_length / 2.0)),
        label_at=(-half_seam / 2.0, 0.8 * half_length),
        area=ring_area(cut) - ring_area(hole),
    )


def _branch_panel(plan: _Plan) -> Panel:
    seam = _branch_flat(plan, plan.edge.branch_seam)
    half_seam = math.pi * plan.junction.branch_diameter / 2.0 / plan.stretch
    low = float(np.min(plan.edge.branch_seam[:, 1]))
    top = (plan.top - low) / plan.stretch
    period = np.array([2.0 * half_seam, 0.0])
    carried_on = np.vstack([seam[:-1] - period, seam, seam[1:] + period])
    half_width = half_seam + plan.lap / 2.0
    cut = sleeve(carried_on, plan.allowance, half_width=half_width, top=top)
    marks = notch_angles(plan.edge.phi, plan.edge.seam)
    both = (*marks, ("H", -math.pi))
    quarter = half_seam / 2.0
    ends = (float(seam[0, 1]), float(seam[-1, 1]))
    return Panel(
        name="branch",
        cut=cut,
        hole=(),
        seams=(("saddle", points(seam)), *_closing(half_seam, ends, top)),
        laps=_laps(half_seam, plan.lap, ends, top),
        notches=place_notches(list(both), plan.edge.phi, seam, outside=-1),
        grain=((quarter, top * 0.5), (quarter, top * 0.9)),
        label_at=(-quarter, top * 0.7),
        area=ring_area(cut),
    )


def _closing(
    half_seam: float, low: tuple[float, float], high: float
) -> tuple[tuple[str, tuple[tuple[float, float], ...]], ...]:
    """The two lines that come to lie on each other when a panel is closed."""
    return (
        ("closing", ((-half_seam, low[0]), (-half_seam, high))),
        ("closing", ((half_seam, low[1]), (half_seam, high))),
    )


def _laps(
    half_seam: float, lap: float, low: tuple[float, float], high: float
) -> tuple[tuple[tuple[float, float], ...], ...]:
    """The lines to which the other edge reaches when a panel is closed."""
    if lap == 0.0:
        return ()
    at = half_seam - lap / 2.0
    return (((-at, low[0]), (-at, high)), ((at, low[1]), (at, high)))


def _measure(plan: _Plan, main: Panel, branch: Panel, host: Junction) -> Measures:
    edge = plan.edge
    formed = np.linalg.norm(np.diff(edge.seam, axis=0), axis=1)
    flat = [_segments(line) / plan.stretch for line in (edge.main_seam, edge.branch_seam)]
    ratios = np.concatenate([formed / part for part in flat])
    excess = fillet_excess(edge.turning, plan.junction.fillet)
    return Measures(
        turning=(float(edge.turning[len(edge.phi) // 2]), float(edge.turning[0])),
        excess=(float(np.min(excess)), float(np.max(excess))),
        seam_length=float(formed.sum()),
        seam_edges=(line_length(main.seams[0][1]), line_length(branch.seams[0][1])),
        seam_stretch=(float(np.min(ratios)), float(np.max(ratios))),
        formed_area=_formed_area(plan),
        fabric_area=main.area + branch.area,
        margins=sleeve_margins(edge, plan.centre, plan.sleeve_length),
        reach=plan.top - crown_height(host),
    )


def _segments(line: FloatArray) -> FloatArray:
    """Lengths between neighbouring points, shape (n - 1,) [m]."""
    return np.asarray(np.linalg.norm(np.diff(line, axis=0), axis=1))


def _formed_area(plan: _Plan) -> float:
    """Mid-surface of main, branch and rounded edge, laps not counted [m2]."""
    shape, edge = plan.junction, plan.edge
    main = math.pi * shape.main_diameter * plan.sleeve_length
    main -= abs(ring_area(points(edge.main_flat[:-1])))
    above = plan.top - edge.branch_flat[:, 1]
    branch = float(np.dot(above[1:] + above[:-1], np.diff(edge.branch_flat[:, 0]))) / 2.0
    return main + branch + fillet_area(shape)

"""What is written and marked on a panel, the same on every kind of cutting file."""

import math

from shapely import LineString, Point

from teewright.collar.values import Collar, Notch, Panel, Point2

SCALE_LENGTH = 0.1
"""Length of the line by which a print or a plot is checked [m]."""

_NOTCH_WIDTH = 0.005
_NOTCH_DEPTH = 0.6
_FALLBACK = 0.004


def label_lines(panel: Panel, collar: Collar) -> tuple[str, ...]:
    """Text of a panel's label.

    Args:
        panel: Panel of the collar.
        collar: Collar.

    Returns:
        Short lines: pattern and panel, shape, fabric, which side and which end are up.
    """
    shape = collar.junction
    end = "upstream" if panel.name == "main" else "up the branch"
    sizes = f"{1e3 * shape.main_diameter:.0f} / {1e3 * shape.branch_diameter:.0f} mm"
    return (
        f"{collar.pattern} {panel.name}",
        f"{sizes}, {math.degrees(shape.angle):.0f}°",
        collar.fabric,
        f"stretch {collar.stretch:.3f}",
        "top side",
        f"arrow {end}",
    )


def label_size(panel: Panel) -> float:
    """Height of the label's letters, so that it keeps within the panel [m]."""
    across = [x for x, _ in panel.cut]
    return min(0.008, (max(across) - min(across)) / 46.0)


def grain_arrow(panel: Panel) -> tuple[Point2, ...]:
    """The grain line with its head, to be drawn in one stroke [m].

    Args:
        panel: Panel.

    Returns:
        Start, end, one barb, end, other barb.
    """
    start, end = panel.grain
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    head = min(0.012, length / 3.0)
    back_x, back_y = end[0] - head * ux, end[1] - head * uy
    half = head / 3.0
    left = (back_x - half * uy, back_y + half * ux)
    right = (back_x + half * uy, back_y - half * ux)
    return start, end, left, end, right


def grain_label_at(panel: Panel) -> Point2:
    """Middle of the word beside the tail of the grain arrow [m]."""
    x, y = panel.grain[0]
    return x + 1.5 * label_size(panel), y


def notch_label_at(panel: Panel, notch: Notch) -> Point2:
    """Middle of a notch's label: across the seam line, beside a closing seam, not on it [m].

    Args:
        panel: Panel that carries the notch.
        notch: One of its notches.
    """
    away = label_size(panel)
    (x, y), (nx, ny) = notch.point, notch.normal
    closing = [line[0][0] for name, line in panel.seams if name == "closing"]
    beside = min((abs(x - at) for at in closing), default=away)
    inwards = -math.copysign(max(0.8 * away - beside, 0.0), x)
    return x - away * nx + inwards, y - away * ny


def notch_triangle(panel: Panel, notch: Notch) -> tuple[Point2, Point2, Point2]:
    """A notch as the cutter makes it: base on the cut edge, tip towards the seam line.

    Args:
        panel: Panel that carries the notch.
        notch: One of its notches.

    Returns:
        Base, tip, base [m]; the tip stops short of the seam line.
    """
    depth = _allowance_at(panel, notch)
    (x, y), (nx, ny) = notch.point, notch.normal
    tip = depth * (1.0 - _NOTCH_DEPTH)
    half = _NOTCH_WIDTH / 2.0
    edge_x, edge_y = x + depth * nx, y + depth * ny
    return (
        (edge_x - half * ny, edge_y + half * nx),
        (x + tip * nx, y + tip * ny),
        (edge_x + half * ny, edge_y - half * nx),
    )


def _allowance_at(panel: Panel, notch: Notch) -> float:
    """Distance from a notch on the seam line to the cut edge [m]."""
    ring = panel.hole or panel.cut
    (x, y), (nx, ny) = notch.point, notch.normal
    ray = LineString([(x, y), (x + 0.1 * nx, y + 0.1 * ny)])
    crossing = ray.intersection(LineString([*ring, ring[0]]))
    if crossing.is_empty:
        return _FALLBACK
    return max(float(crossing.distance(Point(x, y))), _FALLBACK)

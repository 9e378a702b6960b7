"""A collar: flat panels, what they weigh in area, and how far they stretch."""

from dataclasses import dataclass

from teewright.junction.values import Junction
from teewright.trace import TraceRow

Point2 = tuple[float, float]
"""A point of a flat panel [m]."""


@dataclass(frozen=True, slots=True)
class Notch:
    """A mark that must meet the mark of the same label on the other panel.

    Attributes:
        label: Same on both panels.
        point: On the seam line [m].
        normal: Unit vector from the seam line towards the cut edge.
    """

    label: str
    point: Point2
    normal: Point2


@dataclass(frozen=True, slots=True)
class Panel:
    """A flat piece of fabric. Coordinates [m], counter-clockwise rings, x across the sheet.

    Attributes:
        name: `main` or `branch`.
        cut: Outer cut line, closed ring (first point not repeated).
        hole: Cut line of the opening, closed ring, or empty.
        seams: Lines along which it is sewn: (name, points) each; `saddle` joins the two
            panels, `closing` closes a panel round its cylinder.
        laps: Lines to which a lap reaches, drawn dashed.
        notches: Marks.
        grain: Two points of the grain line, start and end.
        label_at: Where the label goes.
        area: Inside the cut line [m2].
    """

    name: str
    cut: tuple[Point2, ...]
    hole: tuple[Point2, ...]
    seams: tuple[tuple[str, tuple[Point2, ...]], ...]
    laps: tuple[tuple[Point2, ...], ...]
    notches: tuple[Notch, ...]
    grain: tuple[Point2, Point2]
    label_at: Point2
    area: float


@dataclass(frozen=True, slots=True)
class Collar:
    """A collar for one shape of junction.

    Attributes:
        pattern: Name of the pattern, e.g. `P1`; equal shapes share a pattern.
        junction: The shape it is made for.
        fabric: Name of the fabric.
        thickness: Installed thickness at the forming pressure [m].
        stretch: Design stretch, formed over cut [-].
        sleeve_length: Along the main [m].
        branch_length: Up the branch beyond the highest point of the seam [m].
        panels: Main panel, then branch panel.
        fabric_area: Of both panels inside their cut lines, laps included [m2].
        formed_area: Of the formed mid-surface, laps not counted [m2].
        seam_length: Of the saddle seam in space, once round [m].
        seam_edges: Length of the saddle seam on the main and on the branch panel [m].
        seam_stretch: Smallest and largest stretch along the saddle seam over both panels [-].
        excess: Length taken out across the seam for the fillet: least and greatest [m].
        trace: Numbers in checking order.
    """

    pattern: str
    junction: Junction
    fabric: str
    thickness: float
    stretch: float
    sleeve_length: float
    branch_length: float
    panels: tuple[Panel, ...]
    fabric_area: float
    formed_area: float
    seam_length: float
    seam_edges: tuple[float, float]
    seam_stretch: tuple[float, float]
    excess: tuple[float, float]
    trace: tuple[TraceRow, ...]

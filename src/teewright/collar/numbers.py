"""The numbers of a collar in the order in which they are checked."""

from dataclasses import dataclass

from teewright.junction.values import Junction
from teewright.trace import Origin, TraceRow

_OWN = "rolling-ball geometry of two cylinders"
_SADDLE = "parallel-line development of a tee of unequal pipes"
_SHAPE = "junction, to the millimetre and degree of its pattern"


@dataclass(frozen=True, slots=True)
class Measures:
    """What is measured on a drawn collar.

    Attributes:
        turning: Angle of the rounded edge at the crotch and at the heel [rad].
        excess: Least and greatest length that a sharp template would have too much [m].
        seam_length: Saddle seam in space [m].
        seam_edges: Saddle seam on the main and on the branch panel [m].
        seam_stretch: Least and greatest formed over cut length along the seam [-].
        formed_area: Formed mid-surface without laps [m2].
        fabric_area: Both panels inside their cut lines [m2].
        margins: Sleeve on the main beyond the rounded edge, upstream and downstream [m].
        reach: From the crown up the branch's axis to the top of the collar [m].
    """

    turning: tuple[float, float]
    excess: tuple[float, float]
    seam_length: float
    seam_edges: tuple[float, float]
    seam_stretch: tuple[float, float]
    formed_area: float
    fabric_area: float
    margins: tuple[float, float]
    reach: float


def collar_trace(
    host: Junction,
    shape: Junction,
    measures: Measures,
    *,
    thickness: float,
    stretch: float,
    fabric: str,
) -> tuple[TraceRow, ...]:
    """Inputs, geometry and results of a collar.

    Args:
        host: Inner surface of the pipes.
        shape: Mid-surface of the fabric.
        measures: What was measured on the panels.
        thickness: Installed thickness [m].
        stretch: Design stretch [-].
        fabric: Name of the fabric.

    Returns:
        Rows in checking order.
    """
    return (
        *_inputs(host, thickness, stretch, fabric),
        *_surface(shape, measures),
        *_seam(measures),
        *_sizes(measures),
    )


def _inputs(host: Junction, thickness: float, stretch: float, fabric: str) -> tuple[TraceRow, ...]:
    given, choice = Origin.INPUT, "rules of the design"
    return (
        TraceRow("main, inner diameter", "D", host.main_diameter, "mm", "", _SHAPE, given),
        TraceRow("branch, inner diameter", "d", host.branch_diameter, "mm", "", _SHAPE, given),
        TraceRow("angle between the axes", "θ", host.angle, "deg", "", _SHAPE, given),
        TraceRow("rounding of the edge", "ρ", host.fillet, "mm", "", _SHAPE, given),
        TraceRow("installed thickness", "t", thickness, "mm", "t(p) / λ²", fabric),
        TraceRow("design stretch", "λ", stretch, "-", "", choice, given),
    )


def _surface(shape: Junction, measures: Measures) -> tuple[TraceRow, ...]:
    crotch, heel = measures.turning
    least, most = measures.excess
    cut_back = "2 ρ_m (tan(β/2) − β/2)"
    return (
        TraceRow("main, mid-surface", "R_m", shape.main_diameter / 2, "mm", "(D − t)/2", _OWN),
        TraceRow("branch, mid-surface", "r_m", shape.branch_diameter / 2, "mm", "(d − t)/2", _OWN),
        TraceRow("edge, mid-surface", "ρ_m", shape.fillet, "mm", "ρ + t/2", _OWN),
        TraceRow("turn at the crotch", "β_c", crotch, "deg", "180° − θ", _SADDLE),
        TraceRow("turn at the heel", "β_h", heel, "deg", "θ", _SADDLE),
        TraceRow("taken out for the edge, least", "e_min", least, "mm", cut_back, _OWN),
        TraceRow("taken out for the edge, most", "e_max", most, "mm", cut_back, _OWN),
    )


def _seam(measures: Measures) -> tuple[TraceRow, ...]:
    main, branch = measures.seam_edges
    least, most = measures.seam_stretch
    ratio = "formed length / cut length"
    return (
        TraceRow(
            "saddle seam, formed", "L_s", measures.seam_length, "mm", "half-way round ρ_m", _OWN
        ),
        TraceRow("seam edge, main panel", "L_s,D", main, "mm", "cut length", _OWN),
        TraceRow("seam edge, branch panel", "L_s,d", branch, "mm", "cut length", _OWN),
        TraceRow("stretch along the seam, least", "λ_min", least, "-", ratio, _OWN),
        TraceRow("stretch along the seam, most", "λ_max", most, "-", ratio, _OWN),
    )


def _sizes(measures: Measures) -> tuple[TraceRow, ...]:
    upstream, downstream = measures.margins
    beyond = "beyond the rounded edge"
    return (
        TraceRow("sleeve upstream of the opening", "m_u", upstream, "mm", beyond, _OWN),
        TraceRow("sleeve downstream of the opening", "m_d", downstream, "mm", beyond, _OWN),
        TraceRow("reach up the branch", "h_b", measures.reach, "mm", "from the crown", _OWN),
        TraceRow("formed area, no laps", "A_f", measures.formed_area, "m2", "mid-surface", _OWN),
        TraceRow("fabric cut", "A", measures.fabric_area, "m2", "laps included", _OWN),
    )

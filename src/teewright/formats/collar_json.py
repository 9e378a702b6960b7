"""One collar as JSON for programs: what `teewright collar` writes as `collar.json`.

Units stand in the names; a number that is not known is null. docs/collar-json.md lists the names.
The schema is part of the public surface and only grows.
"""

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from teewright import __version__
from teewright.collar.made import Made
from teewright.collar.order import Effort, Order
from teewright.collar.tolerance import NAMES
from teewright.collar.values import (
    Collar,
    CollarMap,
    Edge,
    Landing,
    Limit,
    Notch,
    Offer,
    Panel,
    Tolerance,
)
from teewright.fabric.law import law_of
from teewright.kit.values import Fabric
from teewright.resin.amount_values import ResinAmount
from teewright.trace import TraceRow
from teewright.units import BAR, LITRE, MM, SHOWN

SCHEMA = "teewright.collar/1"
"""Name of the schema; the number grows when a name changes its meaning."""

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of a collar beside itself.

    Attributes:
        kit: Title of the kit.
        invented: Whether the figures of the kit are invented.
        assumed: Everything that was not given but assumed, one sentence each.
        shortfalls: Why it cannot be used as it is, one sentence each with what would help.
        resin: Name of the resin.
        loss: Share of the resin lost in mixer and handling [-].
        demand: What must be mixed.
    """

    kit: str
    invented: bool
    assumed: tuple[str, ...]
    shortfalls: tuple[str, ...]
    resin: str
    loss: float
    demand: ResinAmount


def collar_json(made: Made, order: Order, effort: Effort, told: Told) -> Json:
    """A collar for programs.

    Args:
        made: The collar and its picture.
        order: What it was made for.
        effort: How finely it was computed.
        told: What else is to be told.

    Returns:
        Plain values; no number in it is infinite or nan.
    """
    collar = made.collar
    return {
        "schema": SCHEMA,
        "version": __version__,
        "name": collar.pattern,
        "kit": told.kit,
        "invented": told.invented,
        "assumed": list(told.assumed),
        "kept": not told.shortfalls,
        "shortfalls": list(told.shortfalls),
        "inputs": _inputs(order),
        "effort": _effort(effort),
        "fabric": _fabric(order.fabric),
        "layout": collar.layout,
        "offers": [_offer(offer) for offer in collar.offers],
        "panels": _panels(collar),
        "seam": _seam(made),
        "pieces": [_piece(panel) for panel in collar.panels],
        "landing": _landing(collar.landing),
        "limits": [_limit(limit) for limit in collar.landing.limits],
        "edges": [_edge(edge) for edge in collar.landing.edges],
        "tolerance": _tolerance(collar.tolerance),
        "resin": _resin(collar, told),
        "map": _map(made.map),
        "numbers": [_number(row) for row in (*collar.trace, *told.demand.trace)],
    }


def write_collar_json(value: Json, *, ascii_only: bool = False) -> str:
    """The text of a collar's JSON: a line for each name, and for each row of numbers.

    Args:
        value: What `collar_json` returned.
        ascii_only: Whether signs beyond ASCII are escaped.

    Raises:
        ValueError: A number is infinite or nan.
    """
    return _text(value, "", ascii_only=ascii_only) + "\n"


def _text(value: Any, indent: str, *, ascii_only: bool) -> str:
    inner = indent + " "
    if isinstance(value, dict) and value:
        rows = (
            f"{json.dumps(name)}: {_text(v, inner, ascii_only=ascii_only)}"
            for name, v in value.items()
        )
        return "{\n" + inner + f",\n{inner}".join(rows) + f"\n{indent}}}"
    if isinstance(value, list) and any(isinstance(v, (dict, list)) for v in value):
        texts = (_text(v, inner, ascii_only=ascii_only) for v in value)
        return "[\n" + inner + f",\n{inner}".join(texts) + f"\n{indent}]"
    return json.dumps(value, ensure_ascii=ascii_only, allow_nan=False)


def _n(value: float | None, unit: float = 1.0, digits: int = 6) -> float | None:
    """A number in a unit, or null where it is not known or not finite."""
    if value is None or not math.isfinite(value):
        return None
    return round(value / unit, digits)


def _mm(value: float | None) -> float | None:
    return _n(value, MM, 4)


def _deg(value: float) -> float | None:
    return _n(math.degrees(value), 1.0, 4)


def _points(points: Iterable[Sequence[float]]) -> list[list[float]]:
    return [[round(x / MM, 4) for x in point] for point in points]


def _inputs(order: Order) -> Json:
    j = order.junction
    return {
        "main_mm": _mm(j.main_diameter),
        "branch_mm": _mm(j.branch_diameter),
        "angle_deg": _deg(j.angle),
        "edge_radius_mm": _mm(j.fillet),
        "offset_mm": _mm(j.offset),
        "ovality_percent": _n(j.ovality, 0.01),
        "short_axis_deg": _deg(j.short_axis),
        "fabric": order.fabric.name,
        "pressure_bar": _n(order.pressure, BAR),
        "thickness_mm": _mm(order.thickness),
        "stretch": _n(order.stretch),
        "sleeve_mm": _mm(order.sleeve_length),
        "branch_length_mm": _mm(order.branch_length),
        "lap_mm": _mm(order.lap),
        "layout": order.layout or None,
    }


def _effort(effort: Effort) -> Json:
    return {
        "fineness": effort.fineness,
        "rounds_most": effort.rounds,
        "seam_searched": effort.seam,
        "tolerance_sought": effort.tolerance,
        "random_cases_a_set": effort.samples if effort.tolerance else None,
    }


def _fabric(f: Fabric) -> Json:
    law = law_of(f)
    return {
        "name": f.name,
        "source": f.source,
        "thickness": [{"pressure_bar": _n(p, BAR), "thickness_mm": _mm(t)} for p, t in f.thickness],
        "void_fraction": f.void_fraction,
        "stiffness_along_kn_m": _n(f.stiffness_along, 1e3),
        "stiffness_across_kn_m": _n(f.stiffness_across, 1e3),
        "stiffness_shear_kn_m": _n(law.shear, 1e3),
        "shear_measured": f.stiffness_shear > 0.0,
        "poisson": f.poisson,
        "largest_stretch_along": f.stretch_along,
        "largest_stretch_across": f.stretch_across,
        "seam_allowance_mm": _mm(f.seam_allowance),
        "seam_stiffness_kn": _n(f.seam_stiffness, 1e3),
        "seam_take_mm": _mm(f.seam_take),
        "friction": f.friction,
        "roll_width_mm": _mm(f.roll_width),
    }


def _offer(offer: Offer) -> Json:
    return {
        "layout": offer.layout,
        "t_star": _n(offer.ratio),
        "allowed": _n(offer.allowed),
        "fits": offer.fits,
        "chosen": offer.chosen,
        "pieces": offer.pieces,
        "seam_mm": _mm(offer.seam_length),
    }


def _panels(collar: Collar) -> Json:
    return {
        "window": [_n(v) for v in collar.window],
        "designed_stretch": [_n(v) for v in collar.designed],
        "stretch_round": _n(collar.stretch),
        "stretch_along": _n(collar.stretch_along),
        "thickness_mm": _mm(collar.thickness),
        "reach_mm": _mm(collar.reach),
        "fabric_m2": _n(collar.fabric_area),
        "formed_m2": _n(collar.formed_area),
    }


def _seam(made: Made) -> Json:
    """The saddle seam: its length formed, both edges as cut, and every seam in space."""
    first, second = made.collar.seam_edges
    seam = made.collar.seam
    return {
        "crotch_share": seam.crotch,
        "flank_share": seam.flank,
        "heel_share": seam.heel,
        "side_share": seam.side,
        "saddle_mm": _mm(made.collar.seam_length),
        "edges_mm": [_mm(first), _mm(second)],
        "mismatch_mm": _mm(abs(first - second)),
        "landed_mm": [_points(line) for line in made.map.seams],
    }


def _piece(panel: Panel) -> Json:
    xs, ys = zip(*panel.cut, strict=True)
    return {
        "name": panel.name,
        "across_mm": _mm(max(xs) - min(xs)),
        "along_mm": _mm(max(ys) - min(ys)),
        "area_m2": _n(panel.area),
        "cut_mm": _points(panel.cut),
        "hole_mm": _points(panel.hole),
        "seams": [{"name": name, "line_mm": _points(line)} for name, line in panel.seams],
        "laps_mm": [_points(line) for line in panel.laps],
        "notches": [_notch(notch) for notch in panel.notches],
        "grain_mm": _points(panel.grain),
        "label_at_mm": _points([panel.label_at])[0],
    }


def _notch(notch: Notch) -> Json:
    return {
        "label": notch.label,
        "at_mm": _points([notch.point])[0],
        "outwards": [_n(v) for v in notch.normal],
    }


def _landing(landing: Landing) -> Json:
    return {
        "pressure_bar": _n(landing.pressure, BAR),
        "lies_from_bar": _n(landing.pressure_landed, BAR),
        "stretch": [_n(v) for v in landing.stretch],
        "stretch_inner": [_n(v) for v in landing.stretch_inner],
        "thickness_mm": [_mm(v) for v in landing.thickness],
        "wrinkle_strain": _n(landing.wrinkle_strain),
        "wrinkle_height_mm": _mm(landing.wrinkle_height),
        "gap_mm": _mm(landing.gap),
        "corrections": landing.rounds,
        "forming_runs": landing.runs,
        "triangles": landing.triangles,
        "drift_mm": _mm(landing.drift),
    }


def _limit(limit: Limit) -> Json:
    factor, unit = (MM, "mm") if limit.unit == "m" else (1.0, limit.unit)
    return {
        "name": limit.name,
        "unit": unit,
        "value": _n(limit.value, factor),
        "low": _n(limit.low, factor),
        "high": _n(limit.high, factor),
        "kept": limit.kept,
        "margin": _n(limit.margin),
        "would_help": limit.helps,
    }


def _edge(edge: Edge) -> Json:
    return {
        "name": edge.name,
        "wanted_mm": _mm(edge.wanted),
        "least_mm": _mm(edge.least),
        "most_mm": _mm(edge.most),
    }


def _tolerance(t: Tolerance | None) -> Json | None:
    if t is None:
        return None
    return {
        "along_mm": _mm(t.along),
        "round_deg": _deg(t.round),
        "main_mm": _mm(t.main),
        "branch_mm": _mm(t.branch),
        "angle_deg": _deg(t.angle),
        "edge_radius_mm": _mm(t.fillet),
        "random_cases": t.runs,
        "share_kept": _n(t.share),
        "confidence": t.confidence,
        "breaks_first": _breaks(t),
    }


def _breaks(t: Tolerance) -> Mapping[str, str | None]:
    """What breaks first beyond each; null where nothing broke as far as was tried."""
    names = {"fillet": "edge_radius"}
    return {names.get(n, n): found or None for n, found in zip(NAMES, t.breaks, strict=True)}


def _resin(collar: Collar, told: Told) -> Json:
    least, mean, most = collar.landing.resin
    d = told.demand
    return {
        "name": told.resin,
        "least_l_m2": _n(least, LITRE),
        "mean_l_m2": _n(mean, LITRE),
        "greatest_l_m2": _n(most, LITRE),
        "held_l": _n(mean * collar.formed_area, LITRE),
        "to_mix_l": _n(d.volume, LITRE),
        "to_mix_kg": _n(d.mass),
        "part_a_kg": _n(d.mass_a),
        "part_b_kg": _n(d.mass_b),
        "packs": d.packs,
        "left_over_kg": _n(d.left_over),
        "share_lost": _n(told.loss),
    }


def _map(m: CollarMap) -> Json:
    return {
        "points_mm": _points(m.points),
        "triangles": [list(corners) for corners in m.triangles],
        "stretch": [_n(v) for v in m.stretch],
        "least_stretch": [_n(v) for v in m.least],
        "thickness_mm": [_mm(v) for v in m.thickness],
        "wrinkle_margin": [_n(v) for v in m.wrinkle],
        "flat": [
            {
                "piece": name,
                "points_mm": _points(points),
                "triangles": [list(corners) for corners in triangles],
                "of_triangle": list(faces),
            }
            for name, points, triangles, faces in m.flats
        ],
    }


def _number(row: TraceRow) -> Json:
    convert, _ = SHOWN[row.shown_in]
    return {
        "quantity": row.quantity,
        "symbol": row.symbol,
        "value": _n(float(convert(row.value))),
        "unit": row.shown_in,
        "formula": row.formula,
        "source": row.source,
        "origin": row.origin.value,
    }

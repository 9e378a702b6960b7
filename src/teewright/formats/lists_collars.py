"""Rows of the collars: what is made and set, piece by piece, and each traced number."""

import math
from collections import Counter
from collections.abc import Iterator

from teewright.formats.list_values import Cell, Listed, columns, degrees, scaled
from teewright.hydraulics.values import blocked_hours
from teewright.job.values import Design, Job
from teewright.trace import TraceRow
from teewright.units import BAR, LITRE, MINUTE, MM, SHOWN, celsius


def collars(job: Job) -> Listed:
    """Every collar with what is made and set."""
    heads = columns(
        "connection", "pattern", "fabric", ("main inside, mm", 0), ("branch, mm", 0),
        ("angle, deg", 1), ("fabric, m2", 3), ("seam, mm", 0), ("stretch least, -", 3),
        ("stretch greatest, -", 3), "resin, l", "resin, kg", "part A, kg", "part B, kg", "packs",
        "left over, kg", "at pressure by, min", "release from, min", "pressure least, bar",
        "pressure set, bar", "pressure greatest, bar", "greatest governs", "wall needed, mm",
        "wall provided, mm", "wall used, -", "wall governs", "water over crown, m", "bypass, l/s",
        "hours allowed", "packers", "part A, l", "part B, l", "voids, l", "forming",
        "pressure by rests on", "release rests on", "computed pressure by, min",
        "computed hard, min", ("resin hottest, °C", 0), ("bladder hottest, °C", 0),
        ("liner hottest, °C", 0),
    )  # fmt: skip
    rows = tuple((*_shape(d), *_settings(d)) for d in job.designs.designs)
    return Listed("collars", heads, rows)


def _shape(d: Design) -> tuple[Cell, ...]:
    c, j = d.collar, d.collar.junction
    return (
        d.connection_id, c.pattern, c.fabric, j.main_diameter / MM, j.branch_diameter / MM,
        degrees(j.angle), c.fabric_area, c.seam_length / MM, *c.landing.stretch_inner,
    )  # fmt: skip


def _settings(d: Design) -> tuple[Cell, ...]:
    r, p, w = d.resin, d.pressure, d.governing_wall
    return (
        r.volume / LITRE, r.mass, r.mass_a, r.mass_b, r.packs, r.left_over,
        math.floor(d.cure.latest_inflation / MINUTE + 1e-9),
        math.ceil(d.cure.release_time / MINUTE - 1e-9),
        p.low / BAR, scaled(p.set, BAR), p.high / BAR, p.high_governs,
        w.required / MM, w.provided / MM, w.utilisation, d.wall_governs, d.head,
        d.bypass.capacity / LITRE,
        ", ".join(str(h) for h in blocked_hours(d.bypass, d.flow)),
        ", ".join(d.packers),
        r.volume_a / LITRE, r.volume_b / LITRE, r.filling / LITRE, p.forming,
        d.cure.latest_by.value, d.cure.release_by.value, *_cure(d),
    )  # fmt: skip


def _cure(d: Design) -> tuple[Cell, ...]:
    """Computed times and temperatures, empty where none is computed or never reached."""
    f = d.forecast
    if f is None:
        return (None,) * 5
    by = math.inf if f.latest is None else f.latest
    latest = math.floor(by / MINUTE + 1e-9) if math.isfinite(by) else None
    sure = math.ceil(f.sure / MINUTE - 1e-9) if math.isfinite(f.sure) else None
    hottest = (None if T is None else celsius(T) for T in (f.peak, f.peak_bladder, f.peak_liner))
    return (latest, sure, *hottest)


def pieces(job: Job) -> Listed:
    """Every piece of every pattern with how often it is cut; sizes as cut, grain along."""
    heads = columns(
        "pattern", "piece", "fabric", "count", ("across the grain, mm", 0),
        ("along the grain, mm", 0), ("area, m2", 4),
    )  # fmt: skip
    counts = Counter(d.collar.pattern for d in job.designs.designs)
    collars = {d.collar.pattern: d.collar for d in job.designs.designs}
    rows: list[tuple[Cell, ...]] = []
    for name, collar in collars.items():
        for panel in collar.panels:
            xs, ys = zip(*panel.cut, strict=True)
            sizes = ((max(xs) - min(xs)) / MM, (max(ys) - min(ys)) / MM, panel.area)
            rows.append((name, panel.name, collar.fabric, counts[name], *sizes))
    return Listed("pieces", heads, tuple(rows))


def refused(job: Job) -> Listed:
    """Connections without a collar or a shift though one is needed, with the reasons."""
    heads = columns("connection", "step", "rule", "reason")
    designed: list[tuple[Cell, ...]] = [
        (r.connection_id, "design", None, " ".join(r.reasons)) for r in job.designs.refusals
    ]
    planned: list[tuple[Cell, ...]] = [
        (u.connection_id, "programme", u.rule, u.text) for u in job.programme.unplanned
    ]
    return Listed("refused", heads, (*designed, *planned))


def numbers(job: Job) -> Listed:
    """Every number of every design, with its formula and its source."""
    heads = columns(
        "connection", "part", "quantity", "symbol", ("value", 6), "unit", "formula", "source",
        "origin",
    )  # fmt: skip
    rows = tuple(
        (
            d.connection_id, part, t.quantity, t.symbol, float(SHOWN[t.shown_in][0](t.value)),
            t.shown_in, t.formula, t.source, t.origin.value,
        )
        for d in job.designs.designs
        for part, t in _traced(d)
    )  # fmt: skip
    return Listed("numbers", heads, rows)


def _traced(d: Design) -> Iterator[tuple[str, TraceRow]]:
    parts = (
        ("connection", d.trace), ("collar", d.collar.trace), ("resin", d.resin.trace),
        ("times", d.cure.trace), ("cure", d.forecast.trace if d.forecast else ()),
        ("pressure", d.pressure.trace), ("wall", d.wall_trace), *_beside(d),
        ("bypass", d.bypass.trace),
        ("blocked main", d.flow.trace if d.flow else ()),
    )  # fmt: skip
    for name, rows in parts:
        yield from ((name, row) for row in rows)


def _beside(d: Design) -> Iterator[tuple[str, tuple[TraceRow, ...]]]:
    yield "wall, branch", d.walls.parts[1].trace
    yield "wall, closed-off branch", d.walls.beside.trace
    if d.tight is not None:
        yield "tight length", d.tight.trace

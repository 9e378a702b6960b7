"""Columns and rows of each list of a job."""

import math
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from teewright.hydraulics.values import blocked_hours
from teewright.job.values import Design, Job
from teewright.trace import TraceRow
from teewright.units import BAR, LITRE, MINUTE, MM, SHOWN

Cell = None | bool | int | float | str | datetime
"""What a cell holds; None where it is not known."""
_LITRES_AN_HOUR = 3.6e6


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a list.

    Attributes:
        head: With the unit, e.g. `chainage, m`.
        decimals: Of its numbers.
    """

    head: str
    decimals: int = 2


@dataclass(frozen=True, slots=True)
class Listed:
    """One list.

    Attributes:
        name: Of the file and of the sheet.
        columns: In order.
        rows: One cell for each column.
    """

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


def _columns(*heads: str | tuple[str, int]) -> tuple[Column, ...]:
    return tuple(Column(h) if isinstance(h, str) else Column(*h) for h in heads)


def _scaled(value: float | None, unit: float) -> float | None:
    return None if value is None else value / unit


def _degrees(angle: float | None) -> float | None:
    return None if angle is None else math.degrees(angle)


def connections(job: Job) -> Listed:
    """Every connection with what it needs and what is planned for it."""
    columns = _columns(
        "connection", "run", "chainage, m", ("clock, h", 1), ("branch, mm", 0), ("angle, deg", 1),
        "kind", "open", "sightings", "defects", "need", "make ready", "rule", "reason",
        ("entry, l/h", 2), "entry seen", "water over, m", "rank", "pattern", "shift", "state",
    )  # fmt: skip
    designs = {d.connection_id: d for d in job.designs.designs}
    shifts = {v.connection_id: s.number for s in job.programme.shifts for v in s.visits}
    states = {r.connection_id: r.state.value for r in job.records}
    verdicts = {v.connection_id: v for v in job.assessment.verdicts}
    rows: list[tuple[Cell, ...]] = []
    for c in job.survey.connections:
        seen: tuple[Cell, ...] = (
            c.id, c.run_id, c.chainage, c.clock, _scaled(c.diameter, MM), _degrees(c.angle),
            c.kind.value, c.is_open, len(c.sightings),
            ", ".join(d.code + d.char1 + d.char2 for d in c.defects),
        )  # fmt: skip
        v = verdicts.get(c.id)
        judged: tuple[Cell, ...] = (None,) * 8
        if v is not None:
            first = v.reasons[0] if v.reasons else None
            flow = None if v.entry.flow is None else v.entry.flow * _LITRES_AN_HOUR
            judged = (
                v.need.value, ", ".join(v.make_ready), first.rule if first else None,
                " ".join(r.text for r in v.reasons), flow, v.entry.coded.value, v.entry.head,
                v.rank,
            )  # fmt: skip
        design = designs.get(c.id)
        planned = (design.collar.pattern if design else None, shifts.get(c.id), states.get(c.id))
        rows.append((*seen, *judged, *planned))
    return Listed("connections", columns, tuple(rows))


def sightings(job: Job) -> Listed:
    """Every time that a connection was seen."""
    columns = _columns(
        "connection", "inspection", "date", "direction", "station, m", "chainage, m",
        ("clock, h", 1), ("branch, mm", 0), "kind", "open", "file", "line",
    )  # fmt: skip
    rows = tuple(
        (
            c.id, s.inspection, s.date, s.direction.value, s.station, s.chainage, s.clock,
            _scaled(s.diameter, MM), s.kind.value, s.is_open, s.place.file, s.place.line,
        )
        for c in job.survey.connections
        for s in c.sightings
    )  # fmt: skip
    return Listed("sightings", columns, rows)


def runs(job: Job) -> Listed:
    """Every run."""
    columns = _columns(
        "run", "upstream", "downstream", "length, m", ("diameter, mm", 0), "material", "lined",
        "inspections", "connections",
    )  # fmt: skip
    rows = tuple(
        (
            r.id, r.upstream, r.downstream, r.length, _scaled(r.diameter, MM), r.material, r.lined,
            len(r.inspections), len(job.survey.of_run(r.id)),
        )
        for r in job.survey.runs
    )  # fmt: skip
    return Listed("runs", columns, rows)


def _shape(d: Design) -> tuple[Cell, ...]:
    c, j = d.collar, d.collar.junction
    return (
        d.connection_id, c.pattern, c.fabric, j.main_diameter / MM, j.branch_diameter / MM,
        _degrees(j.angle), c.fabric_area, c.seam_length / MM, *c.landing.stretch_inner,
    )  # fmt: skip


def _settings(d: Design) -> tuple[Cell, ...]:
    r, p, w = d.resin, d.pressure, d.governing_wall
    return (
        r.volume / LITRE, r.mass, r.mass_a, r.mass_b, r.packs, r.left_over,
        math.floor(d.cure.latest_inflation / MINUTE + 1e-9),
        math.ceil(d.cure.release_time / MINUTE - 1e-9),
        p.low / BAR, _scaled(p.set, BAR), p.high / BAR, p.high_governs,
        w.required / MM, w.provided / MM, w.utilisation, d.wall_governs, d.head,
        d.bypass.capacity / LITRE,
        ", ".join(str(h) for h in blocked_hours(d.bypass, d.flow)),
        ", ".join(d.packers),
    )  # fmt: skip


def collars(job: Job) -> Listed:
    """Every collar with what is made and set."""
    columns = _columns(
        "connection", "pattern", "fabric", ("main inside, mm", 0), ("branch, mm", 0),
        ("angle, deg", 1), ("fabric, m2", 3), ("seam, mm", 0), ("stretch least, -", 3),
        ("stretch greatest, -", 3), "resin, l", "resin, kg", "part A, kg", "part B, kg", "packs",
        "left over, kg", "at pressure by, min", "release from, min", "pressure least, bar",
        "pressure set, bar", "pressure greatest, bar", "greatest governs", "wall needed, mm",
        "wall provided, mm", "wall used, -", "wall governs", "water over crown, m", "bypass, l/s",
        "hours allowed", "packers",
    )  # fmt: skip
    rows = tuple((*_shape(d), *_settings(d)) for d in job.designs.designs)
    return Listed("collars", columns, rows)


def pieces(job: Job) -> Listed:
    """Every piece of every pattern with how often it is cut; sizes as cut, grain along."""
    columns = _columns(
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
    return Listed("pieces", columns, tuple(rows))


def refused(job: Job) -> Listed:
    """Connections without a collar or a shift though one is needed, with the reasons."""
    columns = _columns("connection", "step", "rule", "reason")
    designed: list[tuple[Cell, ...]] = [
        (r.connection_id, "design", None, " ".join(r.reasons)) for r in job.designs.refusals
    ]
    planned: list[tuple[Cell, ...]] = [
        (u.connection_id, "programme", u.rule, u.text) for u in job.programme.unplanned
    ]
    return Listed("refused", columns, (*designed, *planned))


def shifts(job: Job) -> Listed:
    """Every visit of every shift; times are local."""
    columns = _columns(
        "shift", "crew", "connection", "run", "manhole", "packer", "mix", "wet-out by", "lower",
        "in place", "at pressure", "at pressure by", "release", "release from", "out", "tested",
    )  # fmt: skip
    rows = tuple(
        (
            s.number, s.crew, v.connection_id, v.run_id, v.manhole, v.packer, v.mix, v.wet_out,
            v.lower, v.in_place, v.at_pressure, v.latest_pressure, v.release, v.earliest_release,
            v.out, v.tested,
        )
        for s in job.programme.shifts
        for v in s.visits
    )  # fmt: skip
    return Listed("shifts", columns, rows)


def price(job: Job) -> Listed:
    """Every line of the quotation and its totals."""
    quote = job.quote
    columns = _columns(
        "item", "quantity", "unit", f"rate, {quote.currency}", f"sum, {quote.currency}", "note"
    )
    lines: list[tuple[Cell, ...]] = [
        (q.item, q.quantity, q.unit, q.rate, q.sum, q.note) for q in quote.lines
    ]
    totals: list[tuple[Cell, ...]] = [
        ("net", None, None, None, quote.net, None),
        ("overhead", None, None, None, quote.overhead, None),
        ("total without tax", None, None, None, quote.total, None),
        ("total if every open one is sealed", None, None, None, quote.if_open_sealed, None),
    ]
    return Listed("price", columns, (*lines, *totals))


def findings(job: Job) -> Listed:
    """Every single finding."""
    columns = _columns("what was done", "rule", "text", "file", "line", "field", "value", "subject")
    rows = tuple(
        (
            f.kind.value,
            f.rule,
            f.text,
            f.place.file,
            f.place.line,
            f.place.field,
            f.value,
            f.subject,
        )
        for f in job.findings
    )
    return Listed("findings", columns, rows)


def records(job: Job) -> Listed:
    """Hand-over state of every connection."""
    columns = _columns(
        "connection", "state", "installation", "test", "passed", "measured, SI", "limit, SI",
        "departures", "still open",
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = []
    for r in job.records:
        t = r.test
        tested: tuple[Cell, ...] = (t.method, t.passed, t.measured, t.limit) if t else (None,) * 4
        ends = ("; ".join(r.departures), "; ".join(r.open_points))
        rows.append((r.connection_id, r.state.value, r.installation, *tested, *ends))
    return Listed("records", columns, tuple(rows))


def events(job: Job) -> Listed:
    """The log, as it was entered."""
    columns = _columns(
        "installation", "event", "at", "recorded", "person", "data", "device", "sequence", "id",
        "hash", "hash before",
    )  # fmt: skip
    rows = tuple(
        (
            e.installation, e.kind.value, e.at.isoformat(), e.recorded.isoformat(), e.person,
            "; ".join(f"{name} = {value}" for name, value in e.data), e.device, e.sequence, e.id,
            e.hash, e.previous,
        )
        for e in job.events
    )  # fmt: skip
    return Listed("events", columns, rows)


def _beside(d: Design) -> Iterator[tuple[str, tuple[TraceRow, ...]]]:
    if d.walls is not None:
        yield "wall, branch", d.walls.parts[1].trace
        yield "wall, closed-off branch", d.walls.beside.trace
    if d.tight is not None:
        yield "tight length", d.tight.trace


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


def numbers(job: Job) -> Listed:
    """Every number of every design, with its formula and its source."""
    columns = _columns(
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
    return Listed("numbers", columns, rows)


LISTS: tuple[Callable[[Job], Listed], ...] = (
    connections, sightings, runs, collars, pieces, refused, shifts, price, records, events,
    findings, numbers,
)  # fmt: skip
"""Makers of every list, in the order of the work."""

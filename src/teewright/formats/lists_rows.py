"""Rows of the survey, and all lists in the order of the work."""

from collections.abc import Callable

from teewright.formats.list_values import Cell, Listed, columns, degrees, scaled
from teewright.formats.lists_collars import collars, numbers, pieces, refused
from teewright.formats.lists_work import events, findings, price, records, shifts
from teewright.job.values import Job
from teewright.units import MM

_LITRES_AN_HOUR = 3.6e6


def connections(job: Job) -> Listed:
    """Every connection with what it needs and what is planned for it."""
    heads = columns(
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
            c.id, c.run_id, c.chainage, c.clock, scaled(c.diameter, MM), degrees(c.angle),
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
    return Listed("connections", heads, tuple(rows))


def sightings(job: Job) -> Listed:
    """Every time that a connection was seen."""
    heads = columns(
        "connection", "inspection", "date", "direction", "station, m", "chainage, m",
        ("clock, h", 1), ("branch, mm", 0), "kind", "open", "file", "line",
    )  # fmt: skip
    rows = tuple(
        (
            c.id, s.inspection, s.date, s.direction.value, s.station, s.chainage, s.clock,
            scaled(s.diameter, MM), s.kind.value, s.is_open, s.place.file, s.place.line,
        )
        for c in job.survey.connections
        for s in c.sightings
    )  # fmt: skip
    return Listed("sightings", heads, rows)


def runs(job: Job) -> Listed:
    """Every run."""
    heads = columns(
        "run", "upstream", "downstream", "length, m", ("diameter, mm", 0), "material", "lined",
        "inspections", "connections",
    )  # fmt: skip
    rows = tuple(
        (
            r.id, r.upstream, r.downstream, r.length, scaled(r.diameter, MM), r.material, r.lined,
            len(r.inspections), len(job.survey.of_run(r.id)),
        )
        for r in job.survey.runs
    )  # fmt: skip
    return Listed("runs", heads, rows)


LISTS: tuple[Callable[[Job], Listed], ...] = (
    connections, sightings, runs, collars, pieces, refused, shifts, price, records, events,
    findings, numbers,
)  # fmt: skip
"""Makers of every list, in the order of the work."""

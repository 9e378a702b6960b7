"""The survey as JSON for programs: what `teewright read --json` prints.

Units stand in the names; the schema is part of the public surface and only grows.
"""

import math
from collections.abc import Iterable
from typing import Any

from teewright.findings import Finding
from teewright.network.values import (
    Connection,
    Defect,
    Inspection,
    Observation,
    Run,
    Sighting,
    Survey,
)
from teewright.units import MM

Json = dict[str, Any]


def _mm(value: float | None) -> float | None:
    return None if value is None else round(value / MM, 3)


def _m(value: float | None) -> float | None:
    return None if value is None else round(value, 4)


def _named(pairs: Iterable[tuple[str, str]]) -> Json:
    """Values by name; a name that comes again gets a number, so that none is lost."""
    named: Json = {}
    for name, value in pairs:
        key, again = name, 1
        while key in named:
            again += 1
            key = f"{name} ({again})"
        named[key] = value
    return named


def _observation(inspection: Inspection, o: Observation) -> Json:
    return {
        "inspection": inspection.key,
        "file": o.place.file,
        "line": o.place.line,
        "station_m": _m(o.station),
        "code": o.code,
        "char1": o.char1,
        "char2": o.char2,
        "q1": o.q1,
        "q2": o.q2,
        "clock_from_as_seen": o.clock_from,
        "clock_to_as_seen": o.clock_to,
        "continuous": o.continuous,
        "at_joint": o.at_joint,
        "remark": o.remark,
        "photo": o.photo,
        "video": o.video,
        "extra": _named(o.extra),
    }


def _inspection(i: Inspection) -> Json:
    return {
        "key": i.key,
        "pipe": i.pipe,
        "start_node": i.start_node,
        "nodes": list(i.nodes),
        "upstream": i.upstream,
        "downstream": i.downstream,
        "direction": i.direction.value,
        "date": i.date,
        "time": i.time,
        "inspector": i.inspector,
        "length_m": _m(i.length),
        "height_mm": _mm(i.height),
        "width_mm": _mm(i.width),
        "material": i.material,
        "lining_type": i.lining_type,
        "lining_material": i.lining_material,
        "abandoned": i.abandoned,
        "last_station_m": _m(i.last_station),
        "observations": len(i.observations),
        "header": _named(i.header),
        "file": i.place.file,
        "line": i.place.line,
    }


def _defect(d: Defect) -> Json:
    return {
        "code": d.code,
        "char1": d.char1,
        "char2": d.char2,
        "q1": d.q1,
        "chainage_m": _m(d.chainage),
        "clock": d.clock,
        "remark": d.remark,
        "file": d.place.file,
        "line": d.place.line,
    }


def _sighting(s: Sighting) -> Json:
    return {
        "inspection": s.inspection,
        "date": s.date,
        "direction": s.direction.value,
        "station_m": _m(s.station),
        "chainage_m": _m(s.chainage),
        "clock": s.clock,
        "dn_mm": _mm(s.diameter),
        "kind": s.kind.value,
        "open": s.is_open,
        "defects": [_defect(d) for d in s.defects],
        "remark": s.remark,
        "file": s.place.file,
        "line": s.place.line,
    }


def _connection(c: Connection, run: Run) -> Json:
    return {
        "id": c.id,
        "run": c.run_id,
        "upstream": run.upstream,
        "downstream": run.downstream,
        "chainage_m": _m(c.chainage),
        "clock": c.clock,
        "dn_mm": _mm(c.diameter),
        "angle_deg": None if c.angle is None else round(math.degrees(c.angle), 3),
        "kind": c.kind.value,
        "open": c.is_open,
        "defects": [_defect(d) for d in c.defects],
        "sightings": [_sighting(s) for s in c.sightings],
    }


def _run(r: Run) -> Json:
    return {
        "id": r.id,
        "upstream": r.upstream,
        "downstream": r.downstream,
        "length_m": _m(r.length),
        "dn_mm": _mm(r.diameter),
        "material": r.material,
        "lined": r.lined,
        "inspections": list(r.inspections),
        "defects": [_defect(d) for d in r.defects],
    }


def finding_json(f: Finding) -> Json:
    """One finding for programs."""
    return {
        "kind": f.kind.value,
        "rule": f.rule,
        "text": f.text,
        "file": f.place.file,
        "line": f.place.line,
        "field": f.place.field,
        "value": f.value,
        "subject": f.subject,
    }


def survey_json(survey: Survey) -> Json:
    """A survey for programs: counts, then everything that was read, reconciled and found."""
    observations = [_observation(i, o) for i in survey.inspections for o in i.observations]
    runs = {r.id: r for r in survey.runs}
    return {
        "schema": "teewright.survey/1",
        "counts": {
            "inspections": len(survey.inspections),
            "observations": len(observations),
            "runs": len(survey.runs),
            "connections": len(survey.connections),
            "findings": len(survey.findings),
        },
        "inspections": [_inspection(i) for i in survey.inspections],
        "observations": observations,
        "runs": [_run(r) for r in survey.runs],
        "connections": [_connection(c, runs[c.run_id]) for c in survey.connections],
        "findings": [finding_json(f) for f in survey.findings],
    }

"""Run sheets: where the connections are."""

from collections.abc import Sequence
from dataclasses import replace

from teewright.network.values import Connection, ConnectionKind, Run
from teewright.report import letters, words
from teewright.report.figures import marks, strip
from teewright.report.figures.run import (
    COLUMN,
    COLUMNS,
    EndLevels,
    Opening,
    RunDrawing,
    columns,
    girth,
)
from teewright.report.index import SEALED, Decision, JobIndex, short
from teewright.report.sheets.sheet import Json, Sheet
from teewright.units import clock_text

CODES = {
    "BAA": "deformed",
    "BAB": "crack",
    "BAC": "broken",
    "BAF": "surface damage",
    "BAG": "intrudes",
    "BAH": "defective",
    "BAI": "seal intrudes",
    "BAJ": "displaced joint",
    "BAK": "lining defect",
    "BAL": "repair defective",
    "BAO": "soil visible",
    "BAP": "void visible",
    "BBA": "roots",
    "BBB": "deposits, attached",
    "BBC": "deposits, settled",
    "BBD": "soil enters",
    "BBE": "obstacle",
    "BBF": "infiltration",
    "BBG": "exfiltration",
    "BDE": "flow from branch",
    "BDG": "no vision",
}
"""Codes of EN 13508-2 in a word or two."""
MATERIALS = {
    "AA": "asbestos cement",
    "AE": "clay",
    "AG": "concrete",
    "AH": "reinforced concrete",
    "AN": "grey iron",
    "AO": "ductile iron",
    "AV": "polyethylene",
    "AW": "polypropylene",
    "AX": "PVC-U",
}
"""Materials of EN 13508-2 in a word."""
_KINDS = {
    ConnectionKind.SADDLE_DRILLED: "saddle, drilled",
    ConnectionKind.SADDLE_CHISELLED: "saddle, by hand",
    ConnectionKind.PLAIN_DRILLED: "plain, drilled",
    ConnectionKind.PLAIN_CHISELLED: "plain, by hand",
}
_SAID = {
    Decision.READY: "Ready, seal",
    Decision.REFUSED: "No collar",
    Decision.UNPLANNED: "No shift",
}
_ROOM = COLUMN - 3.2
_PAGE = 126.0
_LINE = 4.4


def _ends(index: JobIndex, run: Run) -> tuple[EndLevels, EndLevels] | None:
    out = []
    for node in (run.upstream, run.downstream):
        levels = index.levels.get(node)
        if levels is None or levels.invert is None:
            return None
        out.append(EndLevels(levels.invert, levels.ground, levels.groundwater))
    return out[0], out[1]


def _facts(index: JobIndex, run: Run, ends: tuple[EndLevels, EndLevels] | None) -> str:
    declared = index.conditions(run)
    parts = [f"{words.dn(run.diameter)} {MATERIALS.get(run.material, run.material)}".strip()]
    if declared.street:
        parts.insert(0, declared.street)
    if declared.liner_thickness:
        parts.append(f"{declared.liner_thickness * 1e3:g} mm liner")
    parts.append({True: "lined", False: "not lined", None: "lining not stated"}[index.lined(run)])
    parts.append(f"{run.length:.2f} m" if run.length else "length not known")
    if ends and run.length:
        parts.append(
            f"fall {100 * (ends[0].invert - ends[1].invert) / run.length:.2f} %".replace("-", "−")
        )
    return ", ".join(parts)


def _bore(index: JobIndex, run: Run, members: Sequence[Connection]) -> float | None:
    """Inner diameter of the lined main as designed for, else of the host less its liner [m]."""
    for connection in members:
        design = index.designs.get(connection.id)
        if design:
            return design.collar.junction.main_diameter
    thickness = index.conditions(run).liner_thickness or 0.0
    return run.diameter - 2 * thickness if run.diameter else None


def drawing(index: JobIndex, run: Run, shown: Sequence[Connection]) -> RunDrawing:
    """A run as its sheet draws it, with columns for the shown connections."""
    members = index.job.survey.of_run(run.id)
    wanted = {c.id for c in shown}
    length = index.length(run)
    ends = _ends(index, run)
    start, end = _window([c.chainage for c in members], [c.chainage for c in shown], length)
    openings = []
    for connection in sorted(members, key=lambda c: c.chainage):
        if not start <= connection.chainage <= end and connection.id not in wanted:
            continue
        design = index.designs.get(connection.id)
        openings.append(
            Opening(
                short(connection.id),
                min(max(connection.chainage, 0.0), length),
                connection.clock,
                connection.diameter,
                design.collar.junction.angle if design else connection.angle,
                index.decision(connection.id),
                connection.id in wanted,
            )
        )
    source = next(
        (
            index.levels[n].groundwater_source
            for n in (run.upstream, run.downstream)
            if n in index.levels
        ),
        "",
    )
    return RunDrawing(
        run.upstream,
        run.downstream,
        length,
        bool(run.length),
        _bore(index, run, members),
        ends,
        source,
        _facts(index, run, ends),
        tuple(openings),
        start=start,
        end=end,
    )


def _window(
    everything: Sequence[float], shown: Sequence[float], length: float
) -> tuple[float, float]:
    """Stretch of a run that its sheet draws: half-way to the neighbours that it leaves out."""
    if not shown:
        return 0.0, length
    first, last = min(shown), max(shown)
    before = [c for c in everything if c < first]
    after = [c for c in everything if c > last]
    start = (max(before) + first) / 2 if before else 0.0
    end = (min(after) + last) / 2 if after else length
    return (start, end) if end - start > 0.5 else (0.0, length)


def seen(connection: Connection) -> str:
    """Defects of a connection in a few words."""
    found = [CODES.get(d.code, d.code) for d in connection.defects]
    return ", ".join(dict.fromkeys(found)) or "nothing coded"


def _cells(index: JobIndex, connection: Connection) -> dict[str, Json]:
    cid = connection.id
    flow, design = index.entry(cid), index.designs.get(cid)
    planned = index.visits.get(cid)
    decision = index.decision(cid)
    verdict = index.verdicts.get(cid)
    collar = design.collar.pattern if design else "–"
    rule = verdict.reasons[0].rule if verdict and verdict.reasons else ""
    text = {
        "label": short(cid),
        "chainage": f"{connection.chainage:.2f}",
        "clock": f"{clock_text(connection.clock)}, {words.dn(connection.diameter)}",
        "kind": _KINDS.get(connection.kind, connection.kind.value),
        "water": words.fixed(index.head(cid)),
        "seen": seen(connection),
        "entry": words.fixed(flow * 3.6e6, 1) if flow is not None else "not known",
        "why": words.rule_words(rule),
        "collar": f"{collar}, shift {planned[0].number}" if planned else collar,
        "decision": _SAID.get(decision, words.capital(decision.value)),
    }
    out: dict[str, Json] = {k: letters.shorten(v, _ROOM, 9.0) for k, v in text.items()}
    out["seen"] = list(letters.wrap(text["seen"], _ROOM, 9.0)[:2])
    out["why"] = list(letters.wrap(text["why"], _ROOM, 9.0)[:2])
    out["decision"] = letters.shorten(text["decision"], _ROOM - 4.5, 9.0, 700)
    out["mark"] = marks.mark(decision)
    return out


def _answer(index: JobIndex, run: Run, members: Sequence[Connection]) -> str:
    sealed = sum(1 for c in members if index.decision(c.id) in SEALED)
    if not sealed:
        return f"Run {run.id}: no connection is sealed"
    if len(members) == 1:
        text = f"Run {run.id}: its one connection is sealed"
    else:
        verb = "is" if sealed == 1 else "are"
        of = f"of {words.count(len(members), 'connection')}"
        text = f"Run {run.id}: {words.count(sealed, of, of)} {verb} sealed"
    heads = [index.head(c.id) for c in members]
    if sealed and all(h is not None and h > 0.0 for h in heads):
        text += ", all of them under water" if len(members) > 1 else ", under water"
    return text


def sheets(index: JobIndex) -> list[Sheet]:
    """One sheet for each run, more where it has more connections than columns."""
    out = []
    bare = [r for r in index.job.survey.runs if not index.job.survey.of_run(r.id)]
    for run in index.job.survey.runs:
        if run in bare:
            continue
        members = sorted(index.job.survey.of_run(run.id), key=lambda c: c.chainage)
        count = -(-len(members) // COLUMNS)
        size = -(-len(members) // count)
        for part in range(count):
            shown = members[part * size : (part + 1) * size]
            out.append(_sheet(index, run, members, shown, (part + 1, count)))
    return [*out, _bare(index, bare)] if bare else out


def _bare(index: JobIndex, runs: Sequence[Run]) -> Sheet:
    """The runs in which no connection was found, on one sheet."""
    rows: list[Json] = [
        {
            "name": words.breakable(run.id),
            "facts": words.breakable(_facts(index, run, _ends(index, run))),
            "seen": str(len(run.inspections)),
            "other": ", ".join(dict.fromkeys(CODES.get(d.code, d.code) for d in run.defects)),
        }
        for run in runs
    ]
    verb = "run has" if len(runs) == 1 else "runs have"
    answer = words.capital(words.count(len(runs), verb, verb)) + " no connection"
    subject = words.figures(len(runs), "run")
    return Sheet("bare", "Runs without a connection", answer, subject, "Run sheets", {"rows": rows})


def _section_room(drawn: RunDrawing, cells: Sequence[dict[str, Json]]) -> float:
    """What is left for the heights of the section over the details and the table [mm]."""
    extra = sum(
        max((len(str(c[key]).split("', '")) for c in cells), default=1) - 1
        for key in ("seen", "why")
    )
    return _PAGE - 2.0 * girth(drawn) - _LINE * (10 + extra)


def _sheet(
    index: JobIndex,
    run: Run,
    members: Sequence[Connection],
    shown: Sequence[Connection],
    part: tuple[int, int],
) -> Sheet:
    drawn = drawing(index, run, shown)
    cells: list[Json] = [None] * COLUMNS
    made = [_cells(index, connection) for connection in shown]
    drawn = replace(drawn, room=_section_room(drawn, made))
    for cell, column in zip(made, columns(drawn), strict=True):
        cells[column] = cell
    title = "Run sheet" if part[1] == 1 else f"Run sheet, part {part[0]} of {part[1]}"
    street = index.conditions(run).street
    return Sheet(
        "run",
        title,
        letters.shorten(_answer(index, run, members), 262.0, 19.0, 700),
        f"Run {run.id}" + (f", {street}" if street else ""),
        "Run sheets",
        {
            "figure": strip.figure(drawn),
            "cells": cells,
            "water_known": any(index.head(c.id) is not None for c in shown),
        },
    )

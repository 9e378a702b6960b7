"""Shift sheets: when each collar must be at pressure, with boxes to write what was done."""

from collections.abc import Sequence

from teewright.programme.values import Shift, Visit
from teewright.report import letters, words
from teewright.report.figures import bars
from teewright.report.index import JobIndex, short
from teewright.report.sheets import cautions, cure, flow, tolerances
from teewright.report.sheets.collar import temperature_rows
from teewright.report.sheets.sheet import Json, Sheet
from teewright.site.values import Event, EventKind
from teewright.units import clock_text

_ROOM = 198.0
_HEAD = 116.0
"""For label, packer and collar over the times of a visit [mm]."""
_BLOCK = 43.4
_BOXES = (12.0, 10.0)
_CURE = 5.8
"""Line of the computed cure of a visit [mm]."""
_SPARE = (
    "Black: planned. Blue: deadlines, the stricter of sheet and computed, from the mixing as it "
    "was. Carry a spare."
)
_STEPS = (
    EventKind.MIXED,
    EventKind.WET_OUT,
    EventKind.LOWERED,
    EventKind.IN_PLACE,
    EventKind.AT_PRESSURE,
    EventKind.RELEASED,
    EventKind.OUT,
    EventKind.INSPECTED,
)


def _answer(shift: Shift) -> str:
    collars = words.count(len(shift.visits), "collar")
    packers = words.count(len(bars.packers(shift)), "packer")
    when = f"{words.day(shift.day)}, {words.at(shift.start)}–{words.at(shift.end)}"
    return f"{when}: {collars}, {packers}" if shift.visits else f"{when}: no collar"


def logged(events: Sequence[Event], connection_id: str) -> dict[EventKind, Event]:
    """Last event of each kind in the latest attempt at a connection."""
    own = [e for e in events if e.installation.rsplit("#", 1)[0] == connection_id]
    latest = own[-1].installation if own else ""
    return {e.kind: e for e in own if e.installation == latest}


def _steps(index: JobIndex, visit: Visit) -> list[Json]:
    design = index.designs.get(visit.connection_id)
    pressure = design.pressure.set if design else None
    goal = f"{pressure / 1e5:.2f} bar by" if pressure is not None else "Pressure by"
    plan = (
        ("Mix", words.at(visit.mix), False),
        ("Wet out", words.at(visit.wet_out), False),
        ("Lower", words.at(visit.lower), False),
        ("In place", words.at(visit.in_place), False),
        (goal, words.at(visit.latest_pressure), True),
        ("Release from", words.at(visit.earliest_release, up=True), True),
        ("Out", words.at(visit.out), False),
        ("Tested", words.at(visit.tested), False),
    )
    done = logged(index.job.events, visit.connection_id)
    return [
        {
            "name": name,
            "time": time,
            "hard": hard,
            "done": words.at(done[kind].at) if kind in done else "",
        }
        for (name, time, hard), kind in zip(plan, _STEPS, strict=True)
    ]


def _visit(index: JobIndex, visit: Visit) -> dict[str, Json]:
    connection = index.connections.get(visit.connection_id)
    design = index.designs.get(visit.connection_id)
    run = index.runs.get(visit.run_id)
    place = visit.run_id
    if connection and run:
        upstream = visit.manhole == run.upstream
        from_here = connection.chainage if upstream else index.length(run) - connection.chainage
        place = f"{from_here:.2f} m from {visit.manhole}, clock {clock_text(connection.clock)}"
    made = ""
    if design:
        packs = words.figures(design.resin.packs, "pack")
        placing = tolerances.crew(design.collar.tolerance)
        made = letters.shorten(f"{design.collar.pattern}, {packs}; {placing}", 80.0, 9.0)
    label = letters.shorten(short(visit.connection_id), 24.0, 20.0, 700)
    left = _HEAD - letters.width(label, 20.0, 700) - letters.width(made, 9.0)
    return {
        "label": label,
        "run": letters.shorten(visit.run_id, 36.0, 10.0, 600),
        "packer": letters.shorten(visit.packer, left, 9.0, 600),
        "place": letters.shorten(place, 62.0, 11.0, 700),
        "made": made,
        "steps": _steps(index, visit),
        "water": flow.water(index.holds.get(visit.connection_id)),
        "cure": cure.crew_line(index.cures.get(visit.connection_id)),
    }


def _pages(shift: Shift, box: float, more: float) -> list[tuple[Visit, ...]]:
    """Visits of each page, with boxes of that height; the first page also holds the bars."""
    block = _BLOCK - _BOXES[0] + box + more
    first = max(1, int((_ROOM - bars.height(shift)) // block))
    whole = int(_ROOM // block)
    return [
        shift.visits[:first],
        *(shift.visits[k : k + whole] for k in range(first, len(shift.visits), whole)),
    ]


def _chunks(index: JobIndex, shift: Shift) -> tuple[list[tuple[Visit, ...]], float]:
    """Visits of each page and the height of their boxes: large ones unless they cost a page."""
    more = _CURE if any(v.connection_id in index.cures for v in shift.visits) else 0.0
    large, small = (_pages(shift, box, more) for box in _BOXES)
    return (large, _BOXES[0]) if len(large) <= len(small) else (small, _BOXES[1])


def _sheet(
    index: JobIndex, shift: Shift, visits: Sequence[Visit], part: tuple[int, int], box: float
) -> Sheet:
    total = len(index.job.programme.shifts)
    title = f"Shift sheet {shift.number} of {total}"
    if part[1] > 1:
        title += f", page {part[0]} of {part[1]}"
    designs = [index.designs[v.connection_id] for v in visits if v.connection_id in index.designs]
    manholes = [f"{node} {words.at(start)}–{words.at(end)}" for node, start, end in shift.manholes]
    body: dict[str, Json] = {
        "bars": bars.time_bars(shift) if part[0] == 1 else "",
        "manholes": words.breakable(words.listed(manholes, 5)),
        "box": box,
        "spare": _SPARE,
        "visits": [_visit(index, v) for v in visits],
        **(temperature_rows(designs[0]) if designs else {"by_table": [], "from_table": []}),
        "cautions": [{"cause": c, "act": a} for c, a in cautions.of_shift()],
    }
    subject = f"Shift {shift.number}, {shift.crew}"
    return Sheet("shift", title, _answer(shift), subject, "Shift sheets", body)


def sheets(index: JobIndex) -> list[Sheet]:
    """One sheet for each shift, more where it has many collars."""
    out = []
    for shift in index.job.programme.shifts:
        chunks, box = _chunks(index, shift)
        out += [_sheet(index, shift, c, (k + 1, len(chunks)), box) for k, c in enumerate(chunks)]
    return out

"""Collar sheets: how each collar is made and set, one page each."""

import math
from collections.abc import Sequence

from teewright.collar.landing import FOLD
from teewright.hydraulics.values import blocked_hours, pump_wanted
from teewright.job.values import Design
from teewright.report import letters, words
from teewright.report.figures import windows
from teewright.report.index import JobIndex, short
from teewright.report.sheets import cautions, tolerances
from teewright.report.sheets.appendix import Appendix, wall_section
from teewright.report.sheets.collar_drawing import drawing, room
from teewright.report.sheets.sheet import Json, Sheet
from teewright.units import celsius, clock_text


def answer(design: Design) -> str:
    """The heading: what to set, by when, and from when to let go."""
    label = design.connection_id
    if design.pressure.set is None:
        return f"{label}: no pressure forms it and breaks nothing"
    if design.wall_too_thin:
        return f"{label}: the wall is too thin for the groundwater"
    by = words.span(design.cure.latest_inflation, up=False)
    release = words.span(design.cure.release_time, up=True)
    return f"{label}: {design.pressure.set / 1e5:.2f} bar by {by}, release from {release}"


def _stretch(index: JobIndex, design: Design, trace: Appendix) -> windows.Window:
    """What the fabric lands with, against what it bears in its weaker direction."""
    fabric = next((f for f in index.job.kit.fabrics if f.name == design.collar.fabric), None)
    most = min(fabric.stretch_along, fabric.stretch_across) if fabric else None
    low, high = design.collar.landing.stretch_inner
    top = max(high, most or high) + 0.03
    return windows.Window(
        "Stretch, formed",
        "formed / cut length",
        (min(low, 1.0) - 0.04, top),
        (None, most),
        (low, high),
        None,
        f"{words.fixed(low, 3)} to {words.fixed(high, 3)}",
        trace.find(design, "Collar", high),
    )


def _fold(design: Design, trace: Appendix) -> windows.Window:
    """The fold that may stand, against the height that is allowed."""
    landing = design.collar.landing
    limit = next((limit for limit in landing.limits if limit.name == FOLD), None)
    fold = landing.wrinkle_height * 1e3
    most = limit.high * 1e3 if limit and limit.high is not None else None
    kept = "" if landing.kept else "; a limit is broken"
    return windows.Window(
        "Fold",
        "mm, spare length in one",
        (0.0, 1.5 * max(fold, most or fold, 1e-3)),
        (None, most),
        (0.0, fold),
        None,
        f"{words.fixed(fold, 1)} mm at the most{kept}",
        trace.find(design, "Collar", landing.wrinkle_height),
        1,
    )


def _wall(design: Design, trace: Appendix) -> windows.Window:
    wall = design.governing_wall
    enough = wall.utilisation <= 1.0
    used = f"used {100 * wall.utilisation:.0f} %" if enough else f"{wall.required * 1e3:.1f} needed"
    return windows.Window(
        "Wall against water",
        f"mm, {design.wall_governs}",
        (0.0, 1.5e3 * max(wall.required, wall.provided)),
        (wall.required * 1e3, None),
        (wall.provided * 1e3, wall.provided * 1e3),
        None,
        f"{wall.provided * 1e3:.1f} mm, {used}",
        trace.find(design, wall_section(design), wall.required),
        1,
    )


def _pressure(design: Design, trace: Appendix) -> windows.Window:
    p = design.pressure
    chosen = p.set / 1e5 if p.set is not None else None
    high = 1.35 * max(p.high, p.low) / 1e5
    return windows.Window(
        "Forming pressure",
        f"bar; most: {p.high_governs}",
        (0.0, high),
        (p.low / 1e5, p.high / 1e5) if p.low <= p.high else (p.low / 1e5, None),
        None,
        chosen,
        f"set {chosen:.2f} bar"
        if chosen is not None
        else f"none: {p.low / 1e5:.2f} > {p.high / 1e5:.2f}",
        trace.find(design, "Pressure", p.set) or trace.find(design, "Pressure", p.low),
    )


def _times(design: Design, trace: Appendix) -> list[windows.Window]:
    cure = design.cure
    by, gone = math.floor(cure.latest_inflation / 60.0 + 1e-9), cure.working_time / 60.0
    free = math.ceil(cure.release_time / 60.0 - 1e-9)
    return [
        windows.Window(
            "At pressure after mixing",
            f"min, resin at {celsius(cure.mix_temperature):.0f} °C",
            (0.0, 1.5 * gone),
            (None, by),
            None,
            by,
            f"by {words.span(cure.latest_inflation, up=False)}",
            trace.find(design, "Times", cure.latest_inflation),
            0,
        ),
        windows.Window(
            "Release after mixing",
            f"min, main at {celsius(cure.cure_temperature):.0f} °C",
            (0.0, 1.5 * free),
            (free, None),
            None,
            free,
            f"not before {words.span(cure.release_time, up=True)}",
            trace.find(design, "Times", cure.release_time),
            0,
        ),
    ]


def _cure(design: Design, trace: Appendix) -> list[windows.Window]:
    """When the wall is hard by computation, beside the release of the data sheet."""
    found = design.forecast
    if found is None:
        return []
    low, _, high = (t / 60.0 for t in found.release)
    told = math.ceil(found.told / 60.0 - 1e-9)
    sure = math.isfinite(high)
    return [
        windows.Window(
            "Hard, computed",
            f"min, 5 to 95 %; peak {celsius(found.peak):.0f} °C",
            (0.0, 1.5 * max(told, high if sure else 0.0)),
            (None, None),
            (low, high) if sure else None,
            told,
            f"{math.floor(100.0 * found.chance + 1e-9)} % by {told} min",
            trace.find(design, "Cure", found.chance),
            0,
        )
    ]


def hour_ranges(hours: Sequence[int]) -> str:
    """Hours of the day as ranges, `22–06`; `any hour` and `never` at the ends."""
    allowed = set(hours)
    if len(allowed) >= 24:
        return "any hour"
    starts = [h for h in sorted(allowed) if (h - 1) % 24 not in allowed]
    out = []
    for start in starts:
        length = 1
        while (start + length) % 24 in allowed:
            length += 1
        out.append(f"{start:02d}–{(start + length) % 24:02d}")
    return ", ".join(out) or "never"


def _hours(design: Design, trace: Appendix) -> windows.Hours:
    bypass, flow = design.bypass, design.flow
    allowed = blocked_hours(bypass, flow)
    answer = hour_ranges(allowed)
    if flow is not None and not allowed:
        pump = pump_wanted(bypass, flow)
        answer = answer if pump is None else f"needs {pump * 1e3:.2f} l/s pumped"
    return windows.Hours(
        "Main may be blocked",
        f"bypass {bypass.capacity * 1e3:.2f} l/s",
        allowed,
        answer,
        trace.find(design, "Bypass", bypass.capacity),
    )


def _tables(index: JobIndex, design: Design, wide: float) -> dict[str, Json]:
    resin = design.resin
    connection = index.connections[design.connection_id]
    j = design.junction
    pack = index.job.kit.resin.pack_mass
    junction = (
        ("Chainage", f"{connection.chainage:.2f} m"),
        ("Clock", clock_text(connection.clock)),
        ("Main inside", f"{j.main_diameter * 1e3:.0f} mm"),
        ("Branch, leans", f"{j.branch_diameter * 1e3:.0f} mm, {words.degrees(j.angle)}"),
        ("Head at crown", words.fixed(design.head, 2, "m")),
    )
    batch = (
        ("Part A", f"{resin.mass_a:.2f} kg"),
        ("Part B", f"{resin.mass_b:.2f} kg"),
        ("In fabric, kg / l", f"{resin.mass:.2f} / {resin.volume * 1e3:.2f}"),
        (f"Packs of {pack:g} kg", str(resin.packs)),
        ("Left over", f"{resin.left_over:.2f} kg"),
    )
    return {
        "junction": [list(row) for row in junction],
        "batch": [list(row) for row in batch],
        "more": [list(row) for row in _more(index, design, wide)],
    }


def _more(index: JobIndex, design: Design, wide: float) -> list[tuple[str, str]]:
    planned = index.visits.get(design.connection_id)
    when = f"shift {planned[0].number}, {words.day(planned[0].day)}" if planned else "no shift"
    packers = letters.shorten(words.listed(list(design.packers), 3), wide, 9.0)
    return [
        ("Pattern, fabric", f"{design.collar.pattern}, {design.collar.fabric_area:.3f} m²"),
        ("Resin", letters.shorten(index.job.kit.resin.name, wide, 9.0)),
        ("Packer", packers),
        ("Planned", when),
    ]


def temperature_rows(design: Design) -> dict[str, Json]:
    """Deadline and hold about the day's temperatures, for the crew."""
    cure = design.cure

    def cells(table: Sequence[tuple[float, float]], today: float, *, up: bool) -> list[Json]:
        nearest = min(table, key=lambda row: abs(row[0] - today))[0] if table else None
        return [
            {
                "degrees": f"{celsius(t):.0f}°",
                "time": words.hours_minutes(s, up=True) if up else str(int(s / 60.0 + 1e-9)),
                "plan": t == nearest,
            }
            for t, s in table[:6]
        ]

    return {
        "by_table": cells(cure.working_table, cure.mix_temperature, up=False),
        "from_table": cells(cure.release_table, cure.cure_temperature, up=True),
    }


def _sheet(index: JobIndex, design: Design, trace: Appendix) -> Sheet:
    clock = index.connections[design.connection_id].clock
    rows = [
        _pressure(design, trace),
        *_times(design, trace),
        *_cure(design, trace),
        _wall(design, trace),
        _stretch(index, design, trace),
        _fold(design, trace),
    ]
    given = cautions.of_collar(design.cautions, index.job.kit.resin.hazards)
    review = f"{' '.join(design.review) or cautions.REVIEW} {cautions.RIGHTS}"
    hours = _hours(design, trace)
    drawn = drawing(design, clock, room(len(rows) + 1, review, given))
    body: dict[str, Json] = {
        **drawn,
        **_tables(index, design, 34.0 if drawn["pieces"] else 27.0 if drawn["stacked"] else 60.0),
        **temperature_rows(design),
        "windows": windows.windows(rows, hours),
        "traces": [row.trace for row in (*rows, hours)],
        "cautions": [{"cause": cause, "act": act} for cause, act in given],
        "placing": _placing(design),
        "review": words.breakable(review),
    }
    heading = letters.shorten(answer(design), 352.0, 19.0, 700)
    subject = f"{design.connection_id}, pattern {design.collar.pattern}"
    return Sheet(
        "collar",
        f"Collar sheet {short(design.connection_id)}",
        heading,
        subject,
        "Collar sheets",
        body,
    )


def _placing(design: Design) -> str:
    """The placement tolerance, and what of it the connection's own shape uses up."""
    text = f"{words.capital(tolerances.brief(design.collar.tolerance))}."
    if tolerances.used_share(design) > 0.0:
        text += f" Made for another shape: {tolerances.served(design)}."
    return text


def sheets(index: JobIndex, trace: Appendix) -> list[Sheet]:
    """One sheet for each collar."""
    return [_sheet(index, design, trace) for design in index.job.designs.designs]

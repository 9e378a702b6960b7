"""Collar sheets: how each collar is made and set, one page each."""

import math
from collections.abc import Sequence

from teewright.collar.landing import FOLD
from teewright.job.values import Design
from teewright.pressure.ends import BRANCH, BRANCH_CRACKED, BRANCH_RING, CRACKED, LINER, SOUND
from teewright.pressure.values import PressureWindow
from teewright.report import letters, words
from teewright.report.figures import windows
from teewright.report.index import JobIndex, short
from teewright.report.sheets import cautions, cure, flow, tolerances
from teewright.report.sheets.appendix import Appendix, wall_section
from teewright.report.sheets.collar_drawing import drawing, room
from teewright.report.sheets.sheet import Json, Sheet
from teewright.units import celsius, clock_text
from teewright.wall.cases import SOIL

_LINE = 4.4
"""Height of one more line of words [mm]."""
_LIMITS = (
    ("rating of packer", "packer"), (LINER, "liner"), (CRACKED, "cracked host"),
    (SOUND, "host"), (BRANCH_CRACKED, "cracked branch"), (BRANCH_RING, "branch pipe"),
    (BRANCH, "branch pipe"),
)  # fmt: skip
"""Limits at the upper end, as shortly as the sheet must have them."""


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
    wall, walls = design.governing_wall, {case.name for case in design.wall.cases}
    enough = wall.utilisation <= 1.0
    used = f"used {100 * wall.utilisation:.0f} %" if enough else f"{wall.required * 1e3:.1f} needed"
    return windows.Window(
        "Wall against ground" if SOIL in walls else "Wall against water",
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
        _governs(p),
        (0.0, high),
        (p.low / 1e5, p.high / 1e5) if p.low <= p.high else (p.low / 1e5, None),
        None,
        chosen,
        f"set {chosen:.2f} bar"
        if chosen is not None
        else f"none: {p.low / 1e5:.2f} > {p.high / 1e5:.2f}",
        trace.find(design, "Pressure", p.set) or trace.find(design, "Pressure", p.low),
    )


def _governs(p: PressureWindow) -> str:
    """Which of run and formula gave the forming part, and what limits, in a few words."""
    limit = next((word for name, word in _LIMITS if p.high_governs.startswith(name)), None)
    told = f"most: {limit or p.high_governs}"
    forming = p.forming.partition(":")[0].removeprefix("forming ").removeprefix("as ")
    return f"{forming}; {told}" if forming else f"bar; {told}"


def _times(design: Design, trace: Appendix) -> list[windows.Window]:
    kept = design.cure
    by, gone = math.floor(kept.latest_inflation / 60.0 + 1e-9), kept.working_time / 60.0
    free = math.ceil(kept.release_time / 60.0 - 1e-9)
    return [
        windows.Window(
            "At pressure after mixing",
            cure.by_words(kept),
            (0.0, 1.5 * gone),
            (None, by),
            None,
            by,
            f"by {words.span(kept.latest_inflation, up=False)}",
            trace.find(design, "Times", kept.latest_inflation),
            0,
        ),
        windows.Window(
            "Release after mixing",
            cure.from_words(kept),
            (0.0, 1.5 * free),
            (free, None),
            None,
            free,
            f"not before {words.span(kept.release_time, up=True)}",
            trace.find(design, "Times", kept.release_time),
            0,
        ),
    ]


def _wide(drawn: dict[str, Json]) -> float:
    """Room for a name in the tables beside a drawing [mm]."""
    if drawn["pieces"]:
        return 34.0
    return 27.0 if drawn["stacked"] else 32.0 if drawn["abreast"] else 60.0


def _tables(index: JobIndex, design: Design, wide: float) -> dict[str, Json]:
    resin = design.resin
    connection = index.connections[design.connection_id]
    j = design.junction
    pack = index.job.kit.resin.pack_mass
    voids = f"{resin.filling * 1e3:.2f} l in voids" if resin.fillings else "kg / l"
    junction = (
        ("Chainage", f"{connection.chainage:.2f} m"),
        ("Clock", clock_text(connection.clock)),
        ("Main inside", f"{j.main_diameter * 1e3:.0f} mm"),
        ("Branch, leans", f"{j.branch_diameter * 1e3:.0f} mm, {words.degrees(j.angle)}"),
        ("Head at crown", words.fixed(design.head, 2, "m")),
    )
    batch = (
        ("Part A, kg / l", f"{resin.mass_a:.2f} / {resin.volume_a * 1e3:.2f}"),
        ("Part B, kg / l", f"{resin.mass_b:.2f} / {resin.volume_b * 1e3:.2f}"),
        (f"To mix, {voids}", f"{resin.mass:.2f} / {resin.volume * 1e3:.2f}"),
        (f"Packs of {pack:g} kg", str(resin.packs)),
        ("Left in the last", f"{resin.left_over:.2f} kg"),
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
    kept = design.cure

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
        "by_table": cells(kept.working_table, kept.warm, up=False),
        "from_table": cells(kept.release_table, kept.cold, up=True),
    }


def _sheet(index: JobIndex, design: Design, trace: Appendix) -> Sheet:
    clock = index.connections[design.connection_id].clock
    rows = [
        _pressure(design, trace),
        *_times(design, trace),
        *cure.rows(design, trace),
        _wall(design, trace),
        _stretch(index, design, trace),
        _fold(design, trace),
    ]
    given = cautions.of_collar(design.cautions, index.job.kit.resin.hazards)
    review = f"{' '.join(design.review) or cautions.REVIEW} {cautions.RIGHTS}"
    hours, pumped = flow.hours_row(design, trace), flow.pumps(design)
    tall = room(len(rows) + 1, review, given) - (_LINE if pumped else 0.0)
    drawn = drawing(design, clock, tall)
    body: dict[str, Json] = {
        **drawn,
        **_tables(index, design, _wide(drawn)),
        **temperature_rows(design),
        "windows": windows.windows(rows, hours),
        "traces": [row.trace for row in (*rows, hours)],
        "cautions": [{"cause": cause, "act": act} for cause, act in given],
        "placing": _placing(design),
        "pumped": letters.shorten(pumped, 120.0, 9.0, 600),
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

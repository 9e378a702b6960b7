"""Will it cure, hold and pass the flow? For all collars, and for each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from teewright.errors import UnknownNameError
from teewright.findings import Finding
from teewright.hydraulics.values import blocked_hours
from teewright.job.values import Design
from teewright.report import words
from teewright.report.figures.day import day_figure
from teewright.report.figures.hold import hold_figure
from teewright.report.figures.tornado import tornado_figure
from teewright.report.sheets import cautions
from teewright.report.sheets.appendix import clock_of_day
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.day_view import (
    Part,
    answer,
    chance_words,
    cure_bars,
    hours_bar,
    hours_words,
    part_of,
    pressure_bar,
    traces,
    troubles,
    wall_bars,
)
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.quantities import System, quantity
from teewright.web.render import page, system_of
from teewright.web.sheet_figures import for_any_width
from teewright.web.texts import text

router = APIRouter(prefix="/day")
DAY = 24
"""Hours of a day."""
_ROUND = {System.METRIC: 0, System.US: 1}
"""Decimals of a height of water [mm or in]."""


@dataclass(frozen=True, slots=True)
class Line:
    """Connections of the list for which all of this is the same.

    Attributes:
        names: Of the connections.
        pressure: To set.
        by: At pressure by.
        by_of: What that rests on.
        release: Release from.
        release_of: What that rests on.
        chance: That it is hard then.
        hours: In which the main may be blocked, in words.
        hours_bar: The same, drawn; empty where it is any hour.
        wall: How much of the wall is used.
        case: What governs it.
        troubles: What stands against it.
    """

    names: tuple[str, ...]
    pressure: str
    by: str
    by_of: str
    release: str
    release_of: str
    chance: str
    hours: str
    hours_bar: Markup
    wall: str
    case: str
    troubles: tuple[str, ...]


@router.get("")
def day(request: Request, known: WhatIsKnown, office: TheOffice) -> Response:
    """Will all collars cure, hold and pass the flow?"""
    designs = known.designs.designs if known.designs else ()
    window = known.designs.day if known.designs else None
    system = system_of(request)
    values = {
        "read": known.loaded is not None,
        "designed": known.designs is not None,
        "lines": lines(designs, system),
        "figure": for_any_width(day_figure, window, text("day.window"), system)
        if window and len(window.air) > 1
        else "",
        "window": window,
        "task": office.tasks.to_show("design"),
        "problem": known.problem,
    }
    return page(request, "day.html", values, frame=frame_of(known, "day", _answer(known)))


@router.get("/{connection_id:path}")
def one(connection_id: str, request: Request, known: WhatIsKnown) -> Response:
    """Will one collar cure, hold and pass the flow?"""
    design = known.designs.of(connection_id) if known.designs else None
    if design is None:
        raise UnknownNameError("has no collar", field="connection", value=connection_id)
    system = system_of(request)
    crumbs = (
        (text("common.rooms.day"), "/day"), (connection_id, ""),
    )  # fmt: skip
    values = {
        "design": design,
        "findings": _findings(known, design),
        "troubles": troubles(design),
        "traces": traces(design),
        "review": design.review,
        **_cure(design, system),
        **_hold(design, known, system),
        **_flow(design, system),
    }
    frame = frame_of(known, "day", answer(design, system), crumbs)
    return page(request, "day_one.html", values, frame=frame)


def _answer(known: Known) -> str:
    """How many cure, hold and pass the flow, one sentence."""
    if known.designs is None:
        return text("day.answer_open" if known.loaded else "day.answer_empty")
    made = known.designs.designs
    if not made:
        return text("day.answer_none")
    found = [dict(troubles(design)) for design in made]
    good = sum(not each for each in found)
    if good == len(made):
        return text("day.answer", n=len(made))
    parts = [
        text(f"day.count.{part}", n=count)
        for part in Part
        if (count := sum(part in each for each in found))
    ]
    return text("day.answer_some", good=good, all=len(made), what=words.listed(parts))


def lines(designs: Sequence[Design], system: System) -> tuple[Line, ...]:
    """The list, connections with equal numbers in one line."""
    found: dict[Line, list[str]] = {}
    for design in designs:
        line = _line(design, system)
        found.setdefault(replace(line, names=()), []).extend(line.names)
    return tuple(replace(line, names=tuple(names)) for line, names in found.items())


def _line(design: Design, system: System) -> Line:
    hours = hours_words(design, system)
    wall = design.governing_wall
    allowed = blocked_hours(design.bypass, design.flow)
    gaps = len(allowed) < DAY
    return Line(
        names=(design.connection_id,),
        pressure=quantity(design.pressure.set, "bar", system),
        by=words.span(design.cure.latest_inflation, up=False),
        by_of=text(f"day.governs.short_{design.cure.latest_by.name.lower()}"),
        release=words.span(design.cure.release_time, up=True),
        release_of=text(f"day.governs.short_{design.cure.release_by.name.lower()}"),
        chance=chance_words(design),
        hours=hours,
        hours_bar=hours_bar(allowed, _hours_said(design, hours)) if gaps else Markup(),
        wall=f"{100.0 * wall.utilisation:.0f}\u00a0%",
        case=design.wall_governs,
        troubles=tuple(said for _, said in troubles(design)),
    )


def _findings(known: Known, design: Design) -> Mapping[Part | None, list[Finding]]:
    """Findings of a design by what they speak of."""
    found: dict[Part | None, list[Finding]] = {}
    for finding in known.designs.findings if known.designs else ():
        if finding.subject == design.connection_id:
            found.setdefault(part_of(finding), []).append(finding)
    return found


def _cure(design: Design, system: System) -> dict[str, Any]:
    cure, forecast = design.cure, design.forecast
    return {
        "cure_bars": cure_bars(design),
        "mixed": quantity(cure.mix_temperature, "degC", system),
        "main": quantity(cure.cure_temperature, "degC", system),
        "peak": quantity(forecast.peak, "degC", system) if forecast else "",
        "by_table": [
            (quantity(t, "degC", system), words.span(s, up=False)) for t, s in cure.working_table
        ],
        "from_table": [
            (quantity(t, "degC", system), words.span(s, up=True)) for t, s in cure.release_table
        ],
        "cure_notes": forecast.notes if forecast else (),
    }


def _hold(design: Design, known: Known, system: System) -> dict[str, Any]:
    chart, hazards = design.tornado, known.loaded.kit.resin.hazards if known.loaded else ()
    return {
        "pressure": pressure_bar(design, system),
        "low_parts": design.pressure.low_parts,
        "high_limits": design.pressure.high_limits,
        "walls": wall_bars(design, system),
        "tornado": for_any_width(tornado_figure, chart, text("day.tornado"), system)
        if chart is not None and chart.bars
        else "",
        "bars": chart.bars if chart is not None else (),
        "tight": design.tight,
        "cautions": cautions.of_collar(design.cautions, hazards),
        "wall_notes": design.walls.notes if design.walls is not None else (),
    }


def _hours_said(design: Design, hours: str) -> str:
    """With a forecast of the level the hours are of the start, else of the whole time."""
    return text("day.hours_of" if design.flow is None else "day.begin_of", hours=hours)


def _flow(design: Design, system: System) -> dict[str, Any]:
    flow, allowed = design.flow, blocked_hours(design.bypass, design.flow)
    hours = hours_words(design, system)
    found: dict[str, Any] = {
        "hours": hours,
        "hours_bar": hours_bar(allowed, _hours_said(design, hours)),
        "hours_name": text("day.blocked" if flow is None else "day.begin"),
        "capacity": design.bypass.capacity,
        "worst": design.bypass.worst_flow,
        "level": "",
        "level_words": "",
        "flow_notes": flow.notes if flow is not None else (),
    }
    if flow is not None and flow.places and len(flow.times) > 1:
        start = clock_of_day(flow.starts[flow.shown])
        key = "allowed" if flow.allowed[flow.shown] else "refused"
        left = quantity(flow.freeboards[flow.shown], "mm", system, digits=_ROUND[system])
        found["level"] = for_any_width(hold_figure, flow, text("day.level"), system)
        found["level_words"] = text(
            f"day.level_{key}", start=start, place=flow.first[flow.shown], left=left
        )
    return found

"""How is one collar made and how does it land? And how would another land here?"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from teewright.collar.values import Collar, CollarMap
from teewright.errors import TeewrightError
from teewright.job.values import Refusal
from teewright.report import words
from teewright.report.sheets.cautions import RIGHTS
from teewright.report.tile_grid import PAPERS
from teewright.web import collar_drawn
from teewright.web.api.collars import fabric_of
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.collar_map import KEYS
from teewright.web.collar_sliders import instant_rows, instant_words, place_sliders, sliders
from teewright.web.collar_view import (
    Shown,
    edge_rows,
    figure,
    legends,
    limit_rows,
    tolerance_rows,
)
from teewright.web.collar_wish import address_of, fields_of, wish_of
from teewright.web.office import Known, Office
from teewright.web.pages.frames import frame_of
from teewright.web.quantities import System
from teewright.web.render import is_part, page, system_of
from teewright.web.tasks import Task, TaskState
from teewright.web.texts import text
from teewright.web.trying import Bench, Instant, Wish, bench_of, instant, order_of
from teewright.web.workshop import Tried, key_of

router = APIRouter(prefix="/collars")
NET = 0.025
"""Of the fabric, drawn on the formed collar by collar3d.mjs [m]."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What is tried on the page.

    Attributes:
        wish: It.
        at_once: What is known at once.
        key: Name of the try, empty where no collar can be set here.
        made: Its collar, once made.
        task: The work on it, while it goes on or where it failed.
    """

    wish: Wish
    at_once: Instant
    key: str
    made: Tried | None
    task: Task | None


@router.post("/-/make")
async def make(request: Request, known: WhatIsKnown, office: TheOffice) -> RedirectResponse:
    """Begin to make the collar that is tried."""
    form = {name: str(value) for name, value in (await request.form()).items()}
    connection = form.get("connection", "")
    bench = bench_of(known, connection)
    wish = wish_of(form, bench)
    office.workshop.begin(*order_of(bench, wish))
    return RedirectResponse(address_of(connection, wish), status_code=303)


@router.post("/-/stop")
async def stop(request: Request, known: WhatIsKnown, office: TheOffice) -> RedirectResponse:
    """Stop making it."""
    form = {name: str(value) for name, value in (await request.form()).items()}
    connection = form.get("connection", "")
    task = office.tasks.of(form.get("task", ""))
    if task.state is TaskState.RUNNING:
        office.tasks.cancel(task.id)
    wish = wish_of(form, bench_of(known, connection))
    return RedirectResponse(address_of(connection, wish), status_code=303)


@router.get("/-/work/{task_id}")
def work(task_id: str, request: Request, office: TheOffice) -> Response:
    """How far the work on a try is, as a part of the page."""
    values = {"task": office.tasks.of(task_id), "connection": "", "fields": {}}
    return page(request, "_collar_work.html", values)


@router.get("/{connection_id:path}")
def collar(connection_id: str, request: Request, known: WhatIsKnown, office: TheOffice) -> Response:
    """How one collar is made and lands."""
    bench = bench_of(known, connection_id)
    system = system_of(request)
    trial = tried(bench, wish_of(request.query_params, bench), office)
    shown = shown_of(bench, trial)
    values = {
        "connection": connection_id,
        "bench": bench,
        "trial": trial,
        "fields": fields_of(trial.wish),
        "rows": tuple(instant_rows(trial.at_once, trial.wish, system)),
        "said": instant_words(trial.at_once, bench, trial.wish, made=trial.made is not None),
        "changed": trial.wish != Wish(),
        "made_here": trial.made is not None,
        "failed": _failed(trial),
        "running": trial.task is not None and trial.task.state is TaskState.RUNNING,
        "task": trial.task,
    }
    if is_part(request):
        return page(request, "_collar_instant.html", values)
    refusal = _refusal(known, connection_id)
    values |= {
        "sliders": sliders(bench, trial.wish, system),
        "place_sliders": place_sliders(trial.wish),
        "refusal": refusal,
        "need": need_of(known, connection_id),
        "system": system,
        "shown": shown,
        **(_of_collar(shown, bench, request) if shown is not None else {}),
    }
    crumbs = (
        (text("common.rooms.collars"), "/collars"),
        (connection_id, ""),
    )  # fmt: skip
    said = answer(known, shown, refusal, system)
    return page(request, "collar.html", values, frame=frame_of(known, "collars", said, crumbs))


def tried(bench: Bench, wish: Wish, office: Office) -> Trial:
    """What is tried, as far as it is known or made."""
    at_once = instant(bench, wish)
    if at_once.reasons:
        return Trial(wish, at_once, "", None, None)
    try:
        key = key_of(*order_of(bench, wish))
    except TeewrightError:
        return Trial(wish, at_once, "", None, None)
    return Trial(wish, at_once, key, office.workshop.tried(key), office.workshop.last(key))


def shown_of(bench: Bench, trial: Trial) -> Shown | None:
    """The collar to show: the one made on trial, else the design's, else none."""
    if trial.made is not None and trial.wish != Wish():
        made, off = trial.made.made, trial.made.placed
        address = f"/api/v1/collars/tries/{trial.key}/map"
        shown = _plain(made.collar, made.map, address, tried=True)
        if off is None:
            return shown
        return replace(
            shown, limits=off.limits, edges=off.edges, panels=off.panels, map=off.map, off=True
        )
    if bench.design is None:
        return None
    collar = bench.design.collar
    address = f"/api/v1/collars/{quote(collar.pattern)}/map"
    return _plain(collar, bench.made.map if bench.made is not None else None, address)


def _plain(collar: Collar, found: CollarMap | None, address: str, *, tried: bool = False) -> Shown:
    """A collar where it should lie."""
    landing = collar.landing
    return Shown(collar, landing.limits, landing.edges, collar.panels, found, address, tried=tried)


def answer(known: Known, shown: Shown | None, refusal: Refusal | None, system: System) -> str:
    """How it lands, one sentence."""
    if shown is None:
        if refusal is not None:
            return text("collar.answer.refused")
        return text("collar.answer.not_designed" if known.designs is None else "collar.answer.none")
    worst = shown.tightest
    name = text("collar.answer.tried") if shown.tried else shown.collar.pattern
    if shown.kept:
        key = "kept_off" if shown.off else "kept"
        return text(f"collar.answer.{key}", name=name, limit=worst.name)
    most = worst.high if worst.high is not None else worst.value
    return text(
        "collar.answer.broken",
        name=name,
        limit=worst.name,
        value=figure(worst, worst.value, system),
        most=figure(worst, most, system),
    )


def need_of(known: Known, connection_id: str) -> str:
    """What the connection needs, in words."""
    found = known.assessment.verdicts if known.assessment else ()
    verdict = next((v for v in found if v.connection_id == connection_id), None)
    return words.capital(verdict.reasons[0].text) if verdict and verdict.reasons else ""


def _of_collar(shown: Shown, bench: Bench, request: Request) -> Mapping[str, Any]:
    """Drawings, limits and tables of the collar that is shown."""
    collar, system = shown.collar, system_of(request)
    fabric = fabric_of(bench.known, collar.fabric)
    key = request.query_params.get("map", KEYS[0])
    key = key if key in KEYS else KEYS[0]
    found = shown.map
    needed = bench.design.governing_wall.required if bench.design is not None else None
    drawn: dict[str, Any] = {"pieces": (), "legends": (), "still": "", "key": key, "net": NET}
    if found is not None:
        drawn |= {
            "pieces": collar_drawn.pieces(found, shown.panels, fabric),
            "legends": legends(found, fabric, needed, system),
            "still": collar_drawn.formed(found, fabric, key),
        }
    return {
        **drawn,
        "limits": limit_rows(shown.limits, system),
        "tolerance": tolerance_rows(collar.tolerance, collar.junction.main_diameter, system),
        "edges": edge_rows(shown.edges, system),
        "files": () if shown.tried else files_of(collar),
        "same": _same(bench, collar),
        "rights": RIGHTS,
        "marks": _marks(shown, system),
    }


def _marks(shown: Shown, system: System) -> Mapping[str, Any]:
    """How the module of the page writes what is pointed at."""
    us = system is System.US
    return {
        "units": {
            "stretch": {"per": 1.0, "digits": 3, "unit": ""},
            "least": {"per": 1.0, "digits": 3, "unit": ""},
            "thickness": {"per": 39.3701 if us else 1000.0, "digits": 3 if us else 2,
                          "unit": "in" if us else "mm"},
            "wrinkle": {"per": 100.0, "digits": 1, "unit": "%"},
        },
        "pieces": {p.name: words.capital(p.name) for p in shown.collar.panels},
        "least": text("collar.mark_least"),
        "greatest": text("collar.mark_greatest"),
    }  # fmt: skip


def files_of(collar: Collar) -> tuple[tuple[str, str], ...]:
    """(words, address) of the cutting files of a pattern."""
    base = f"/api/v1/collars/{quote(collar.pattern)}/files/{quote(collar.pattern)}"
    found = [(text("collar.files.dxf"), f"{base}.dxf")]
    for panel in collar.panels:
        name = quote(panel.name.replace(" ", "-"))
        found.append((text("collar.files.svg", piece=panel.name), f"{base}-{name}.svg"))
    found.append((text("collar.files.whole"), f"{base}-whole.pdf"))
    found += [(text("collar.files.tiled", paper=p), f"{base}-{p}.pdf") for p in PAPERS]
    return tuple(found)


def _same(bench: Bench, collar: Collar) -> tuple[str, ...]:
    """Other connections that the pattern serves."""
    designs = bench.known.designs.designs if bench.known.designs else ()
    return tuple(
        d.connection_id
        for d in designs
        if d.collar.pattern == collar.pattern and d.connection_id != bench.connection.id
    )


def _failed(trial: Trial) -> str:
    """Why the last work on the try failed, or empty."""
    task = trial.task
    failed = task is not None and task.state is TaskState.FAILED and trial.made is None
    return task.said if task is not None and failed else ""


def _refusal(known: Known, connection_id: str) -> Refusal | None:
    refusals = known.designs.refusals if known.designs else ()
    return next((r for r in refusals if r.connection_id == connection_id), None)

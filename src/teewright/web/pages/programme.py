"""Who does what, when? Time bars that can be dragged, and what breaks, in words."""

import json
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response
from pydantic import ValidationError

from teewright.errors import InputError, StaleError
from teewright.job.planning import Planning
from teewright.programme.values import Installation, Unplanned, Visit
from teewright.programme.windows import joined
from teewright.report import words
from teewright.web import shifts
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.office import Known, Office
from teewright.web.pages.frames import frame_of
from teewright.web.render import page, wants_page
from teewright.web.shift_blocks import Drawn
from teewright.web.shift_drawn import Look, drawn, rows
from teewright.web.shift_scale import Scale, no_flow_stop, no_street
from teewright.web.shifts import Edits, Standing, Tried
from teewright.web.tasks import Task
from teewright.web.texts import catalogue, text

router = APIRouter(prefix="/programme")
STEP = 300
"""A bar is dragged in steps of this [s]."""
MADE_WAY = 4
"""Visits that made way and are named; more are counted."""
CONFLICT = 409


@router.get("")
def programme(request: Request, known: WhatIsKnown, office: TheOffice) -> Response:
    """Who does what, when?"""
    return _whole(request, known, office)


def _whole(request: Request, known: Known, office: Office, *, refused: bool = False) -> Response:
    """The page; refused: as the answer to what was asked of a programme that is no more."""
    task = _task(office)
    if known.job is None:
        answer = text("programme.answer_none")
        values: dict[str, Any] = {"task": task, "problem": known.problem, "view": None}
        return page(request, "programme.html", values, frame=frame_of(known, "programme", answer))
    now = shifts.standing(office)
    view = _view(now, Edits(on=now.version), refused=refused)
    values = {"task": task, "problem": known.problem, "texts": _texts(), **view}
    frame = frame_of(known, "programme", view["answer"])
    status = CONFLICT if refused else 200
    return page(request, "programme.html", values, frame=frame, status=status)


def _done(request: Request, office: Office, act: Callable[[], object]) -> Response:
    """The page anew after an act; where it was asked of a programme that is no more, the newest."""
    try:
        act()
    except StaleError:
        if not wants_page(request):
            raise
        office.look_again()
        return _whole(request, office.known(), office, refused=True)
    return RedirectResponse("/programme", status_code=303)


@router.post("/part")
def part(edits: Edits, request: Request, office: TheOffice) -> Response:
    """The drawing with edits that are not kept, as a part of the page."""
    now = shifts.standing(office)
    return page(
        request, "_programme.html", {"task": _task(office), **_view(now, edits), "part": True}
    )


@router.post("/keep")
def keep(
    request: Request,
    office: TheOffice,
    edits: Annotated[str, Form()],
    although: Annotated[str, Form()] = "",
) -> Response:
    """Keep the programme as edits make it."""
    wanted = _edits(edits)
    return _done(request, office, lambda: shifts.keep(office, wanted, although=although == "yes"))


@router.post("/replan")
def replan(request: Request, office: TheOffice, edits: Annotated[str, Form()]) -> Response:
    """Begin to plan again around what is kept."""
    wanted = _edits(edits)
    return _done(request, office, lambda: shifts.replan(office, wanted, at=_now()))


@router.post("/undo")
def undo(request: Request, office: TheOffice, on: Annotated[int, Form(ge=0)]) -> Response:
    """Go back to what was in force before the last decision."""
    return _done(request, office, lambda: shifts.undo(office, on))


@router.post("/drop")
def drop(request: Request, office: TheOffice, on: Annotated[int, Form(ge=0)]) -> Response:
    """Go back to the computed programme."""
    return _done(request, office, lambda: shifts.drop(office, on))


def _edits(given: str) -> Edits:
    try:
        return Edits.model_validate_json(given)
    except ValidationError as error:
        first = error.errors()[0]
        field = ".".join(str(part) for part in first["loc"])
        raise InputError("cannot be read", field=field or "edits", value=first["msg"]) from error


def _now() -> datetime:
    return datetime.now()  # noqa: DTZ005 -- shifts are planned in local time


def _task(office: Office) -> Task | None:
    """The planning that runs, or why the last one failed."""
    return office.tasks.to_show(shifts.TASK, "plan")


def _view(now: Standing, edits: Edits, *, refused: bool = False) -> dict[str, Any]:
    """All that the drawing shows."""
    new = shifts.tried(now, edits)
    look = Look(new.fixed, now.begun, frozenset(new.moved), new.breaches, _now())
    found = drawn(new.programme, now.planning, look)
    return {
        "view": found,
        "rows": rows(found),
        "new": new,
        "now": now,
        "pending": len(edits.edits),
        "answer": _answer(new),
        "changes": _changes(now, new),
        "made_way": _made_way(new),
        "unplanned": new.programme.unplanned,
        "data": json.dumps(_data(now, new, found) | {"refused": refused}).replace("<", "\\u003c"),
        "say": words,
        "refused": refused,
        "part": False,
    }


def _answer(new: Tried) -> str:
    planned = [v for s in new.programme.shifts for v in s.visits]
    if new.breaches:
        n = len(new.breaches)
        return text("programme.answer_broken", n=n, collars=len(planned))
    if not planned:
        return text("programme.answer_empty")
    last = max(s.day for s in new.programme.shifts)
    key = "programme.answer" if len(planned) > 1 else "programme.answer_single"
    said = text(key, n=len(new.programme.shifts), collars=len(planned), day=words.day(last))
    left = len(new.programme.unplanned)
    return said + (text("programme.answer_left", n=left) if left else "")


def _changes(now: Standing, new: Tried) -> tuple[str, ...]:
    """What was done and is not kept, one line each."""
    places = {v.connection_id: (s, v) for s in new.programme.shifts for v in s.visits}
    said = []
    for key in new.moved:
        one, visit = places[key]
        said.append(
            text(
                "programme.moved_to",
                what=key,
                day=words.day(one.day),
                crew=one.crew,
                at=words.at(visit.mix),
            )
        )
    said += [
        text("programme.fixed_now", what=k) for k in sorted(new.fixed - now.fixed - {*new.moved})
    ]
    said += [text("programme.let_go", what=k) for k in sorted(now.fixed - new.fixed)]
    return tuple(said)


def _made_way(new: Tried) -> str:
    if not new.delays:
        return ""
    named = [
        text("programme.later", what=d.connection_id, by=words.span(d.by, up=True))
        for d in new.delays
    ]
    return text("programme.made_way", what=words.listed(named, MADE_WAY))


def _data(now: Standing, new: Tried, found: Drawn) -> dict[str, Any]:
    """What the script of the page needs."""
    asked = {i.connection_id: i for i in now.planning.installations}
    clock = dict(now.clock)
    return {
        "on": now.version,
        "low": found.scale.low,
        "high": found.scale.high,
        "step": STEP,
        "breaches": [{"text": b.text, "about": b.about} for b in new.breaches],
        "crews": [crew.name for crew in now.planning.crews],
        "days": [{"day": d.isoformat(), "said": words.day(d)} for d, _ in found.days],
        "visits": {
            v.connection_id: {
                "crew": s.crew,
                "day": s.day.isoformat(),
                "mix": (v.mix - s.start).total_seconds(),
                "length": (v.tested - v.mix).total_seconds(),
                "fixed": v.connection_id in new.fixed,
                "begun": v.connection_id in now.begun,
                "said": _said(v, words.day(s.day), s.crew),
                "clock": f"/clock/{quote(clock.get(v.connection_id, v.connection_id + '#1'))}",
                "closed": _closed(asked.get(v.connection_id), found.scale),
            }
            for s in new.programme.shifts
            for v in s.visits
        },
        "unplanned": {
            u.connection_id: _unplanned(u, asked, found.scale) for u in new.programme.unplanned
        },
        "start": _start(now.planning),
    }


def _start(planning: Planning) -> str:
    """Time of day at which shifts start."""
    begin = datetime.combine(date.min, time()) + timedelta(seconds=planning.rules.start)
    return begin.time().isoformat()


def _said(v: Visit, day: str, crew: str) -> str:
    return text(
        "programme.said",
        day=day,
        crew=crew,
        packer=v.packer,
        mix=words.at(v.mix),
        by=words.at(v.latest_pressure),
        free=words.at(v.earliest_release, up=True),
        done=words.at(v.tested, up=True),
    )


def _unplanned(left: Unplanned, asked: dict[str, Installation], scale: Scale) -> dict[str, Any]:
    return {"said": left.text, "closed": _closed(asked.get(left.connection_id), scale)}


def _closed(asked: Installation | None, scale: Scale) -> list[list[float]]:
    """(place, width) of where it cannot be set, percent."""
    if asked is None:
        return []
    spans = joined((*no_flow_stop(asked, scale), *no_street(asked, scale)))
    return [list(scale.part(span)) for span in spans]


def _texts() -> dict[str, str]:
    """Texts that the script of the page says."""
    start = "programme.js."
    return {k.removeprefix(start): v for k, v in catalogue().items() if k.startswith(start)}

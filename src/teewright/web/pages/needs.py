"""What needs sealing, and why? Every connection in one list, to be sorted, filtered and decided."""

from collections import Counter
from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from markupsafe import Markup
from pydantic import BaseModel

from teewright.assess.make_ready import MakeReady
from teewright.assess.values import Need
from teewright.errors import InputError
from teewright.web import correcting
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks
from teewright.web.drawings import marks, shares
from teewright.web.drawings.shares import Part
from teewright.web.guard.signin import local_path
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.pages.needs_list import NeedSheet, asked_of, row_of, rows, sheet_of
from teewright.web.pages.survey import by_hand, connection_address
from teewright.web.quantities import System, quantity
from teewright.web.render import allowed, environment, given_words, page, system_of
from teewright.web.survey_words import KEYS, choices, entering, short
from teewright.web.texts import text

router = APIRouter(prefix="/needs")


@router.get("")
def needs(request: Request, known: WhatIsKnown) -> Response:
    """What needs sealing, and why?"""
    system = system_of(request)
    last = by_hand(known, 1)
    return page(
        request,
        "needs.html",
        {
            "list": _list(request, known),
            "designed": known.designs is not None,
            "counts": _counts(known),
            "choices": choices(),
            "symbols": [(KEYS[need], marks.symbol(need)) for need in Need],
            "works": [kind.value for kind in MakeReady],
            "bar": _bar(known),
            "entry": _entry_words(known, system),
            "last": last[0] if last else None,
            "undo_back": "/needs",
            "problem": known.problem,
        },
        frame=frame_of(known, "needs", answer(known)),
    )


class Decided(BaseModel):
    """The form of a decision."""

    connection: str
    need: str
    why: str = ""
    work: str = ""
    back: str = "/needs"


@router.post("/decide")
def decide(
    request: Request,
    known: WhatIsKnown,
    office: TheOffice,
    who: WhoAsks,
    form: Annotated[Decided, Form()],
) -> Response:
    """Decide what a connection needs; a script is given its new row alone."""
    if not form.why.strip():
        raise InputError(text("survey.hand.no_reason"), field="why", allowed="a few words")
    works = (form.work,) if form.work else ()
    asked = correcting.Decide(act="decide", connection=form.connection, need=form.need, works=works)
    correcting.correct(office, known, [asked], who=who.name, why=form.why)
    if request.headers.get("hx-request") != "true":
        return RedirectResponse(local_path(form.back, "/needs"), status_code=303)
    now = office.known()
    assert now.loaded is not None
    assert now.assessment is not None
    units = system_of(request), given_words(request)
    row = row_of(now.loaded, now.assessment, *units, form.connection)
    told = {
        "row": environment().get_template("_need_row.html").render(row=row),
        "answer": answer(now),
        "counts": _counts(now),
        "undo": environment()
        .get_template("_undo.html")
        .render(
            last=by_hand(now, 1)[0],
            undo_back="/needs",
            csrf=request.state.csrf,
            can=allowed(request),
        ),
    }
    return JSONResponse(told)


def answer(known: Known) -> str:
    """How many need what, one sentence."""
    if known.assessment is None:
        return text("needs.answer_empty")
    verdicts = known.assessment.verdicts
    counts = Counter(v.need for v in verdicts)
    said = _sealed(counts[Need.SEAL] + counts[Need.MAKE_READY], len(verdicts))
    if counts[Need.MAKE_READY]:
        said = text("needs.ready", n=counts[Need.MAKE_READY], said=said)
    flows = entering(verdicts)
    half = _half(flows)
    if half and len(flows) > 2:
        said += text("needs.half", n=half)
    return said


def _sealed(count: int, every: int) -> str:
    """How many of all are to be sealed."""
    if every == 1:
        return text("needs.answer_single" if count else "needs.answer_single_none")
    return text("needs.answer" if count else "needs.answer_none", n=count, all=every)


def _list(request: Request, known: Known) -> NeedSheet | None:
    """The list as it is asked for; None where nothing is known yet."""
    if known.loaded is None or known.assessment is None or not known.loaded.survey.connections:
        return None
    every = rows(known.loaded, known.assessment, system_of(request), given_words(request))
    return sheet_of(every, asked_of(request.query_params))


def _counts(known: Known) -> dict[str, int]:
    """How many have each need, by its letter."""
    verdicts = known.assessment.verdicts if known.assessment else ()
    counts = Counter(v.need for v in verdicts)
    return {KEYS[need]: counts[need] for need in Need}


def _half(flows: Sequence[tuple[str, float]]) -> int:
    """How many of the greatest bring half of what comes in; 0 where nothing does."""
    total, taken = sum(flow for _, flow in flows), 0.0
    for k, (_, flow) in enumerate(flows, 1):
        taken += flow
        if taken >= 0.5 * total > 0.0:
            return k
    return 0


def _bar(known: Known) -> Markup | None:
    flows = entering(known.assessment.verdicts) if known.assessment else ()
    total = sum(flow for _, flow in flows)
    if len(flows) < 2 or total <= 0.0:
        return None
    one_run = len({name.rpartition("/")[0] for name, _ in flows}) == 1
    parts = [
        Part(name, short(name) if one_run else name, flow / total, connection_address(name))
        for name, flow in flows
    ]
    return shares.bar(parts, text("needs.rest"))


def _entry_words(known: Known, system: System) -> str:
    """What comes in all in all, and at how many it is not known."""
    if known.assessment is None:
        return ""
    flows = entering(known.assessment.verdicts)
    unknown = sum(v.entry.flow is None for v in known.assessment.verdicts)
    if not flows:
        return ""
    total = quantity(sum(flow for _, flow in flows), "l/h", system, digits=1)
    said = text("needs.entering", total=total, n=len(flows))
    return said + (text("needs.entering_unknown", n=unknown) if unknown else "")

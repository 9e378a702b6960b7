"""Is it tight? Each leak test against what is allowed, and what must be decided."""

from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response
from markupsafe import Markup

from teewright.errors import InputError
from teewright.job.values import Job
from teewright.proof.values import HandoverState
from teewright.report.index import JobIndex
from teewright.report.sheets.done import done_of
from teewright.report.sheets.installation import held_figure, leak_figure
from teewright.web import deciding
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks
from teewright.web.guard.roles import may
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.pages.proved import Proved, judged, of_record, proved, verdict
from teewright.web.quantities import System
from teewright.web.render import page, system_of
from teewright.web.sheet_figures import UNITS, on_page
from teewright.web.texts import text

router = APIRouter(prefix="/proof")
CURVES = 4
"""Curves on the page of all tests."""


@router.get("")
def proof(request: Request, known: WhatIsKnown) -> Response:
    """All tests."""
    job = known.job
    found = proved(job) if job else ()
    tested = [one for one in found if one.test is not None]
    decide = [one for one in found if one.must_be_decided]
    values = {
        "curves": _curves(known, decide, system_of(request)),
        "tested": tested,
        "decide": decide,
        "others": [one for one in found if one.open and not one.must_be_decided],
        "verdict": verdict,
        "judged": judged,
        "planned": sum(r.state is HandoverState.PLANNED for r in job.records) if job else 0,
        "problem": known.problem,
        "job": job,
    }
    return page(request, "proof.html", values, frame=frame_of(known, "proof", answer(job, found)))


@router.get("/{connection:path}")
def one(connection: str, request: Request, known: WhatIsKnown) -> Response:
    """One connection: its test and its hold over time, and what is to be decided."""
    return _one(connection, request, known)


@router.post("/{connection:path}/decision")
def decide(
    connection: str,
    request: Request,
    known: WhatIsKnown,
    office: TheOffice,
    asker: WhoAsks,
    decision: Annotated[str, Form()] = "",
) -> Response:
    """Write a decision into the log."""
    found = _begun(known, connection)
    try:
        deciding.decide(office, known, found.id, decision, who=asker.name)
    except InputError:
        said = text("proof.decision_length", most=deciding.LONGEST)
        return _one(connection, request, known, typed=decision, said=said)
    return RedirectResponse(f"/proof/{connection}", status_code=303)


def answer(job: Job | None, found: tuple[Proved, ...]) -> str:
    """Whether it is tight, one sentence."""
    if job is None:
        return text("proof.answer_unplanned")
    if not found:
        return text("proof.answer_none")
    tested = [one for one in found if one.test is not None]
    tight = sum(one.test is not None and one.test.passed is True for one in tested)
    decide = sum(one.must_be_decided for one in found)
    if not tested:
        return text("proof.answer_untested", n=len(found))
    whole = text(
        "proof.answer_all" if tight == len(tested) else "proof.answer", n=len(tested), tight=tight
    )
    return text("proof.answer_decide", n=decide, whole=whole) if decide else whole


def _curves(known: Known, decide: Sequence[Proved], system: System) -> list[tuple[str, Markup]]:
    """Leak tests of the first that must be decided."""
    tested = [one for one in decide if one.test is not None][:CURVES]
    return [(one.id, _leak(deciding.index_of(known), one, system)) for one in tested]


def _leak(index: JobIndex, one: Proved, system: System) -> Markup:
    named = text("proof.leak_named", id=one.id)
    return on_page(leak_figure(index, one.record.installation, UNITS[system]), named)


def _one(
    connection: str, request: Request, known: Known, *, typed: str = "", said: str = ""
) -> Response:
    found = _begun(known, connection)
    name = found.record.installation
    index = deciding.index_of(known)
    tests = done_of(index, name).tests if found.test else ()
    system = system_of(request)
    held = held_figure(index, name, UNITS[system])
    values = {
        "one": found,
        "earlier": [(label, test, verdict(test)) for label, test in tests[:-1]],
        "counts": tests[-1][0] if tests else "",
        "installation": name,
        "verdict": verdict(found.test),
        "judged": judged,
        "leak": _leak(index, found, system),
        "held": on_page(held, text("proof.held_named", id=found.id)),
        "typed": typed,
        "said": said,
        "may_decide": may(request.state.person, "POST", request.url.path),
        "longest": deciding.LONGEST,
    }
    crumbs = ((text("common.rooms.proof"), "/proof"), (found.id, ""))
    frame = frame_of(known, "proof", _sentence(found), crumbs)
    return page(request, "proof_one.html", values, frame=frame, status=422 if said else 200)


def _sentence(found: Proved) -> str:
    words = text(f"proof.one.{found.state}", id=found.id)
    if not found.record.departures:
        return words
    return text("proof.one_departs", n=len(found.record.departures), words=words)


def _begun(known: Known, connection: str) -> Proved:
    """A connection that was begun."""
    deciding.installation_of(known, connection)
    index = deciding.index_of(known)
    return of_record(index, index.records[connection])

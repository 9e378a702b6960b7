"""Is it tight? Each leak test against what is allowed, and what must be decided."""

import uuid
from collections.abc import Sequence
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response
from markupsafe import Markup

from teewright.errors import UnknownNameError
from teewright.job.values import Job
from teewright.proof.values import HandoverRecord, HandoverState
from teewright.report.index import JobIndex
from teewright.report.sheets.installation import held_figure, leak_figure
from teewright.site.chain import Draft
from teewright.site.values import Event, EventKind
from teewright.store.project import Project
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks
from teewright.web.guard.roles import may
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.pages.proved import DECISION, Proved, of_record, proved, verdict
from teewright.web.render import page
from teewright.web.sheet_figures import on_page
from teewright.web.texts import text

router = APIRouter(prefix="/proof")
DEVICE = "page of the proof"
"""Name under which decisions are logged."""
CURVES = 4
"""Curves on the page of all tests."""
LONGEST = 1000
"""Characters of a decision."""


@router.get("")
def proof(request: Request, known: WhatIsKnown) -> Response:
    """All tests."""
    job = known.job
    found = proved(job) if job else ()
    tested = [one for one in found if one.test is not None]
    decide = [one for one in found if one.must_be_decided]
    values = {
        "curves": _curves(known, decide),
        "tested": tested,
        "decide": decide,
        "others": [one for one in found if one.open and not one.must_be_decided],
        "verdict": verdict,
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
    words = " ".join(decision.split())
    if not 0 < len(words) <= LONGEST:
        said = text("proof.decision_length", most=LONGEST)
        return _one(connection, request, known, typed=decision, said=said)
    installation = found.record.installation

    def write(project: Project) -> Event:
        own = sum(event.device == DEVICE for event in project.events())
        moment = datetime.now().astimezone()
        return project.record(
            Draft(
                str(uuid.uuid4()), installation, EventKind.NOTE, moment, DEVICE, own + 1,
                asker.name, ((DECISION, words),),
            )
        )  # fmt: skip

    office.desk.write(write)
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


def _curves(known: Known, decide: Sequence[Proved]) -> list[tuple[str, Markup]]:
    """Leak tests of the first that must be decided."""
    tested = [one for one in decide if one.test is not None][:CURVES]
    return [(one.id, _leak(_index(known), one)) for one in tested]


def _leak(index: JobIndex, one: Proved) -> Markup:
    named = text("proof.leak_named", id=one.id)
    return on_page(leak_figure(index, one.record.installation), named)


def _one(
    connection: str, request: Request, known: Known, *, typed: str = "", said: str = ""
) -> Response:
    found = _begun(known, connection)
    name = found.record.installation
    index = _index(known)
    values = {
        "one": found,
        "installation": name,
        "verdict": verdict(found.test),
        "leak": _leak(index, found),
        "held": on_page(held_figure(index, name), text("proof.held_named", id=found.id)),
        "typed": typed,
        "said": said,
        "may_decide": may(request.state.person, "POST", request.url.path),
        "longest": LONGEST,
    }
    crumbs = ((text("common.rooms.proof"), "/proof"), (found.id, ""))
    frame = frame_of(known, "proof", _sentence(found), crumbs)
    return page(request, "proof_one.html", values, frame=frame, status=422 if said else 200)


def _sentence(found: Proved) -> str:
    words = text(f"proof.one.{found.state}", id=found.id)
    if not found.record.departures:
        return words
    return text("proof.one_departs", n=len(found.record.departures), words=words)


def _index(known: Known) -> JobIndex:
    if known.job is None:
        raise UnknownNameError("is not planned yet", field="job", allowed="design and plan first")
    return JobIndex(known.job)


def _begun(known: Known, connection: str) -> Proved:
    """A connection that was begun.

    Raises:
        UnknownNameError: It is no connection, or nothing was done there yet.
    """
    index = _index(known)
    record: HandoverRecord | None = index.records.get(connection)
    if record is None or not record.installation:
        problem = "is no connection" if record is None else "was not begun yet"
        raise UnknownNameError(problem, field="connection", value=connection)
    return of_record(index, record)

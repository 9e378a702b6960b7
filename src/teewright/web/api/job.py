"""What is known of the job, step by step, and what is handed over."""

from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import FileResponse, Response
from starlette.exceptions import HTTPException

from teewright.assess.values import Assessment
from teewright.errors import TamperedError
from teewright.findings import Finding
from teewright.job.values import Designs, Job
from teewright.network.values import Survey
from teewright.price.saved import Savings
from teewright.price.values import Quote
from teewright.programme.values import Programme
from teewright.proof.values import HandoverRecord
from teewright.site.chain import verify
from teewright.site.values import Event
from teewright.web import packs
from teewright.web.api.refusals import of_type
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.office import Known
from teewright.web.tasks import Task

router = APIRouter(tags=["job"])


class NotYetError(HTTPException):
    """The step has not been run on these inputs: 409.

    Args:
        known: What is known.
        what: What was asked for, in the plural.
        first: What must be done first.
    """

    def __init__(self, known: Known, what: str, first: str) -> None:
        said = known.problem or f"There are no {what} yet: {first}."
        super().__init__(409, said)


@dataclass(frozen=True, slots=True)
class Log:
    """The log and its end.

    Attributes:
        entries: How many.
        head: Hash of the last entry, hex; 64 zeros for an empty log.
        verified: Whether the chain verifies from its first entry on.
        problem: Why it does not, one sentence; else empty.
        events: The entries, in the order in which they were stored.
    """

    entries: int
    head: str
    verified: bool
    problem: str
    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class PriceOfJob:
    """The quotation and what the seals save.

    Attributes:
        quote: Quotation.
        savings: Savings; null where the kit does not tell what water costs.
    """

    quote: Quote
    savings: Savings | None


@router.get("/survey")
def survey(known: WhatIsKnown) -> Survey:
    """The reconciled survey: every pass, run and connection, with what was found doubtful."""
    if known.loaded is None:
        raise NotYetError(known, "survey files", "give some")
    return known.loaded.survey


@router.get("/needs")
def needs(known: WhatIsKnown) -> Assessment:
    """What each connection needs, why, and how much groundwater it lets in."""
    if known.assessment is None:
        raise NotYetError(known, "needs", "give the survey files")
    return known.assessment


@router.get("/designs")
def designs(known: WhatIsKnown) -> Designs:
    """Collars and their numbers, and why some cannot be made; `maps` is always empty here."""
    if known.designs is None:
        raise NotYetError(known, "designs", "begin the task `design`")
    return replace(known.designs, maps=())


@router.get("/programme")
def programme(known: WhatIsKnown) -> Programme:
    """Shifts with each visit's times, and what no shift can hold."""
    if known.programme is None:
        raise NotYetError(known, "shifts", "begin the task `design`")
    return known.programme


@router.get("/records")
def records(known: WhatIsKnown) -> tuple[HandoverRecord, ...]:
    """The state in which each connection can be handed over, with its leak test."""
    return _job(known, "records").records


@router.get("/quote")
def quote(known: WhatIsKnown) -> PriceOfJob:
    """Quantities and price, and what the seals save."""
    job = _job(known, "prices")
    return PriceOfJob(job.quote, job.savings)


@router.get("/findings")
def findings(
    known: WhatIsKnown,
    subject: Annotated[str | None, Query(description="Only of this one.")] = None,
) -> list[Finding]:
    """What was repaired, guessed, dropped, doubted, assumed or refused, in order of the steps.

    Until everything is planned only those of the survey and of the files beside it.
    """
    if known.job is not None:
        found = known.job.findings
    elif known.loaded is not None:
        found = (*known.loaded.survey.findings, *known.loaded.findings)
    else:
        raise NotYetError(known, "findings", "give the survey files")
    return [f for f in found if subject is None or f.subject == subject]


@router.get("/log")
def log(office: TheOffice) -> Log:
    """The log of the project and its end; one that does not verify is given too, and says so."""
    events = office.desk.ask(lambda project: project.events(checked=False))
    problem = ""
    try:
        verify(events)
    except TamperedError as error:
        problem = str(error)
    return Log(len(events), packs.head_of(events), not problem, problem, events)


@router.get("/pack")
def pack(office: TheOffice) -> packs.Pack:
    """What is said of the pack that was made last."""
    packs.given(office)
    found = packs.kept(office)
    if found is None:
        raise HTTPException(409, "The pack is being written: ask again in a moment.")
    return found


@router.get("/pack/file", response_class=FileResponse, responses=of_type("application/zip"))
def pack_file(office: TheOffice, known: WhatIsKnown) -> Response:
    """The pack as one zip: PDF, lists, cutting files, log."""
    title = known.loaded.site.title if known.loaded else ""
    name = packs.download_name(title, "pack", "zip")
    return FileResponse(packs.given(office), media_type="application/zip", filename=name)


@router.post("/pack", status_code=202)
def make_pack(office: TheOffice, known: WhatIsKnown) -> Task:
    """Begin to make the pack; one that is being made already is given back."""
    _job(known, "shifts")
    return packs.begin(office)


def _job(known: Known, what: str) -> Job:
    if known.job is None:
        raise NotYetError(known, what, "begin the task `design`")
    return known.job

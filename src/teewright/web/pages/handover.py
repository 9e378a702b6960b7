"""What do we hand over? The state of each connection, the pack, and the log with its end."""

from collections import Counter
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, RedirectResponse, Response

from teewright.job.values import Job
from teewright.network.values import Run
from teewright.proof.values import HandoverState
from teewright.report.index import JobIndex, short
from teewright.site.chain import GENESIS
from teewright.site.values import Event
from teewright.web import packs
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks
from teewright.web.guard.roles import may
from teewright.web.office import Known, Office
from teewright.web.pages.frames import frame_of
from teewright.web.pages.proved import MARKS, Proved, judged, of_record
from teewright.web.render import page
from teewright.web.texts import text

router = APIRouter(prefix="/handover")
LEAST_HEAD = 8
"""Digits of a hash that are enough to look for it."""
_EDGE = 4.0  # room at the ends of a run, so that no mark is cut [%]


@dataclass(frozen=True, slots=True)
class Mark:
    """One connection on its run.

    Attributes:
        x: Place along the run [%].
        id: Connection.
        label: Last part of its name.
        state: Name of its state.
        low: Whether its label stands below the line.
    """

    x: float
    id: str
    label: str
    state: str
    low: bool


@dataclass(frozen=True, slots=True)
class Line:
    """One run with its connections.

    Attributes:
        run: The run.
        marks: In order of chainage.
    """

    run: Run
    marks: tuple[Mark, ...]


@router.get("")
def handover(
    request: Request, known: WhatIsKnown, office: TheOffice, asker: WhoAsks, head: str = ""
) -> Response:
    """What there is to hand over."""
    job = known.job
    pack = packs.kept(office)
    found = _all(job) if job else ()
    values = {
        "job": job,
        "problem": known.problem,
        "lines": lines(job) if job else (),
        "counts": _counts(job) if job else (),
        "open": [one for one in found if one.open],
        "closed": [one for one in found if not one.open],
        "judged": judged,
        "pack": pack,
        "current": pack is not None and packs.is_current(pack, known),
        "may_make": may(asker, "POST", "/handover/pack"),
        "task": office.tasks.to_show(packs.NAME),
        "working": office.tasks.running(packs.NAME) is not None,
        "log": _log(office, job),
        "head": head,
        "compared": compared(job.events if job else (), head) if head.strip() else "",
    }
    frame = frame_of(known, "handover", answer(known))
    return page(request, "handover.html", values, frame=frame)


@router.post("/pack")
def make_pack(known: WhatIsKnown, office: TheOffice) -> RedirectResponse:
    """Begin to make the pack."""
    if known.job is not None:
        packs.begin(office)
    return RedirectResponse("/handover", status_code=303)


@router.get("/pack.zip")
def pack_file(known: WhatIsKnown, office: TheOffice) -> FileResponse:
    """The pack."""
    title = known.loaded.site.title if known.loaded else ""
    name = packs.download_name(title, "pack", "zip")
    return FileResponse(packs.given(office), media_type="application/zip", filename=name)


@router.get("/log.json")
def log_file(known: WhatIsKnown, office: TheOffice) -> Response:
    """The log with its end; a damaged one is given as it is."""
    events = office.desk.ask(lambda project: project.events(checked=False))
    title = known.loaded.site.title if known.loaded else ""
    name = packs.download_name(title, "log", "json")
    return Response(
        packs.log_bytes(events),
        media_type="application/json",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def answer(known: Known) -> str:
    """What can be handed over, one sentence."""
    if known.job is None:
        return text("handover.answer_unplanned")
    records = known.job.records
    tight = sum(r.state is HandoverState.TIGHT and not r.open_points for r in records)
    waits = sum(bool(r.open_points) for r in records)
    planned = sum(r.state is HandoverState.PLANNED for r in records)
    if not waits and not planned:
        return text("handover.answer_all", n=len(records))
    if len(records) == 1 and not waits:
        return text("handover.answer_single")
    key = "handover.answer" if waits else "handover.answer_closed"
    return text(key, n=waits, tight=tight, all=len(records))


def lines(job: Job) -> tuple[Line, ...]:
    """Every run that has connections, with their states at their places."""
    index = JobIndex(job)
    found = []
    for run in job.survey.runs:
        connections = job.survey.of_run(run.id)
        if connections:
            length = index.length(run)
            marks = tuple(
                Mark(
                    x=_EDGE + (100.0 - 2.0 * _EDGE) * min(max(c.chainage / length, 0.0), 1.0),
                    id=c.id,
                    label=short(c.id),
                    state=MARKS[index.records[c.id].state],
                    low=number % 2 == 1,
                )
                for number, c in enumerate(connections)
            )
            found.append(Line(run, marks))
    return tuple(found)


def compared(events: tuple[Event, ...], noted: str) -> str:
    """What a hash that was noted elsewhere, on a printed pack for instance, says of the log.

    Args:
        events: The log, verified.
        noted: Its first digits, as they were typed.
    """
    wanted = "".join(noted.split()).lower()
    if len(wanted) < LEAST_HEAD or not set(wanted) <= set("0123456789abcdef"):
        return text("handover.head_none", least=LEAST_HEAD)
    at = [n for n, event in enumerate(events, start=1) if event.hash.startswith(wanted)]
    if not at and GENESIS.startswith(wanted):
        return text("handover.head_empty", later=len(events))
    if not at:
        return text("handover.head_unknown")
    return text("handover.head_found", number=at[0], later=len(events) - at[0])


def _all(job: Job) -> tuple[Proved, ...]:
    index = JobIndex(job)
    return tuple(of_record(index, record) for record in job.records)


def _counts(job: Job) -> tuple[tuple[str, int], ...]:
    """(state, how many), in the order of the states."""
    found = Counter(record.state for record in job.records)
    return tuple((MARKS[state], found[state]) for state in HandoverState if found[state])


def _log(office: Office, job: Job | None) -> tuple[int, str]:
    """Entries and end of the log."""
    if job is not None:
        return len(job.events), packs.head_of(job.events)
    state = office.desk.ask(lambda project: project.log_state())
    return state.count, state.head

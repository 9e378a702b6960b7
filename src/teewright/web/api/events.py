"""What happened on site: devices send it, and ask what others sent.

Each event has an id that its device made, so sending it again does no harm. What can be read is
kept, in whatever order it was done: what happened, happened, and the state of the installation
tells what broke the order of work.
"""

from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response, UploadFile
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException

from teewright.bench.taking import KINDS_OF_FILE, draft_of_sent, from_file, project_key, take
from teewright.errors import InputError, TamperedError
from teewright.formats.json_values import plain
from teewright.site.chain import Draft
from teewright.site.corrections import TARGET
from teewright.site.decisions import DECISION
from teewright.store.attachments import attachment
from teewright.store.log import known, log_state, since
from teewright.store.project import Project
from teewright.web.api.refusals import of_type
from teewright.web.asked import TheOffice
from teewright.web.guard.roles import Asker, may_not_log
from teewright.web.texts import text

router = APIRouter(tags=["events"])
MOST = 500
"""Most events in one request, and in one answer."""
TOGETHER = 100
"""Events of a file that are kept in one commit."""


class Sent(BaseModel):
    """Events of one device or of a file that one wrote.

    Each is a `SentEvent`; they are judged one by one, so one that cannot be read does not hold
    back the rest.
    """

    project: Annotated[str, Field(description="Key of the project, or empty for any.")] = ""
    events: Annotated[list[dict[str, Any]], Field(max_length=MOST)]


class Kept(BaseModel):
    """What became of one event.

    `ordinal` and `recorded` are null where it was refused; then `said` is why, one sentence, and
    `status` is 409 where its id belongs to another event, else 422 or 403.
    """

    id: str
    kept: bool
    ordinal: int | None = None
    recorded: str | None = None
    status: int = 200
    said: str = ""


class Answered(BaseModel):
    """What became of each event, in the order in which they were sent."""

    project: str
    server_time: str
    answers: list[Kept]


class AnsweredFile(Answered):
    """What became of a file: `whole` is false where it was cut off, `said` is then what is lost."""

    whole: bool
    said: str


class Logged(BaseModel):
    """Events after an ordinal; `last` is the last of the whole log, `head` its hash."""

    project: str
    server_time: str
    csrf: str
    last: int
    head: str
    events: list[dict[str, Any]]


def server_time() -> str:
    """The server's clock, as it is written."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


@router.post("/events")
def send(sent: Sent, request: Request, office: TheOffice) -> Answered:
    """Keep events: what is answered as kept is on the disk."""
    asker: Asker | None = getattr(request.state, "person", None)

    def act(project: Project) -> Answered:
        key = project_key(project)
        if sent.project and sent.project != key:
            raise HTTPException(409, text("clock.other_project"))
        answers = [_kept(project, given, asker) for given in sent.events]
        return Answered(project=key, server_time=server_time(), answers=answers)

    return office.desk.write(act)


@router.post("/events/file")
def send_file(file: UploadFile, request: Request, office: TheOffice) -> AnsweredFile:
    """Keep the events of a file that a tablet or a server saved; one that was cut off as well."""
    data = file.file.read(office.settings.largest_upload)
    found = from_file(data, file=file.filename or "")
    answers: list[Kept] = []
    for at in range(0, max(1, len(found.events)), TOGETHER):
        part = list(found.events[at : at + TOGETHER])
        answered = send(Sent(project=found.project, events=part), request, office)
        answers += answered.answers
    return AnsweredFile(
        project=answered.project,
        server_time=answered.server_time,
        answers=answers,
        whole=found.whole,
        said=found.said,
    )


@router.get("/events")
def events(
    request: Request, office: TheOffice, after: Annotated[int, Query(ge=0, lt=2**53)] = 0
) -> Logged:
    """Events that were stored after an ordinal, in order; at most 500, so ask again."""

    def act(project: Project) -> Logged:
        with project.reading() as connection:
            state, found = log_state(connection), since(connection, after)[:MOST]
        return Logged(
            project=project_key(project),
            server_time=server_time(),
            csrf=getattr(request.state, "csrf", ""),
            last=state.count,
            head=state.head,
            events=[{"ordinal": ordinal, **plain(event)} for ordinal, event in found],
        )

    return office.desk.ask(act)


@router.get("/attachments/{sha256}", responses=of_type(*KINDS_OF_FILE), response_class=Response)
def file(sha256: str, office: TheOffice) -> Response:
    """A photo or a file by its SHA-256."""
    found = office.desk.ask(lambda project: attachment(project, sha256))
    place = "inline" if found.media_type.startswith("image/") else "attachment"
    headers = {"Content-Disposition": place}  # no browser keeps it: the tablet goes round
    return Response(found.data, media_type=found.media_type, headers=headers)


def _kept(project: Project, given: dict[str, Any], asker: Asker | None) -> Kept:
    """What becomes of one event, in a transaction of its own, its files with it."""
    name = str(given.get("id", ""))[:200].encode("utf-8", "replace").decode()
    try:
        draft, files = draft_of_sent(given)
        if asker is not None and (said := _not_theirs(project, draft, asker)):
            return Kept(id=name, kept=False, status=403, said=said)
        who = asker.name if asker is not None and asker.signed_in else ""
        event, ordinal = take(project, draft, files, signed_in=who)
    except TamperedError as error:  # of what is stored: it must not hold back the others
        return Kept(id=name, kept=False, status=409, said=str(error))
    except InputError as error:
        status = 409 if error.field == "id" and "another event" in error.problem else 422
        return Kept(id=name, kept=False, status=status, said=f"{error}.")
    return Kept(id=name, kept=True, ordinal=ordinal, recorded=event.recorded.isoformat())


def _not_theirs(project: Project, draft: Draft, asker: Asker) -> str:
    """Why someone may not log an event, one sentence, or "".

    Who may not log a thing may not correct it either, nor take it back.
    """
    role, data = asker.role.value, dict(draft.data)
    if may_not_log(asker, (draft.kind,)):
        return text("clock.not_yours", role=role, kind=draft.kind.value)
    with project.reading() as connection:
        if known(connection, draft.id) is not None:
            return ""  # it is kept already, and sent once more
        target = known(connection, data.get(TARGET, ""))
    decision = DECISION in data or (target is not None and DECISION in dict(target.data))
    if decision and not asker.decides:
        return text("guard.decision", role=role)
    if target is not None and may_not_log(asker, (target.kind,)):
        return text("clock.not_yours_to_correct", role=role, kind=target.kind.value)
    return ""

"""What happened on site: devices send it, and ask what others sent.

Each event has an id that its device made, so sending it again does no harm. What can be read is
kept, in whatever order it was done: what happened, happened, and the state of the installation
tells what broke the order of work.
"""

import base64
import binascii
import hashlib
from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.exceptions import HTTPException

from teewright.errors import InputError, UnknownNameError
from teewright.formats.json_values import plain
from teewright.site.chain import Draft
from teewright.site.corrections import correction_time
from teewright.site.fields import check_fields
from teewright.site.values import Event, EventKind
from teewright.store.attachments import attach, attachment
from teewright.store.log import log_state, ordinal_of, since
from teewright.store.project import Project
from teewright.web.api.refusals import of_type
from teewright.web.asked import TheOffice
from teewright.web.guard.roles import Asker, may_not_log
from teewright.web.texts import text

router = APIRouter(tags=["events"])
ATTACHED = ("photo", "readings_file")
"""Values of an event that name an attachment by its SHA-256."""
KINDS_OF_FILE = ("image/jpeg", "image/png", "image/webp", "text/csv")
"""Media types of attachments."""
LARGEST = 8 * 2**20
"""Largest attachment [bytes]."""
MOST = 500
"""Most events in one request, and in one answer."""
YEARS = range(1990, 2200)
Name = Annotated[str, Field(min_length=1, max_length=200)]


class SentFile(BaseModel):
    """A photo or a file that an event names by its SHA-256 under `photo` or `readings_file`."""

    model_config = ConfigDict(extra="forbid")
    sha256: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    media_type: str
    data: Annotated[str, Field(description="Base64 of the bytes.")]


class SentEvent(BaseModel):
    """An event as its device made it; times in ISO 8601 with offset, numbers in SI units."""

    model_config = ConfigDict(extra="forbid")
    id: Name
    installation: Name
    kind: EventKind
    at: str
    device: Name
    sequence: Annotated[int, Field(ge=1, lt=2**53)]
    person: Name
    data: Annotated[
        list[tuple[Annotated[str, Field(max_length=60)], Annotated[str, Field(max_length=2000)]]],
        Field(max_length=60),
    ] = []
    attachments: Annotated[list[SentFile], Field(max_length=8)] = []


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


def project_key(project: Project) -> str:
    """A short name that no other project has: a device sends its events to that one alone."""
    return hashlib.sha256(project.about().created.isoformat().encode()).hexdigest()[:16]


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
    return Response(
        found.data,
        media_type=found.media_type,
        headers={
            "Content-Disposition": place,
            "Cache-Control": "private, max-age=31536000, immutable",
        },
    )


def draft_of_sent(given: dict[str, Any]) -> tuple[Draft, list[SentFile]]:
    """An event from its JSON, and what is attached to it.

    Raises:
        InputError: A field is missing or is not what it should be.
    """
    try:
        sent = SentEvent.model_validate(given)
    except ValidationError as error:
        first = error.errors()[0]
        field = ".".join(str(part) for part in first["loc"])
        raise InputError(f"does not fit ({first['msg']})", field=field or "event") from error
    at = correction_time(sent.at)
    if at.year not in YEARS:
        raise InputError("is not a time of work", field="at", value=sent.at, allowed="1990 to 2199")
    draft = Draft(
        id=sent.id,
        installation=sent.installation,
        kind=sent.kind,
        at=at,
        device=sent.device,
        sequence=sent.sequence,
        person=sent.person,
        data=tuple(sent.data),
    )
    check_fields(draft)
    return draft, sent.attachments


def _kept(project: Project, given: dict[str, Any], asker: Asker | None) -> Kept:
    """One event in a transaction of its own, its files with it."""
    name = str(given.get("id", ""))[:200].encode("utf-8", "replace").decode()
    try:
        draft, files = draft_of_sent(given)
        if asker is not None and may_not_log(asker, (draft.kind,)):
            said = text("clock.not_yours", role=asker.role.value, kind=draft.kind.value)
            return Kept(id=name, kept=False, status=403, said=said)
        with project.transaction():
            for sent in files:
                attach(project, _checked_bytes(sent, draft), media_type=sent.media_type)
            _check_named(project, draft)
            event = project.record(draft)
            with project.reading() as connection:
                ordinal = ordinal_of(connection, event.id)
    except InputError as error:
        status = 409 if error.field == "id" and "another event" in error.problem else 422
        return Kept(id=name, kept=False, status=status, said=f"{error}.")
    return Kept(id=name, kept=True, ordinal=ordinal, recorded=_written(event))


def _written(event: Event) -> str:
    return event.recorded.isoformat()


def _checked_bytes(sent: SentFile, draft: Draft) -> bytes:
    short = sent.sha256[:12]
    try:
        data = base64.b64decode(sent.data, validate=True)
    except binascii.Error as error:
        raise InputError("is not base64", field="attachment", value=short) from error
    if sent.media_type not in KINDS_OF_FILE:
        raise InputError(
            "is not kept",
            field="media_type",
            value=sent.media_type,
            allowed=", ".join(KINDS_OF_FILE),
        )
    if len(data) > LARGEST:
        allowed = f"at most {LARGEST // 2**20} MiB"
        raise InputError("is too large", field="attachment", value=short, allowed=allowed)
    if hashlib.sha256(data).hexdigest() != sent.sha256:
        raise InputError("does not have that hash", field="attachment", value=short)
    if (sent.sha256) not in {value for name, value in draft.data if name in ATTACHED}:
        allowed = " or ".join(f"`{name}`" for name in ATTACHED)
        raise InputError(
            "is not named by its event", field="attachment", value=short, allowed=allowed
        )
    return data


def _check_named(project: Project, draft: Draft) -> None:
    for name, value in draft.data:
        if name in ATTACHED:
            try:
                attachment(project, value)
            except UnknownNameError as error:
                raise InputError(
                    "names a file that was not sent with the event", field=name, value=value[:12]
                ) from error

"""Events as devices and their files tell them, into the log of a project.

Each event has an id that its device made, so taking it again does no harm. What can be read is
kept, in whatever order it was done; the state of the installation tells what broke the order.
"""

import base64
import binascii
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from teewright.errors import InputError, TamperedError, UnknownNameError
from teewright.formats.json_values import plain
from teewright.formats.log_json import is_log, read_entries, read_log
from teewright.site.chain import Draft, draft_of
from teewright.site.corrections import SIGNED_IN, correction_time
from teewright.site.fields import check_fields
from teewright.site.values import Event, EventKind
from teewright.store.attachments import attach, attachment
from teewright.store.log import known, ordinal_of
from teewright.store.project import Project

ATTACHED = ("photo", "readings_file")
"""Values of an event that name an attachment by its SHA-256."""
KINDS_OF_FILE = ("image/jpeg", "image/png", "image/webp", "text/csv")
"""Media types of attachments."""
LARGEST = 8 * 2**20
"""Largest attachment [bytes]."""
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


@dataclass(frozen=True, slots=True)
class FromFile:
    """What a saved file told.

    Attributes:
        project: Key of the project to which the entries belong; empty where it is not known.
        events: Entries as `draft_of_sent` reads them, the whole ones.
        whole: Whether that is all that was saved.
        said: Why it is not, one sentence; else empty.
    """

    project: str
    events: tuple[dict[str, Any], ...]
    whole: bool
    said: str


def from_file(data: bytes, *, file: str = "") -> FromFile:
    """Events of a file that a tablet or a server saved, also where it was cut off.

    Args:
        data: The file.
        file: Its name, for the message.

    Raises:
        FileFormatError: It is no such file.
    """
    if is_log(data):
        log = read_log(data, file=file)
        drafts = tuple(dict(plain(draft_of(event))) for event in log.events)
        return FromFile("", drafts, log.whole, log.said)
    found = read_entries(data, file=file)
    return FromFile(found.project, found.events, found.whole, found.said)


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


def take(
    project: Project, draft: Draft, files: Sequence[SentFile] = (), *, signed_in: str = ""
) -> tuple[Event, int | None]:
    """Keep an event and what is attached to it, all or nothing.

    Args:
        project: Open project.
        draft: What the device reports; what it says of who was signed in is not believed.
        files: Its attachments.
        signed_in: Who was signed in when it was sent; empty where nobody must sign in.

    Returns:
        (event as it is stored, its place in the log from 1).

    Raises:
        InputError: Its id belongs to another event, or an attachment does not fit.
    """
    with project.transaction():
        for sent in files:
            attach(project, _checked_bytes(sent, draft), media_type=sent.media_type)
        _check_named(project, draft)
        event = project.record(_signed(project, draft, signed_in))
        with project.reading() as connection:
            return event, ordinal_of(connection, event.id)


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of an entry of a file.

    Attributes:
        id: Of the entry.
        said: Why it was refused, one sentence; empty where it is kept.
    """

    id: str
    said: str


def take_all(project: Project, found: FromFile) -> tuple[Taken, ...]:
    """Keep the entries of a file, each for itself.

    Args:
        project: Open project.
        found: What the file told.

    Raises:
        InputError: They belong to another job: nothing is kept.
    """
    key = project_key(project)
    if found.project and found.project != key:
        raise InputError(
            "belongs to another job", field="project", value=found.project, allowed=key
        )
    taken = []
    for given in found.events:
        said = ""
        try:
            take(project, *draft_of_sent(given))
        except (InputError, TamperedError) as error:
            said = f"{str(error).rstrip('.')}."
        taken.append(Taken(str(given.get("id", ""))[:200], said))
    return tuple(taken)


def project_key(project: Project) -> str:
    """A short name that no other project has: a device sends its events to that one alone."""
    return hashlib.sha256(project.about().created.isoformat().encode()).hexdigest()[:16]


def _signed(project: Project, draft: Draft, signed_in: str) -> Draft:
    """The draft with who was signed in; of one that is stored already, who was at first."""
    with project.reading() as connection:
        stored = known(connection, draft.id)
    name = dict(stored.data).get(SIGNED_IN, "") if stored else signed_in
    told = tuple(pair for pair in draft.data if pair[0] != SIGNED_IN)
    return Draft(
        id=draft.id,
        installation=draft.installation,
        kind=draft.kind,
        at=draft.at,
        device=draft.device,
        sequence=draft.sequence,
        person=draft.person,
        data=(*told, (SIGNED_IN, name)) if name else told,
    )


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

"""Photos and files that belong to events; an event names one by its SHA-256.

The hash stands in the event's data and so in the chain: an attachment that is changed, or that
is missing, is found.
"""

import hashlib
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import insert, select

from teewright.errors import TamperedError, UnknownNameError
from teewright.store.project import Project
from teewright.store.schema import ATTACHMENT


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that belongs to an event.

    Attributes:
        sha256: Of its bytes, hex.
        media_type: e.g. `image/jpeg`.
        data: Its bytes as they were given.
        added: When.
    """

    sha256: str
    media_type: str
    data: bytes
    added: datetime


def attach(project: Project, data: bytes, *, media_type: str) -> str:
    """Keep a file; the same bytes again change nothing.

    Args:
        project: Open project; within its `transaction` together with the event.
        data: The bytes.
        media_type: e.g. `image/jpeg`.

    Returns:
        SHA-256 of the bytes, hex.
    """
    digest = hashlib.sha256(data).hexdigest()
    with project.writing() as connection:
        known = select(ATTACHMENT.c.sha256).where(ATTACHMENT.c.sha256 == digest)
        if connection.execute(known).one_or_none() is None:
            connection.execute(
                insert(ATTACHMENT).values(
                    sha256=digest, media_type=media_type, data=data, added=project.now()
                )
            )
    return digest


def attachment(project: Project, sha256: str) -> Attachment:
    """A file by its hash.

    Raises:
        UnknownNameError: There is none of that hash.
        TamperedError: Its bytes are not those that were stored.
    """
    with project.reading() as connection:
        row = connection.execute(
            select(ATTACHMENT).where(ATTACHMENT.c.sha256 == sha256)
        ).one_or_none()
    if row is None:
        raise UnknownNameError("is not kept", field="attachment", value=sha256[:12])
    if hashlib.sha256(row.data).hexdigest() != sha256:
        raise TamperedError(f"Attachment {sha256[:12]} was changed after it was stored.")
    return Attachment(row.sha256, row.media_type, row.data, datetime.fromisoformat(row.added))

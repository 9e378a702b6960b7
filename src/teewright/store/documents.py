"""Originals as they were given, each version kept."""

import hashlib
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, RowMapping, func, insert, select, update

from teewright.errors import InputError, TamperedError, UnknownNameError
from teewright.store.schema import DOCUMENT, KINDS


@dataclass(frozen=True, slots=True)
class Document:
    """A file that was read into the project.

    Attributes:
        kind: `survey`, `kit`, `site` or `option`.
        name: Name of the file, or of the option.
        version: From 1; the highest counts.
        sha256: Of the bytes, hex.
        data: The bytes as they were given.
        added: When.
    """

    kind: str
    name: str
    version: int
    sha256: str
    data: bytes
    added: datetime


def add(connection: Connection, kind: str, name: str, data: bytes, *, now: datetime) -> Document:
    """Add a document or a new version of it; the same bytes again change nothing."""
    if kind not in KINDS:
        raise InputError("is no kind of document", field="kind", value=kind, allowed=str(KINDS))
    if not name:
        raise InputError("is empty", field="name", allowed="the name of the document")
    before = _latest(connection, kind, name)
    digest = hashlib.sha256(data).hexdigest()
    if before is not None and before["removed"] is None and before["sha256"] == digest:
        return _document(before)
    version = 1 if before is None else before["version"] + 1
    connection.execute(
        insert(DOCUMENT).values(
            kind=kind,
            name=name,
            version=version,
            sha256=digest,
            data=data,
            added=now.isoformat(),
        )
    )
    return Document(kind, name, version, digest, data, now)


def remove(connection: Connection, kind: str, name: str, *, now: datetime) -> None:
    """Take a document out; its bytes stay in the file as history."""
    before = _latest(connection, kind, name)
    if before is None or before["removed"] is not None:
        names = ", ".join(document.name for document in current(connection, kind))
        raise UnknownNameError(
            f"is no {kind} of the project", field="name", value=name, allowed=names or "none"
        )
    connection.execute(
        update(DOCUMENT).where(DOCUMENT.c.id == before["id"]).values(removed=now.isoformat())
    )


def current(connection: Connection, kind: str | None = None) -> tuple[Document, ...]:
    """Latest version of each document that was not removed, in the order of first addition."""
    newest = select(
        func.max(DOCUMENT.c.id).label("last"), func.min(DOCUMENT.c.id).label("first")
    ).group_by(DOCUMENT.c.kind, DOCUMENT.c.name)
    ranked = newest.subquery()
    query = (
        select(DOCUMENT)
        .join(ranked, DOCUMENT.c.id == ranked.c.last)
        .where(DOCUMENT.c.removed.is_(None))
        .order_by(ranked.c.first)
    )
    if kind is not None:
        query = query.where(DOCUMENT.c.kind == kind)
    return tuple(_document(row) for row in connection.execute(query).mappings())


def before(connection: Connection, kind: str, name: str) -> Document | None:
    """What counted before the last change of a document, or None where nothing did.

    It is the version before its last one, or its last one where it was taken out.
    """
    latest = _latest(connection, kind, name)
    if latest is None:
        return None
    if latest["removed"] is not None:
        return _document(latest)
    query = select(DOCUMENT).where(
        DOCUMENT.c.kind == kind,
        DOCUMENT.c.name == name,
        DOCUMENT.c.version == latest["version"] - 1,
    )
    row = connection.execute(query).mappings().one_or_none()
    return None if row is None else _document(row)


def version(connection: Connection, kind: str, name: str, number: int) -> Document | None:
    """One version of a document, whether it counts or not; None where there is none."""
    query = select(DOCUMENT).where(
        DOCUMENT.c.kind == kind, DOCUMENT.c.name == name, DOCUMENT.c.version == number
    )
    row = connection.execute(query).mappings().one_or_none()
    return None if row is None else _document(row)


def state(connection: Connection) -> str:
    """Another text after each change of what counts; found without reading any bytes."""
    query = select(
        func.max(DOCUMENT.c.id), func.count(DOCUMENT.c.removed), func.max(DOCUMENT.c.removed)
    )
    return " ".join(str(value) for value in connection.execute(query).one())


def removed(connection: Connection) -> tuple[tuple[str, str], ...]:
    """(kind, name) of each document that was taken out, the last one first."""
    newest = select(func.max(DOCUMENT.c.id)).group_by(DOCUMENT.c.kind, DOCUMENT.c.name)
    query = (
        select(DOCUMENT.c.kind, DOCUMENT.c.name)
        .where(DOCUMENT.c.id.in_(newest), DOCUMENT.c.removed.is_not(None))
        .order_by(DOCUMENT.c.removed.desc())
    )
    return tuple((row.kind, row.name) for row in connection.execute(query))


def _latest(connection: Connection, kind: str, name: str) -> RowMapping | None:
    query = select(DOCUMENT).where(DOCUMENT.c.kind == kind, DOCUMENT.c.name == name)
    newest_first = query.order_by(DOCUMENT.c.version.desc()).limit(1)
    return connection.execute(newest_first).mappings().one_or_none()


def _document(row: RowMapping) -> Document:
    data: bytes = row["data"]
    if hashlib.sha256(data).hexdigest() != row["sha256"]:
        raise TamperedError(f"Document {row['name']} was changed after it was stored.")
    return Document(
        kind=row["kind"],
        name=row["name"],
        version=row["version"],
        sha256=row["sha256"],
        data=data,
        added=datetime.fromisoformat(row["added"]),
    )

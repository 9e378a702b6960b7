"""People who may sign in, and their sessions.

Secrets come here already hashed; of a session only the SHA-256 of its token is kept, so that
who reads the file cannot sign in with what stands in it.
"""

import uuid
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import delete, insert, select, update

from teewright.errors import InputError, UnknownNameError
from teewright.store.project import Project
from teewright.store.schema import PERSON, ROLES, SESSION


@dataclass(frozen=True, slots=True)
class Person:
    """Someone who may sign in.

    Attributes:
        id: UUID.
        name: Short name or initials, unique in the project.
        role: `engineer`, `crew`, `inspector` or `client`.
        secret: Hash of the password, as its hasher wrote it.
    """

    id: str
    name: str
    role: str
    secret: str


def add_person(project: Project, name: str, role: str, secret: str) -> Person:
    """Let someone sign in.

    Args:
        project: Open project.
        name: Short name or initials.
        role: `engineer`, `crew`, `inspector` or `client`.
        secret: Hash of the password.

    Raises:
        InputError: The name is empty or taken, or there is no such role.
    """
    wanted = " ".join(name.split())
    if not wanted:
        raise InputError("is empty", field="name", allowed="a short name or initials")
    if role not in ROLES:
        raise InputError("is no role", field="role", value=role, allowed=", ".join(ROLES))
    person = Person(str(uuid.uuid4()), wanted, role, secret)
    with project.writing() as connection:
        taken = select(PERSON.c.id).where(PERSON.c.name == wanted)
        if connection.execute(taken).one_or_none() is not None:
            raise InputError("is taken", field="name", value=wanted, allowed="another name")
        connection.execute(
            insert(PERSON).values(
                id=person.id, name=wanted, role=role, secret=secret, added=project.now()
            )
        )
    return person


def people(project: Project) -> tuple[Person, ...]:
    """Those who may sign in, by name."""
    wanted = select(PERSON).where(PERSON.c.removed.is_(None)).order_by(PERSON.c.name)
    with project.reading() as connection:
        rows = connection.execute(wanted).all()
    return tuple(Person(row.id, row.name, row.role, row.secret) for row in rows)


def person_named(project: Project, name: str) -> Person | None:
    """Who signs in under a name, or None."""
    return {person.name: person for person in people(project)}.get(" ".join(name.split()))


def remove_person(project: Project, name: str) -> None:
    """Let someone sign in no longer; the name stays taken and the sessions end.

    Raises:
        UnknownNameError: There is none of that name.
    """
    with project.transaction(), project.writing() as connection:
        person = _known(project, name)
        connection.execute(delete(SESSION).where(SESSION.c.person == person.id))
        connection.execute(
            update(PERSON).where(PERSON.c.id == person.id).values(removed=project.now())
        )


def change_secret(project: Project, name: str, secret: str, *, keep_sessions: bool = False) -> None:
    """Give someone another password.

    Args:
        project: Open project.
        name: Whose.
        secret: Hash of the new password.
        keep_sessions: Whether sessions under way go on; else they end.

    Raises:
        UnknownNameError: There is none of that name.
    """
    with project.transaction(), project.writing() as connection:
        person = _known(project, name)
        if not keep_sessions:
            connection.execute(delete(SESSION).where(SESSION.c.person == person.id))
        connection.execute(update(PERSON).where(PERSON.c.id == person.id).values(secret=secret))


def _known(project: Project, name: str) -> Person:
    person = person_named(project, name)
    if person is None:
        known = ", ".join(p.name for p in people(project)) or "none"
        raise UnknownNameError("is not known", field="name", value=name, allowed=known)
    return person


def open_session(project: Project, person: Person, token_sha256: str, *, lasts: timedelta) -> None:
    """Begin a session; those that are over are cleared away.

    Args:
        project: Open project.
        person: Whose.
        token_sha256: SHA-256 of the token that the browser holds, hex.
        lasts: How long it is good for.
    """
    now = project.now()
    expires = (datetime.fromisoformat(now) + lasts).isoformat()
    with project.writing() as connection:
        connection.execute(delete(SESSION).where(SESSION.c.expires <= now))
        connection.execute(
            insert(SESSION).values(
                token_sha256=token_sha256, person=person.id, created=now, expires=expires
            )
        )


def session_person(project: Project, token_sha256: str) -> Person | None:
    """Whose session a token is, or None where it is not known or over."""
    wanted = (
        select(PERSON, SESSION.c.expires)
        .join(SESSION, SESSION.c.person == PERSON.c.id)
        .where(SESSION.c.token_sha256 == token_sha256, PERSON.c.removed.is_(None))
    )
    with project.reading() as connection:
        row = connection.execute(wanted).one_or_none()
    now = datetime.fromisoformat(project.now())
    if row is None or datetime.fromisoformat(row.expires) <= now:
        return None
    return Person(row.id, row.name, row.role, row.secret)


def end_session(project: Project, token_sha256: str) -> None:
    """End a session; one that is not there changes nothing."""
    with project.writing() as connection:
        connection.execute(delete(SESSION).where(SESSION.c.token_sha256 == token_sha256))

"""People who may sign in.

Secrets come here already hashed. A project with an engineer always keeps one, so that someone can
let others in.
"""

import unicodedata
import uuid
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, delete, insert, select, update

from teewright.errors import InputError, UnknownNameError
from teewright.store.project import Project
from teewright.store.schema import PERSON, ROLES, SESSION, SIGNED_IN

ENGINEER = ROLES[0]
LONGEST_NAME = 60
"""Characters of a name."""


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


@dataclass(frozen=True, slots=True)
class Listed:
    """What may be shown of someone who may sign in.

    Attributes:
        id: UUID.
        name: Short name or initials, unique in the project.
        role: `engineer`, `crew`, `inspector` or `client`.
        added: When.
        signed_in: When last, or None.
    """

    id: str
    name: str
    role: str
    added: datetime
    signed_in: datetime | None


def add_person(project: Project, name: str, role: str, secret: str) -> Person:
    """Let someone sign in.

    Args:
        project: Open project.
        name: Short name or initials.
        role: `engineer`, `crew`, `inspector` or `client`.
        secret: Hash of the password.

    Raises:
        InputError: The name is none or taken, or there is no such role.
    """
    person = Person(str(uuid.uuid4()), new_name(name), known_role(role), secret)
    with project.transaction(), project.writing() as connection:
        _check_free(connection, person.name)
        connection.execute(
            insert(PERSON).values(
                id=person.id, name=person.name, role=role, secret=secret, added=project.now()
            )
        )
    return person


def people(project: Project) -> tuple[Person, ...]:
    """Those who may sign in, by name."""
    wanted = select(PERSON).where(PERSON.c.removed.is_(None)).order_by(PERSON.c.name)
    with project.reading() as connection:
        rows = connection.execute(wanted).all()
    return tuple(Person(row.id, row.name, row.role, row.secret) for row in rows)


def listed(project: Project) -> tuple[Listed, ...]:
    """Those who may sign in as they may be shown, by name."""
    wanted = (
        select(PERSON, SIGNED_IN.c.at)
        .outerjoin(SIGNED_IN, SIGNED_IN.c.person == PERSON.c.id)
        .where(PERSON.c.removed.is_(None))
        .order_by(PERSON.c.name)
    )
    with project.reading() as connection:
        rows = connection.execute(wanted).all()
    return tuple(
        Listed(row.id, row.name, row.role, datetime.fromisoformat(row.added), _time(row.at))
        for row in rows
    )


def person_named(project: Project, name: str) -> Person | None:
    """Who signs in under a name, or None."""
    return {spaced(person.name): person for person in people(project)}.get(spaced(name))


def remove_person(project: Project, name: str) -> None:
    """Let someone sign in no longer; the name stays taken and the sessions end.

    Raises:
        UnknownNameError: There is none of that name.
        InputError: It is the last engineer.
    """
    with project.transaction(), project.writing() as connection:
        person = _known(project, name)
        _keep_an_engineer(project, person)
        _end_sessions(connection, person)
        connection.execute(
            update(PERSON).where(PERSON.c.id == person.id).values(removed=project.now())
        )


def change_role(project: Project, name: str, role: str) -> None:
    """Let someone be something else; sessions under way go on with the new role.

    Raises:
        UnknownNameError: There is none of that name.
        InputError: There is no such role, or it is the last engineer.
    """
    known_role(role)
    with project.transaction(), project.writing() as connection:
        person = _known(project, name)
        if role != ENGINEER:
            _keep_an_engineer(project, person)
        connection.execute(update(PERSON).where(PERSON.c.id == person.id).values(role=role))


def change_secret(project: Project, name: str, secret: str) -> None:
    """Give someone another password; the sessions end.

    Raises:
        UnknownNameError: There is none of that name.
    """
    with project.transaction(), project.writing() as connection:
        person = _known(project, name)
        _end_sessions(connection, person)
        connection.execute(update(PERSON).where(PERSON.c.id == person.id).values(secret=secret))


def change_own_secret(project: Project, person: Person, secret: str) -> bool:
    """Give someone the other password that was asked for with the present one; the sessions end.

    Args:
        project: Open project.
        person: Whose, as read when the present password was checked.
        secret: Hash of the other password.

    Returns:
        False, and nothing is changed, where the person was removed or given another password since.
    """
    same = (PERSON.c.id == person.id, PERSON.c.secret == person.secret, PERSON.c.removed.is_(None))
    with project.transaction(), project.writing() as connection:
        if connection.execute(update(PERSON).where(*same).values(secret=secret)).rowcount == 0:
            return False
        _end_sessions(connection, person)
    return True


def renew_secret(project: Project, person: Person, secret: str) -> None:
    """Keep another hash of the same password; sessions go on.

    One that was changed since the person was read stays as it is.
    """
    with project.writing() as connection:
        same = (PERSON.c.id == person.id, PERSON.c.secret == person.secret)
        connection.execute(update(PERSON).where(*same).values(secret=secret))


def new_name(name: str) -> str:
    """A name as it is kept.

    Raises:
        InputError: It is empty, too long, or has characters that cannot be seen.
    """
    wanted = spaced(name)
    if not wanted:
        raise InputError("is empty", field="name", allowed="a short name or initials")
    if len(wanted) > LONGEST_NAME or not wanted.isprintable():
        allowed = f"at most {LONGEST_NAME} characters, all of which can be seen"
        raise InputError("cannot be a name", field="name", value=wanted, allowed=allowed)
    return wanted


def known_role(role: str) -> str:
    """A role.

    Raises:
        InputError: There is no such role.
    """
    if role not in ROLES:
        raise InputError("is no role", field="role", value=role, allowed=", ".join(ROLES))
    return role


def spaced(name: str) -> str:
    """A name as it is compared: composed alike whatever the keyboard, with single spaces."""
    return " ".join(unicodedata.normalize("NFC", name).split())


def _check_free(connection: Connection, name: str) -> None:
    """Names stand in the log for good, and two that differ only in case are taken for one."""
    rows = connection.execute(select(PERSON.c.name, PERSON.c.removed)).all()
    taken = next((row for row in rows if row.name.casefold() == name.casefold()), None)
    if taken is None:
        return
    problem = "is taken"
    if taken.removed is not None:
        problem = "is taken by someone who was removed and whose name stays in the log"
    raise InputError(problem, field="name", value=name, allowed="another name")


def _keep_an_engineer(project: Project, person: Person) -> None:
    others = (p for p in people(project) if p.id != person.id)
    if person.role == ENGINEER and not any(p.role == ENGINEER for p in others):
        raise InputError(
            "is the last engineer: without one nobody could let others sign in",
            field="name",
            value=person.name,
            allowed="after another person has been made engineer",
        )


def _end_sessions(connection: Connection, person: Person) -> None:
    connection.execute(delete(SESSION).where(SESSION.c.person == person.id))


def _known(project: Project, name: str) -> Person:
    person = person_named(project, name)
    if person is None:
        known = ", ".join(p.name for p in people(project)) or "none"
        raise UnknownNameError("is not known", field="name", value=name, allowed=known)
    return person


def _time(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)

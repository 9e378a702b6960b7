"""Sessions of people who signed in.

Of a session only the SHA-256 of its token is kept, so that who reads the file cannot sign in with
what stands in it.
"""

from datetime import datetime, timedelta

from sqlalchemy import delete, insert, select
from sqlalchemy.dialects.sqlite import insert as upsert

from teewright.store.people import Person
from teewright.store.project import Project
from teewright.store.schema import PERSON, SESSION, SIGNED_IN


def open_session(project: Project, person: Person, token_sha256: str, *, lasts: timedelta) -> bool:
    """Begin a session; those that are over are cleared away.

    Args:
        project: Open project.
        person: Whose, as read when the password was checked.
        token_sha256: SHA-256 of the token that the browser holds, hex.
        lasts: How long it is good for.

    Returns:
        False, and nothing is begun, where the person was removed or given another password since.
    """
    now = project.now()
    expires = (datetime.fromisoformat(now) + lasts).isoformat()
    same = (PERSON.c.id == person.id, PERSON.c.secret == person.secret, PERSON.c.removed.is_(None))
    with project.transaction(), project.writing() as connection:
        if connection.execute(select(PERSON.c.id).where(*same)).one_or_none() is None:
            return False
        connection.execute(delete(SESSION).where(SESSION.c.expires <= now))
        connection.execute(
            insert(SESSION).values(
                token_sha256=token_sha256, person=person.id, created=now, expires=expires
            )
        )
        last = upsert(SIGNED_IN).values(person=person.id, at=now)
        connection.execute(last.on_conflict_do_update(["person"], set_={"at": now}))
    return True


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

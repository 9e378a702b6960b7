"""Who may sign in, changed by the pages and by programs alike."""

from collections.abc import Callable
from dataclasses import dataclass

from teewright.errors import UnknownNameError
from teewright.store.people import (
    Listed,
    add_person,
    change_role,
    change_secret,
    known_role,
    listed,
    new_name,
    remove_person,
)
from teewright.store.project import Project
from teewright.web.guard import passwords
from teewright.web.office import Office


@dataclass(frozen=True, slots=True)
class LetIn:
    """Someone with a password that may be told now.

    Attributes:
        person: Who.
        password: The one that was made; empty where it was given.
    """

    person: Listed
    password: str


def everyone(office: Office) -> tuple[Listed, ...]:
    """Those who may sign in, by name."""
    return office.desk.ask(listed)


def one(office: Office, person_id: str) -> Listed:
    """Someone by id.

    Raises:
        UnknownNameError: There is none of that id.
    """
    return office.desk.ask(lambda project: _of(project, person_id))


def named(office: Office, name: str) -> Listed:
    """Someone by name.

    Raises:
        UnknownNameError: There is none of that name (any more).
    """
    found = next((person for person in everyone(office) if person.name == name), None)
    if found is None:
        raise UnknownNameError("is not known", field="person", value=name)
    return found


def add(office: Office, name: str, role: str, password: str = "") -> LetIn:
    """Let someone sign in.

    Args:
        office: Of the project.
        name: Short name or initials.
        role: `engineer`, `crew`, `inspector` or `client`.
        password: Empty for one that is made.

    Raises:
        InputError: The name is none or taken, there is no such role, or the password is too short
            or too long.
    """
    new_name(name)
    known_role(role)
    made, secret = _secret(password)
    added = office.desk.write(lambda project: add_person(project, name, role, secret))
    return LetIn(one(office, added.id), made)


def set_password(office: Office, person_id: str, password: str = "") -> LetIn:
    """Give someone another password; the sessions end.

    Args:
        office: Of the project.
        person_id: Whose.
        password: Empty for one that is made.

    Raises:
        UnknownNameError: There is none of that id.
        InputError: The password is too short or too long.
    """
    one(office, person_id)  # before a hash is made for nobody
    made, secret = _secret(password)
    person = _changed(office, person_id, lambda p, name: change_secret(p, name, secret))
    return LetIn(person, made)


def set_role(office: Office, person_id: str, role: str) -> Listed:
    """Let someone be something else.

    Raises:
        UnknownNameError: There is none of that id.
        InputError: There is no such role, or it is the last engineer.
    """
    return _changed(office, person_id, lambda p, name: change_role(p, name, role))


def remove(office: Office, person_id: str) -> None:
    """Let someone sign in no longer; the sessions end.

    Raises:
        UnknownNameError: There is none of that id.
        InputError: It is the last engineer.
    """
    office.desk.write(lambda project: remove_person(project, _of(project, person_id).name))


def _changed(office: Office, person_id: str, act: Callable[[Project, str], None]) -> Listed:
    def write(project: Project) -> Listed:
        act(project, _of(project, person_id).name)
        return _of(project, person_id)

    return office.desk.write(write)


def _of(project: Project, person_id: str) -> Listed:
    found = next((person for person in listed(project) if person.id == person_id), None)
    if found is None:
        raise UnknownNameError("is not known", field="person", value=person_id)
    return found


def _secret(password: str) -> tuple[str, str]:
    """The password where one is made, and the hash."""
    made = "" if password else passwords.made()
    return made, passwords.hashed(password or made)

"""Who may sign in? Add someone, give another role or password, remove."""

from collections import Counter
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from teewright.errors import InputError
from teewright.store.people import ENGINEER, LONGEST_NAME, Listed
from teewright.store.schema import ROLES
from teewright.web import letting_in
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.guard.passwords import LONGEST, SHORTEST
from teewright.web.guard.roles import Role
from teewright.web.letting_in import LetIn
from teewright.web.office import Known, Office
from teewright.web.pages.frames import frame_of
from teewright.web.render import page
from teewright.web.texts import text

router = APIRouter(prefix="/people")
Words = Annotated[str, Form()]


@dataclass(frozen=True, slots=True)
class Faults:
    """What is wrong, one sentence at its field.

    Attributes:
        name: At the name.
        role: At the role.
        password: At the password.
        person: At the person as a whole.
    """

    name: str = ""
    role: str = ""
    password: str = ""
    person: str = ""


NONE = Faults()


@dataclass(frozen=True, slots=True)
class Said:
    """What became of what was sent.

    Attributes:
        done: What was done, one sentence; else empty.
        password: The one that was made, told this once.
        person: Id of the person whose form was sent; empty for the form that adds one.
        faults: What is wrong with it.
        name: As it was typed.
        role: As it was chosen.
    """

    done: str = ""
    password: str = ""
    person: str = ""
    faults: Faults = NONE
    name: str = ""
    role: str = Role.CREW


@router.get("")
def people(request: Request, known: WhatIsKnown, office: TheOffice) -> Response:
    """All who may sign in."""
    return _shown(request, known, office, Said())


@router.post("/add")
def add(
    request: Request,
    known: WhatIsKnown,
    office: TheOffice,
    name: Words = "",
    role: Words = "",
    password: Words = "",
) -> Response:
    """Let someone sign in; a password that is made is shown with the answer alone."""
    try:
        let_in = letting_in.add(office, name, role, password)
    except InputError as error:
        said = Said(faults=_fault(error), name=name, role=role)
        return _shown(request, known, office, said, status=422)
    return _shown(request, known, office, _told(let_in, "added"))


@router.post("/role")
def role(
    request: Request, known: WhatIsKnown, office: TheOffice, person: Words, role: Words
) -> Response:
    """Give someone another role."""
    try:
        letting_in.set_role(office, person, role)
    except InputError as error:
        return _refused(request, known, office, person, error)
    return RedirectResponse("/people", status_code=303)


@router.post("/password")
def password(
    request: Request, known: WhatIsKnown, office: TheOffice, person: Words, password: Words = ""
) -> Response:
    """Give someone another password; one that is made is shown with the answer alone."""
    try:
        let_in = letting_in.set_password(office, person, password)
    except InputError as error:
        return _refused(request, known, office, person, error)
    return _shown(request, known, office, _told(let_in, "changed"))


@router.post("/remove")
def remove(request: Request, known: WhatIsKnown, office: TheOffice, person: Words) -> Response:
    """Let someone sign in no longer."""
    try:
        letting_in.remove(office, person)
    except InputError as error:
        return _refused(request, known, office, person, error)
    return RedirectResponse("/people", status_code=303)


def answer(found: tuple[Listed, ...]) -> str:
    """Who may sign in, one sentence."""
    if not found:
        return text("people.answer_none")
    counts = Counter(person.role for person in found)
    roles = ", ".join(
        text("people.count", n=counts[role], role=text(f"people.role.{role}"))
        for role in ROLES
        if counts[role]
    )
    return text("people.answer", n=len(found), roles=roles)


def _shown(
    request: Request, known: Known, office: Office, said: Said, *, status: int = 200
) -> Response:
    found = letting_in.everyone(office)
    engineers = [person.id for person in found if person.role == ENGINEER]
    values = {
        "people": found,
        "last": engineers[0] if len(engineers) == 1 else "",
        "engineers": len(engineers),
        "roles": ROLES,
        "said": said,
        "file": office.settings.project.name,
        "no_faults": NONE,
        "here": not office.settings.sign_in,
        "shortest": SHORTEST,
        "longest": LONGEST,
        "longest_name": LONGEST_NAME,
    }
    frame = frame_of(known, "people", answer(found), ((text("common.rooms.people"), ""),))
    return page(request, "people.html", values, frame=frame, status=status)


def _told(let_in: LetIn, what: str) -> Said:
    key = f"people.once_{what}" if let_in.password else f"people.given_{what}"
    return Said(done=text(key, name=let_in.person.name), password=let_in.password)


def _refused(
    request: Request, known: Known, office: Office, person: str, error: InputError
) -> Response:
    found = letting_in.one(office, person)
    faults = _fault(error)
    if faults.name:  # of a person who is there it is not the name that is wrong
        faults = Faults(person=text("people.last_engineer"))
    said = Said(person=found.id, faults=faults)
    return _shown(request, known, office, said, status=422)


def _fault(error: InputError) -> Faults:
    """The sentence of an error at its field, in the words of the page."""
    if error.field == "password":
        said = text("people.password_length", shortest=SHORTEST, longest=LONGEST)
        return Faults(password=said)
    if error.field == "role":
        return Faults(role=str(error))
    words = {
        "is empty": text("people.name_empty"),
        "cannot be a name": text("people.name_long", most=LONGEST_NAME),
    }
    return Faults(name=words.get(error.problem, text("people.name_taken")))

"""Who may sign in: list, add, another role, another password, remove."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field

from teewright.store.people import Listed
from teewright.web import letting_in
from teewright.web.asked import TheOffice
from teewright.web.guard.once import keep_instead
from teewright.web.guard.roles import Role
from teewright.web.letting_in import LetIn

router = APIRouter(prefix="/people", tags=["people"])


class Password(BaseModel):
    """Another password.

    Attributes:
        password: Left out or null for one that is made.
    """

    model_config = ConfigDict(extra="forbid")
    password: str | None = Field(default=None, min_length=1)


class New(Password):
    """Someone who is to sign in.

    Attributes:
        name: Short name or initials.
        role: What the person may be.
    """

    name: str
    role: Role


class Other(BaseModel):
    """Another role.

    Attributes:
        role: What the person may be.
    """

    model_config = ConfigDict(extra="forbid")
    role: Role


@dataclass(frozen=True, slots=True)
class Told:
    """Someone who may sign in, and a password that is told once.

    Attributes:
        person: Who.
        password: The one that was made; null where it was given, and where the answer is given
            again under an `Idempotency-Key`: it is nowhere kept.
    """

    person: Listed
    password: str | None


@router.get("")
def people(office: TheOffice) -> tuple[Listed, ...]:
    """Those who may sign in, by name."""
    return letting_in.everyone(office)


@router.post("", status_code=201)
def add(new: New, request: Request, office: TheOffice) -> Told:
    """Let someone sign in."""
    return _told(request, letting_in.add(office, new.name, new.role.value, new.password or ""))


@router.put("/{person_id}/role")
def role(person_id: str, other: Other, office: TheOffice) -> Listed:
    """Give someone another role; sessions under way go on with it."""
    return letting_in.set_role(office, person_id, other.role.value)


@router.put("/{person_id}/password")
def password(person_id: str, other: Password, request: Request, office: TheOffice) -> Told:
    """Give someone another password; the sessions end."""
    return _told(request, letting_in.set_password(office, person_id, other.password or ""))


@router.delete("/{person_id}")
def remove(person_id: str, office: TheOffice) -> tuple[Listed, ...]:
    """Let someone sign in no longer; the sessions end, the name stays in the log."""
    letting_in.remove(office, person_id)
    return letting_in.everyone(office)


def _told(request: Request, let_in: LetIn) -> Told:
    told = Told(let_in.person, let_in.password or None)
    keep_instead(request, replace(told, password=None))
    return told

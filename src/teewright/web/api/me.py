"""Who asks."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, ConfigDict
from starlette.exceptions import HTTPException

from teewright.store.people import Listed
from teewright.web import letting_in
from teewright.web.asked import TheOffice, WhoAsks
from teewright.web.guard.roles import Asker
from teewright.web.guard.sessions import begun_in
from teewright.web.guard.signin import SignIn, WaitError, WrongError
from teewright.web.texts import text

router = APIRouter(prefix="/me", tags=["me"])


@dataclass(frozen=True, slots=True)
class Me:
    """Who asks, and the token that goes with what is sent.

    Attributes:
        name: Short name or initials; empty where nobody has signed in.
        role: `engineer`, `crew`, `inspector` or `client`; empty where nobody has signed in.
        signed_in: Whether by name and password.
        csrf: For the header `X-CSRF-Token`.
    """

    name: str
    role: str
    signed_in: bool
    csrf: str


class OwnPassword(BaseModel):
    """Another password of one's own.

    Attributes:
        present: As it was given.
        password: The other one.
    """

    model_config = ConfigDict(extra="forbid")
    present: str
    password: str


@router.get("")
def me(request: Request) -> Me:
    """Who asks: also answered to who is not signed in."""
    asker: Asker | None = request.state.person
    if asker is None:
        return Me("", "", signed_in=False, csrf=request.state.csrf)
    return Me(asker.name, asker.role, signed_in=asker.signed_in, csrf=request.state.csrf)


@router.put(
    "/password", responses={429: {"description": "Too many wrong passwords: wait `Retry-After`."}}
)
def password(
    given: OwnPassword, request: Request, response: Response, office: TheOffice, who: WhoAsks
) -> Listed:
    """Give oneself another password: the session goes on under another cookie, all others end."""
    if not who.signed_in:
        raise HTTPException(409, text("me.here"))
    door: SignIn = request.app.state.sign_in
    address = request.client.host if request.client else ""
    try:
        token = door.change_password(who.name, given.present, given.password, address=address)
    except WrongError as error:
        raise HTTPException(403, text("me.wrong")) from error
    except WaitError as error:
        raise HTTPException(429, str(error), headers={"Retry-After": str(error.seconds)}) from error
    begun_in(request, response, token)
    return letting_in.named(office, who.name)

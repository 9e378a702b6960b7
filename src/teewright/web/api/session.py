"""Sign in and out as a program does."""

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, ConfigDict, Field
from starlette.exceptions import HTTPException

from teewright.web.api.me import Me, me
from teewright.web.asked import TheOffice
from teewright.web.guard.sessions import begun_in, ended_in
from teewright.web.guard.signin import SignIn, WaitError, WrongError

router = APIRouter(prefix="/session", tags=["me"])


class SignedIn(BaseModel):
    """Name and password.

    Attributes:
        name: Short name or initials.
        password: As it was given.
    """

    model_config = ConfigDict(extra="forbid")
    name: str = Field(max_length=200)
    password: str


@router.post("", responses={429: {"description": "Too many wrong passwords: wait `Retry-After`."}})
def sign_in(given: SignedIn, request: Request, response: Response, office: TheOffice) -> Me:
    """Begin a session, whose token is a cookie; where nobody must sign in nothing is begun."""
    if not office.settings.sign_in:
        return me(request)
    door: SignIn = request.app.state.sign_in
    address = request.client.host if request.client else ""
    try:
        token = door.sign_in(given.name, given.password, address=address)
    except WrongError as error:
        raise HTTPException(403, str(error)) from error
    except WaitError as error:
        raise HTTPException(429, str(error), headers={"Retry-After": str(error.seconds)}) from error
    begun_in(request, response, token)
    request.state.person = request.app.state.sessions.asker(token)
    return me(request)


@router.delete("")
def sign_out(request: Request, response: Response, office: TheOffice) -> Me:
    """End the session."""
    if office.settings.sign_in:
        ended_in(request, response)
        request.state.person = None
    return me(request)

"""Who are you? Sign in and out."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from teewright.web.asked import TheOffice
from teewright.web.guard.sessions import begun_in, ended_in
from teewright.web.guard.signin import SignIn, WaitError, WrongError, local_path
from teewright.web.render import page

router = APIRouter()


@router.get("/sign-in")
def ask(request: Request, office: TheOffice, back: str = "/") -> Response:
    """Ask for name and password."""
    if not office.settings.sign_in or request.state.person is not None:
        return RedirectResponse(local_path(back), status_code=303)
    return _form(request, local_path(back))


@router.post("/sign-in")
def sign_in(
    request: Request,
    office: TheOffice,
    name: Annotated[str, Form(max_length=200)] = "",
    password: Annotated[str, Form()] = "",
    back: Annotated[str, Form()] = "/",
) -> Response:
    """Begin a session, or say why not; the name that was typed stays."""
    if not office.settings.sign_in:
        return RedirectResponse("/", status_code=303)
    door: SignIn = request.app.state.sign_in
    address = request.client.host if request.client else ""
    try:
        token = door.sign_in(name, password, address=address)
    except WrongError as error:
        return _form(request, local_path(back), name=name, said=str(error), status=403)
    except WaitError as error:
        answer = _form(request, local_path(back), name=name, said=str(error), status=429)
        answer.headers["Retry-After"] = str(error.seconds)
        return answer
    answer = RedirectResponse(local_path(back), status_code=303)
    begun_in(request, answer, token)
    return answer


@router.post("/sign-out")
def sign_out(request: Request) -> RedirectResponse:
    """End the session."""
    answer = RedirectResponse("/sign-in", status_code=303)
    ended_in(request, answer)
    return answer


def _form(
    request: Request, back: str, *, name: str = "", said: str = "", status: int = 200
) -> Response:
    values = {"back": back, "name": name, "said": said}
    return page(request, "signin.html", values, status=status)

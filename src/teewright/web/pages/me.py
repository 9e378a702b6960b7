"""Who has signed in here? What that person may do, and another password."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import Response

from teewright.errors import InputError
from teewright.web.asked import WhatIsKnown, WhoAsks
from teewright.web.guard.passwords import LONGEST, SHORTEST
from teewright.web.guard.roles import Asker
from teewright.web.guard.sessions import begun_in
from teewright.web.guard.signin import SignIn, WaitError, WrongError
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.render import page
from teewright.web.texts import text

router = APIRouter(prefix="/me")
Words = Annotated[str, Form()]


@dataclass(frozen=True, slots=True)
class Said:
    """What became of what was sent, one sentence at its place.

    Attributes:
        done: That it was done.
        present: What is wrong with the present password.
        other: What is wrong with the new one.
    """

    done: str = ""
    present: str = ""
    other: str = ""


@router.get("")
def me(request: Request, known: WhatIsKnown, who: WhoAsks) -> Response:
    """Who has signed in."""
    return _shown(request, known, who, Said())


@router.post("/password")
def password(
    request: Request,
    known: WhatIsKnown,
    who: WhoAsks,
    present: Words = "",
    other: Words = "",
    once_more: Words = "",
) -> Response:
    """Give oneself another password; the other sessions end."""
    if not who.signed_in:
        return _shown(request, known, who, Said(), status=409)
    if other != once_more:
        return _shown(request, known, who, Said(other=text("me.differs")), status=422)
    door: SignIn = request.app.state.sign_in
    address = request.client.host if request.client else ""
    try:
        token = door.change_password(who.name, present, other, address=address)
    except InputError:
        said = Said(other=text("me.length", shortest=SHORTEST, longest=LONGEST))
        return _shown(request, known, who, said, status=422)
    except WrongError:
        return _shown(request, known, who, Said(present=text("me.wrong")), status=403)
    except WaitError as error:
        answer = _shown(request, known, who, Said(present=str(error)), status=429)
        answer.headers["Retry-After"] = str(error.seconds)
        return answer
    answer = _shown(request, known, who, Said(done=text("me.done")))
    begun_in(request, answer, token)
    return answer


def _shown(
    request: Request, known: Known, who: Asker, said: Said, *, status: int = 200
) -> Response:
    values = {"said": said, "shortest": SHORTEST, "longest": LONGEST}
    answer = text("me.answer_here")
    if who.signed_in:
        answer = text("me.answer", name=who.name, role=text(f"people.role.{who.role}"))
    frame = frame_of(known, "me", answer, ((text("common.rooms.me"), ""),))
    return page(request, "me.html", values, frame=frame, status=status)

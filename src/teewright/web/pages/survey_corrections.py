"""Corrections from the pages: one form for each act, and one that takes one of them back."""

from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from pydantic import BaseModel, TypeAdapter, ValidationError

from teewright.errors import InputError
from teewright.web import correcting
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks
from teewright.web.guard.signin import local_path

router = APIRouter(prefix="/survey/corrections")
_ASKED: TypeAdapter[correcting.Asked] = TypeAdapter(correcting.Asked)
_NUMBERS = frozenset({"chainage", "clock", "diameter", "angle"})


class OneAct(BaseModel):
    """The forms of the page: each sends what its act needs."""

    act: str
    connection: str = ""
    other: str = ""
    sighting: int = 0
    field: str = ""
    value: str = ""
    run: str = ""
    why: str = ""
    back: str = "/survey"

    def asked(self) -> correcting.Asked:
        """What is asked for.

        Raises:
            InputError: It is no correction.
        """
        given: dict[str, Any] = self.model_dump(exclude_unset=True, exclude={"why", "back"})
        if self.field in _NUMBERS and _is_number(self.value):
            given["value"] = float(self.value)
        elif self.field == "lined":
            given["value"] = self.value == "yes"
        try:
            return _ASKED.validate_python(given)
        except ValidationError as error:
            first = error.errors()[0]
            name = ".".join(str(part) for part in first["loc"])
            raise InputError(f"does not fit: {first['msg']}", field=name or "act") from error


@router.post("")
def correct(
    office: TheOffice, known: WhatIsKnown, who: WhoAsks, form: Annotated[OneAct, Form()]
) -> Response:
    """Correct something and show the page again."""
    correcting.correct(office, known, [form.asked()], who=who.name, why=form.why)
    return RedirectResponse(local_path(form.back, "/survey"), status_code=303)


@router.post("/undo")
def undo(
    request: Request,
    office: TheOffice,
    back: Annotated[str, Form()] = "/survey",
    key: Annotated[str, Form()] = "",
) -> Response:
    """Take a correction back: the one with that key, else the last one."""
    taken = correcting.take_back(office, key or None)
    if request.headers.get("hx-request") == "true":
        return JSONResponse({"taken": taken is not None})
    return RedirectResponse(local_path(back, "/survey"), status_code=303)


def _is_number(words: str) -> bool:
    try:
        float(words)
    except ValueError:
        return False
    return True

"""Choices of the reader: sheet and units."""

from typing import Annotated

from fastapi import APIRouter, Form
from fastapi.responses import RedirectResponse

from teewright.web.guard.signin import local_path

router = APIRouter()
YEAR = 365 * 86400


@router.post("/choices")
def choose(
    back: Annotated[str, Form()] = "/",
    sheet: Annotated[str, Form()] = "",
    units: Annotated[str, Form()] = "",
) -> RedirectResponse:
    """Remember a choice in the browser and show the page again."""
    answer = RedirectResponse(local_path(back), status_code=303)
    if sheet in {"light", "night"}:
        answer.set_cookie("sheet", sheet, max_age=YEAR, samesite="lax", httponly=True)
    if units in {"metric", "us"}:
        answer.set_cookie("units", units, max_age=YEAR, samesite="lax", httponly=True)
    return answer

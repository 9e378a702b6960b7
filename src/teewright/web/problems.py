"""Errors as documents: `application/problem+json` of RFC 9457 for programs, a page for people."""

import re
from http import HTTPStatus
from typing import Any

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException

from teewright.errors import (
    CannotBeMadeError,
    InputError,
    RangeError,
    StaleError,
    StoreError,
    TamperedError,
    TeewrightError,
    UnknownNameError,
)
from teewright.web.render import page, wants_page

MEDIA_TYPE = "application/problem+json"
UNFIT = HTTPStatus.UNPROCESSABLE_ENTITY
STATUS: tuple[tuple[type[TeewrightError], HTTPStatus], ...] = (
    (UnknownNameError, HTTPStatus.NOT_FOUND),
    (StaleError, HTTPStatus.CONFLICT),
    (CannotBeMadeError, UNFIT),
    (InputError, UNFIT),
    (RangeError, UNFIT),
    (TamperedError, HTTPStatus.CONFLICT),
    (StoreError, HTTPStatus.INSUFFICIENT_STORAGE),
)
"""HTTP status of each kind of error, the first that fits."""
MOST_FAULTS = 50
"""Most faults of one request that are told."""


def problem(status: int, detail: str, *, kind: str = "about:blank", **more: Any) -> JSONResponse:
    """One error as a document.

    Args:
        status: HTTP status.
        detail: One plain sentence.
        kind: Name of the kind of error, a URI reference.
        **more: Further members.
    """
    body = {
        "type": kind,
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        **more,
    }
    return JSONResponse(body, status_code=status, media_type=MEDIA_TYPE)


def status_of(error: TeewrightError) -> HTTPStatus:
    """HTTP status of an error of this package."""
    for kind, status in STATUS:
        if isinstance(error, kind):
            return status
    return UNFIT


def _answer(request: Request, status: int, detail: str, *, kind: str, **more: Any) -> Response:
    if wants_page(request):
        # the guard says in its own sentences that nothing was changed
        mend = request.method == "POST" and status in {HTTPStatus.CONFLICT, UNFIT}
        told = {"detail": detail, "mend": mend}
        return page(request, "problem.html", told, status=status)
    return problem(status, detail, kind=kind, **more)


async def of_package(request: Request, error: Exception) -> Response:
    """An error of this package: its own sentence."""
    name = re.sub(r"(?<!^)(?=[A-Z])", "-", type(error).__name__.removesuffix("Error")).lower()
    status = status_of(error) if isinstance(error, TeewrightError) else 500
    return _answer(request, status, str(error), kind=f"/problems/{name}")


async def of_http(request: Request, error: Exception) -> Response:
    """An error of the protocol, e.g. a page that is not there."""
    status = error.status_code if isinstance(error, HTTPException) else 500
    detail = str(error.detail) if isinstance(error, HTTPException) else "It failed."
    answer = _answer(request, status, detail, kind="about:blank")
    if isinstance(error, HTTPException) and error.headers:
        answer.headers.update(error.headers)
    return answer


async def of_request(request: Request, error: Exception) -> Response:
    """A request that does not fit its schema: the first fault as a sentence, more as a list."""
    faults = error.errors()[:MOST_FAULTS] if isinstance(error, RequestValidationError) else []
    told = [
        {"field": ".".join(str(p) for p in fault["loc"][1:]) or str(fault["loc"][0]),
         "said": fault["msg"]}
        for fault in faults
    ]  # fmt: skip
    first = told[0] if told else {"field": "request", "said": "does not fit"}
    detail = f"{first['field']}: {first['said']}."
    return _answer(request, 422, detail, kind="/problems/request", faults=told)

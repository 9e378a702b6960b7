"""What the description of the API says beyond what the routes themselves say.

What is answered in place of what was asked for, which answers are files, and which times are
local times of the site.
"""

from collections.abc import Callable
from http import HTTPStatus
from typing import Any

from fastapi import FastAPI
from pydantic import BaseModel, Field

from teewright.web.problems import MEDIA_TYPE


class Fault(BaseModel):
    """One of several faults: of a field of the request, or of a file that was given."""

    field: str | None = Field(default=None, description="Name of the field.")
    file: str | None = Field(default=None, description="Name of the file.")
    said: str = Field(description="What is wrong.")


class Problem(BaseModel):
    """Why it was not done (RFC 9457)."""

    type: str = Field(description="Name of the kind of problem, a URI reference.")
    title: str = Field(description="Name of the status.")
    status: int = Field(ge=400, le=599)
    detail: str = Field(min_length=1, description="One plain sentence.")
    faults: list[Fault] | None = Field(default=None, description="All of them, if several.")
    now: dict[str, Any] | None = Field(
        default=None, description="What is in force, where something else was to be changed."
    )


_MEANT = {
    HTTPStatus.BAD_REQUEST: "The body cannot be taken apart.",
    HTTPStatus.UNAUTHORIZED: "Sign in first.",
    HTTPStatus.FORBIDDEN: "Who asks may not do this, or the token is missing.",
    HTTPStatus.NOT_FOUND: "There is none of that name.",
    HTTPStatus.METHOD_NOT_ALLOWED: "This address does not answer that method.",
    HTTPStatus.CONFLICT: "Not now: a step comes first, or something changed in between.",
    HTTPStatus.REQUEST_ENTITY_TOO_LARGE: "The body is too large.",
    HTTPStatus.UNPROCESSABLE_ENTITY: "A value is not what it should be.",
    HTTPStatus.INSUFFICIENT_STORAGE: "The project file cannot be written.",
}
_PLACE = "#/components/schemas/"
REFUSALS: dict[int | str, dict[str, Any]] = {
    int(status): {
        "description": meant,
        "content": {MEDIA_TYPE: {"schema": {"$ref": f"{_PLACE}{Problem.__name__}"}}},
    }
    for status, meant in _MEANT.items()
}
"""Answers of every route beside its own."""
_LOCAL = ("Shift", "Visit", "Edit")
"""Values of the programme: their times carry no zone."""


def of_type(*media_types: str) -> dict[int | str, dict[str, Any]]:
    """What is said of a route that answers with a file.

    Args:
        *media_types: Of the file.
    """
    file = {"schema": {"type": "string", "format": "binary"}}
    told = {"description": "The file.", "content": dict.fromkeys(media_types, file)}
    return {int(HTTPStatus.OK): told}


def describe(app: FastAPI) -> None:
    """Add to an application's description what its routes do not say."""
    plain: Callable[[], dict[str, Any]] = app.openapi

    def described() -> dict[str, Any]:
        told = plain()
        whole = Problem.model_json_schema(ref_template=f"{_PLACE}{{model}}")
        parts = whole.pop("$defs", {})
        schemas = told["components"]["schemas"]
        schemas |= {**parts, Problem.__name__: whole}
        for name in _LOCAL:
            schemas[name] = _without_zone(schemas[name])
        return told

    app.openapi = described  # type: ignore[method-assign]  # as the framework's guide has it


def _without_zone(schema: Any) -> Any:
    """A schema in which each `date-time` is one without an offset, for RFC 3339 wants one."""
    if isinstance(schema, list):
        return [_without_zone(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    inner = {name: _without_zone(part) for name, part in schema.items()}
    return {**inner, "format": "date-time-local"} if inner.get("format") == "date-time" else inner

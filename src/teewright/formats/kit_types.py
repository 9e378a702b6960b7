"""Kinds of value in a kit file, each with what is allowed."""

from typing import Annotated

from pydantic import Field

Name = Annotated[
    str,
    Field(
        min_length=1,
        max_length=60,
        pattern=r"^[^\x00-\x1f#\x7f]+$",
        json_schema_extra={"words": "text on one line, 1 to 60 characters, no #"},
    ),
]
Text = Annotated[str, Field(max_length=400)]
FileName = Annotated[
    str,
    Field(
        min_length=1,
        max_length=120,
        pattern=r"^[^\x00-\x1f/\\\x7f]+$",
        json_schema_extra={"words": "name of a file, 1 to 120 characters, no folder"},
    ),
]
TimeOfDay = Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$", examples=["20:00"])]
Price = Annotated[float, Field(ge=0, le=1e7)]
Share = Annotated[float, Field(ge=0, lt=1)]
BoreMm = Annotated[float, Field(ge=50, le=2000)]
LengthMm = Annotated[float, Field(ge=0, le=5000)]
StepMin = Annotated[float, Field(ge=0, le=240)]

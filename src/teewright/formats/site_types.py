"""Kinds of value in a site file, each with what is allowed."""

from datetime import date, datetime
from typing import Annotated

from pydantic import BeforeValidator, Field

Node = Annotated[
    str,
    Field(
        min_length=1,
        max_length=60,
        pattern=r"^[^\x00-\x1f\x7f]+$",
        json_schema_extra={"words": "text on one line, 1 to 60 characters"},
    ),
]
Text = Annotated[str, Field(max_length=400)]
TimeOfDay = Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$", examples=["21:00"])]
Level = Annotated[float, Field(ge=-500, le=9000)]
Clock = Annotated[float, Field(gt=0, le=12)]
BoreMm = Annotated[float, Field(ge=50, le=2000)]
LinerMm = Annotated[float, Field(gt=0, le=60)]
Percent = Annotated[float, Field(ge=0, le=25)]
AngleDeg = Annotated[float, Field(ge=30, le=90)]
FilletMm = Annotated[float, Field(ge=0, le=50)]
GapMm = Annotated[float, Field(gt=0, le=20)]
FlowLs = Annotated[float, Field(ge=0, le=5000)]
WallMm = Annotated[float, Field(ge=1, le=500)]
StrengthMpa = Annotated[float, Field(ge=0.1, le=1000)]
SoilMpa = Annotated[float, Field(ge=0.1, le=100)]
WheelKn = Annotated[float, Field(gt=0, le=1000)]
BesideM = Annotated[float, Field(gt=0, le=100)]
TrafficKpa = Annotated[float, Field(ge=0, le=500)]
AreaM2 = Annotated[float, Field(ge=0.1, le=1000)]
Manning = Annotated[float, Field(ge=0.008, le=0.03)]
TemperatureC = Annotated[float, Field(ge=-30, le=60)]


def as_date(value: object) -> object:
    """A date written as text counts as one; anything else is left to the validator."""
    if isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            return value
    return value


def _as_local_time(value: object) -> object:
    """A time of the place, written as text or as TOML has it, never with a time zone."""
    if isinstance(value, str):
        try:
            return datetime.strptime(value, "%Y-%m-%d %H:%M")  # noqa: DTZ007 -- local by design
        except ValueError:
            value = None
    if not isinstance(value, datetime) or value.tzinfo is not None:
        raise ValueError("is not a local time")
    return value


LocalTime = Annotated[
    datetime,
    BeforeValidator(_as_local_time),
    Field(json_schema_extra={"words": "local time as 2027-05-03 21:00"}),
]

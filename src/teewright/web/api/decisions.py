"""Decisions on what a test or a hold left open."""

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from teewright.site.values import Event
from teewright.web import deciding
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks

router = APIRouter(prefix="/decisions", tags=["events"])


class Decided(BaseModel):
    """One decision.

    Attributes:
        connection: Id of a connection that was begun.
        decision: What is decided, in plain words.
    """

    model_config = ConfigDict(extra="forbid")
    connection: str
    decision: str = Field(min_length=1, max_length=deciding.LONGEST)


@router.post("", status_code=201)
def decide(new: Decided, office: TheOffice, known: WhatIsKnown, who: WhoAsks) -> Event:
    """Write a decision into the log, under the name of who asks and the time of the server."""
    return deciding.decide(office, known, new.connection, new.decision, who=who.name)

"""What a route may ask for: the office, what is known, who asks."""

from typing import Annotated

from fastapi import Depends, Request

from teewright.web.guard.roles import Asker
from teewright.web.office import Known, Office


def office_of(request: Request) -> Office:
    """The office of this server."""
    office: Office = request.app.state.office
    return office


def known_of(request: Request) -> Known:
    """What is known of the job now."""
    return office_of(request).known()


def asker_of(request: Request) -> Asker:
    """Who asks."""
    asker: Asker = request.state.person
    return asker


TheOffice = Annotated[Office, Depends(office_of)]
WhatIsKnown = Annotated[Known, Depends(known_of)]
WhoAsks = Annotated[Asker, Depends(asker_of)]

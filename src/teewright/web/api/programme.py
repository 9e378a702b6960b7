"""The programme by hand: try it, keep it, undo it, plan again around what is kept."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, TypeVar

from fastapi import APIRouter, Query
from fastapi.encoders import jsonable_encoder
from fastapi.responses import Response
from pydantic import Field

from teewright.errors import StaleError
from teewright.programme.check import Breach
from teewright.programme.moving import Delay
from teewright.programme.values import Programme
from teewright.web import shifts
from teewright.web.asked import TheOffice
from teewright.web.office import Office
from teewright.web.problems import problem
from teewright.web.shifts import Edits, Standing, Tried
from teewright.web.tasks import Task

router = APIRouter(prefix="/programme", tags=["programme"])
Answer = TypeVar("Answer")
CONFLICT = 409
Version = Annotated[int, Query(ge=0, description="Version that is in force; 0: none by hand.")]


class Kept(Edits):
    """Edits that are to be kept.

    Attributes:
        although: Whether they are kept though the programme then breaks rules.
    """

    although: bool = Field(default=False)


@dataclass(frozen=True, slots=True)
class Shown:
    """A programme with what is said of it; times are local times of the site, without a zone.

    Attributes:
        version: Version that is in force; 0 where nothing was decided by hand.
        by_hand: Whether what is in force was decided by hand.
        dropped: Why a programme by hand is not in force, one sentence; else empty.
        programme: The programme: as it is, or as it would be.
        fixed: Connections whose visits stay when the rest is planned again.
        begun: Connections at which work has begun or is done; they cannot be moved.
        breaches: Every rule that it breaks, one sentence each.
        delays: Visits that made way to those that were moved.
    """

    version: int
    by_hand: bool
    dropped: str
    programme: Programme
    fixed: tuple[str, ...]
    begun: tuple[str, ...]
    breaches: tuple[Breach, ...]
    delays: tuple[Delay, ...]


@router.get("/state")
def state(office: TheOffice) -> Shown:
    """The programme in force, what of it is fixed or begun, and every rule that it breaks."""
    now = shifts.standing(office)
    return _shown(now, shifts.tried(now, Edits(on=now.version)))


@router.post("/try", response_model=Shown)
def attempt(edits: Edits, office: TheOffice) -> Shown | Response:
    """The programme as edits would make it, and every rule that it would break; nothing is kept.

    A version that is no longer in force is refused (409) with what is, here as below.
    """

    def act() -> Shown:
        now = shifts.standing(office)
        return _shown(now, shifts.tried(now, edits))

    return _or_newest(office, act)


@router.put("", response_model=Shown)
def keep(edits: Kept, office: TheOffice) -> Shown | Response:
    """Keep the programme as edits make it."""

    def act() -> Shown:
        shifts.keep(office, edits, although=edits.although)
        return state(office)

    return _or_newest(office, act)


@router.post("/undo", response_model=Shown)
def undo(office: TheOffice, on: Version) -> Shown | Response:
    """Go back to what was in force before the last decision."""

    def act() -> Shown:
        shifts.undo(office, on)
        return state(office)

    return _or_newest(office, act)


@router.delete("", response_model=Shown)
def drop(office: TheOffice, on: Version) -> Shown | Response:
    """Go back to the computed programme."""

    def act() -> Shown:
        shifts.drop(office, on)
        return state(office)

    return _or_newest(office, act)


@router.post("/replan", status_code=202, response_model=Task)
def replan(edits: Edits, office: TheOffice) -> Task | Response:
    """Plan again, keeping what is fixed, moved or done; one that runs already is given back."""
    at = datetime.now()  # noqa: DTZ005 -- local time of the site
    return _or_newest(office, lambda: shifts.replan(office, edits, at=at))


def _or_newest(office: Office, act: Callable[[], Answer]) -> Answer | Response:
    """What an act answers; where it was asked of a version that is no more, what is in force."""
    try:
        return act()
    except StaleError as error:
        office.look_again()
        now = jsonable_encoder(state(office))
        return problem(CONFLICT, str(error), kind="/problems/stale", now=now)


def _shown(now: Standing, new: Tried) -> Shown:
    return Shown(
        version=now.version,
        by_hand=now.by_hand,
        dropped=now.dropped,
        programme=new.programme,
        fixed=tuple(sorted(new.fixed)),
        begun=tuple(sorted(now.begun)),
        breaches=new.breaches,
        delays=new.delays,
    )

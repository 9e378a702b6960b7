"""Who asks."""

from dataclasses import dataclass

from fastapi import APIRouter, Request

from teewright.web.guard.roles import Asker

router = APIRouter(prefix="/me", tags=["me"])


@dataclass(frozen=True, slots=True)
class Me:
    """Who asks, and the token that goes with what is sent.

    Attributes:
        name: Short name or initials; empty where nobody has signed in.
        role: `engineer`, `crew`, `inspector` or `client`; empty where nobody has signed in.
        signed_in: Whether by name and password.
        csrf: For the header `X-CSRF-Token`.
    """

    name: str
    role: str
    signed_in: bool
    csrf: str


@router.get("")
def me(request: Request) -> Me:
    """Who asks: also answered to who is not signed in."""
    asker: Asker | None = request.state.person
    if asker is None:
        return Me("", "", signed_in=False, csrf=request.state.csrf)
    return Me(asker.name, asker.role, signed_in=asker.signed_in, csrf=request.state.csrf)

"""Requests that change something must come from a page of this server.

Two independent checks: what the browser says of where the request comes from (`Sec-Fetch-Site`,
`Origin`), and a token that only a page of this server can know. The token is an HMAC of a secret
cookie of the browser, not of the session: a page of the clock that a tablet has kept offline
overnight may still send what it holds after its crew has signed in anew. Each answer carries it
behind a pad of its own, so that the size of a compressed page says nothing of it (BREACH, 2013).

A program that is no browser carries nobody's rights by accident and needs no token, unless it
signs in and holds a session.
"""

import hashlib
import hmac
import secrets

from fastapi import Request
from starlette.exceptions import HTTPException

from teewright.web.guard.roles import SAFE
from teewright.web.texts import text

FIELD, HEADER = "csrf", "x-csrf-token"
"""Where a form, and where a script, carries the token."""
_FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
_OF_BROWSERS = ("origin", "sec-fetch-site", "referer")


def new_secret() -> str:
    """A secret for the cookie of a browser, 256 bits."""
    return secrets.token_urlsafe(32)


def token_of(secret: str) -> str:
    """The token that goes with the cookie of a browser; empty without one."""
    return hmac.new(secret.encode(), b"form", hashlib.sha256).hexdigest() if secret else ""


def masked(token: str) -> str:
    """A token behind a new random pad: hex, the pad and then the token XOR the pad."""
    data = bytes.fromhex(token)
    pad = secrets.token_bytes(len(data))
    return (pad + _xor(pad, data)).hex()


def unmasked(given: str) -> str:
    """The token behind its pad; empty where the text is none."""
    try:
        data = bytes.fromhex(given)
    except ValueError:
        return ""
    half = len(data) // 2
    return _xor(data[:half], data[half:]).hex() if len(data) == 2 * half else ""


def _xor(one: bytes, other: bytes) -> bytes:
    return bytes(a ^ b for a, b in zip(one, other, strict=True))


def is_foreign(request: Request, own: str) -> bool:
    """Whether the browser says that the request comes from elsewhere.

    Args:
        request: What was asked.
        own: Origin of this server, e.g. `http://localhost:8317`.
    """
    site, origin = request.headers.get("sec-fetch-site"), request.headers.get("origin")
    if site is not None and site not in {"same-origin", "none"}:
        return True
    return origin is not None and origin.lower() != own and not (origin == "null" and site)


def is_browser(request: Request) -> bool:
    """Whether a request may come from a browser; what says nothing of itself does not."""
    named = request.headers.get("user-agent", "").startswith("Mozilla/")
    return named or any(name in request.headers for name in _OF_BROWSERS)


async def checked(request: Request) -> None:
    """Refuse what changes something and carries no token; a dependency of all routes.

    Raises:
        HTTPException: 403.
    """
    if request.method in SAFE or not (is_browser(request) or request.state.has_session):
        return
    wanted = unmasked(request.state.csrf)
    given = request.headers.get(HEADER)
    if given is None and request.headers.get("content-type", "").lower().startswith(_FORMS):
        field = (await request.form()).get(FIELD)
        given = field if isinstance(field, str) else None
    if not wanted or given is None or not hmac.compare_digest(unmasked(given), wanted):
        raise HTTPException(403, text("guard.csrf"))

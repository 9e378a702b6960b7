"""Sessions: a random token in a cookie, of which only the hash is stored."""

import hashlib
import secrets
from datetime import timedelta

from fastapi import Request
from fastapi.responses import Response

from teewright.store.people import (
    Person,
    change_secret,
    end_session,
    open_session,
    session_person,
)
from teewright.web.desk import Desk
from teewright.web.guard.roles import Asker, Role

LASTS = timedelta(hours=12)
"""How long a session is good for: a shift."""
SESSION, CSRF = "session", "csrf"
YEAR = 365 * 86400


def cookie_name(name: str, *, secure: bool) -> str:
    """Name of a cookie; over HTTPS one that no other server can plant (RFC 6265bis, 4.1.3.2)."""
    return f"__Host-{name}" if secure else name


def cookie_of(request: Request, name: str, *, secure: bool) -> str:
    """Value of a cookie, empty where there is none."""
    return request.cookies.get(cookie_name(name, secure=secure), "")


def put_cookie(response: Response, name: str, value: str, *, secure: bool, lasts: int) -> None:
    """Set a cookie that no script can read and no other site can send along a form.

    Args:
        response: Carries it.
        name: `SESSION` or `CSRF`.
        value: Its value.
        secure: Whether only over HTTPS.
        lasts: [s]; 0 takes it back.
    """
    response.set_cookie(
        cookie_name(name, secure=secure),
        value,
        max_age=lasts,
        path="/",
        secure=secure,
        httponly=True,
        samesite="lax",
    )


class Sessions:
    """Sessions of one project.

    Args:
        desk: The project file.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def begin(self, person: Person) -> str:
        """Begin a session.

        Returns:
            Its token, 256 bits; it is nowhere kept.
        """
        token = secrets.token_urlsafe(32)
        self._desk.write(lambda p: open_session(p, person, _hash(token), lasts=LASTS))
        return token

    def asker(self, token: str) -> Asker | None:
        """Whose session a token is, or None where it is not known or over."""
        if not token:
            return None
        person = self._desk.ask(lambda project: session_person(project, _hash(token)))
        return None if person is None else Asker(person.name, Role(person.role), signed_in=True)

    def end(self, token: str) -> None:
        """End a session; one that is not there changes nothing."""
        if token:
            self._desk.write(lambda project: end_session(project, _hash(token)))

    def renew_secret(self, person: Person, secret: str) -> None:
        """Keep another hash of the same password; sessions go on."""
        self._desk.write(lambda p: change_secret(p, person.name, secret, keep_sessions=True))


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()

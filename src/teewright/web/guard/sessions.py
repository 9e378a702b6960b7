"""Sessions: a random token in a cookie, of which only the hash is stored."""

import hashlib
import secrets
from dataclasses import replace
from datetime import timedelta

from fastapi import Request
from fastapi.responses import Response

from teewright.store.people import Person, change_own_secret
from teewright.store.project import Project
from teewright.store.sessions import end_session, open_session, session_person
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


def begun_in(request: Request, response: Response, token: str) -> None:
    """Give a browser its session; one that it had before ends.

    Args:
        request: What was asked.
        response: Carries it.
        token: Of the session.
    """
    lasts = int(LASTS.total_seconds())
    put_cookie(response, SESSION, token, secure=_end_carried(request), lasts=lasts)


def ended_in(request: Request, response: Response) -> None:
    """End the session that a request carries, at the server and in the browser.

    What the browser keeps of answers goes as well (Clear Site Data, W3C): whoever takes the tablet
    next finds nothing there. Entries that wait to be sent, and the clock, stay.
    """
    put_cookie(response, SESSION, "", secure=_end_carried(request), lasts=0)
    response.headers["Clear-Site-Data"] = '"cache"'


def _end_carried(request: Request) -> bool:
    """End at the server the session of a request; tells whether cookies are for HTTPS alone."""
    secure: bool = request.app.state.office.settings.secure
    kept: Sessions = request.app.state.sessions
    kept.end(cookie_of(request, SESSION, secure=secure))
    return secure


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
            Its token, 256 bits; it is nowhere kept. Empty where the person was removed or given
            another password since it was read.
        """
        token = secrets.token_urlsafe(32)
        begun = self._desk.write(lambda p: open_session(p, person, _hash(token), lasts=LASTS))
        return token if begun else ""

    def begin_anew(self, person: Person, secret: str) -> str:
        """Give someone another password: all sessions end, and one begins.

        Args:
            person: Whose, as read when the present password was checked.
            secret: Hash of the other password.

        Returns:
            Token of the session; empty, and nothing is changed, where the person was removed or
            given another password since.
        """
        token, changed = secrets.token_urlsafe(32), replace(person, secret=secret)

        def write(project: Project) -> bool:
            return change_own_secret(project, person, secret) and open_session(
                project, changed, _hash(token), lasts=LASTS
            )

        return token if self._desk.write(write) else ""

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


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()

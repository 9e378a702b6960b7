"""Sign in: a name, a password, and a wait after wrong ones."""

import math
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from teewright.errors import TeewrightError
from teewright.store.people import Person, person_named, renew_secret, spaced
from teewright.web.desk import Desk
from teewright.web.guard import passwords
from teewright.web.guard.limits import Waits
from teewright.web.guard.sessions import Sessions
from teewright.web.texts import text


class WrongError(TeewrightError):
    """Name and password do not go together; it is not said which is wrong."""

    def __init__(self) -> None:
        super().__init__(text("guard.wrong"))


class WaitError(TeewrightError):
    """Too many wrong passwords.

    Args:
        seconds: How long to wait yet [s].
    """

    def __init__(self, seconds: float) -> None:
        self.seconds = max(1, math.ceil(seconds))
        super().__init__(text("guard.wait", span=_span(self.seconds)))


class SignIn:
    """The door of one server.

    Args:
        desk: The project file.
        sessions: Where sessions are kept.
        waits: Counts wrong passwords by name and by address.
    """

    def __init__(self, desk: Desk, sessions: Sessions, waits: Waits | None = None) -> None:
        self._desk, self._sessions = desk, sessions
        self._waits = Waits() if waits is None else waits
        self._lock = threading.Lock()

    def sign_in(self, name: str, password: str, *, address: str) -> str:
        """Begin a session.

        Args:
            name: As it was typed.
            password: As it was typed.
            address: From where.

        Returns:
            Token of the session.

        Raises:
            WrongError: Name and password do not go together.
            WaitError: There were too many wrong ones; this one was not looked at.
        """
        with self._counted(name, address):
            token = self._sessions.begin(self._renewed(self._proved(name, password), password))
            if not token:
                raise WrongError
        return token

    def change_password(self, name: str, present: str, other: str, *, address: str) -> str:
        """Give someone another password who knows the present one; other sessions end.

        Args:
            name: Who has signed in.
            present: The present password, as it was typed.
            other: The other one.
            address: From where.

        Returns:
            Token of the session that goes on.

        Raises:
            InputError: The other password is too short or too long.
            WrongError: The present one is not that of the person.
            WaitError: There were too many wrong ones; this one was not looked at.
        """
        passwords.check_length(other)
        with self._counted(name, address):
            person = self._proved(name, present)
            token = self._sessions.begin_anew(person, passwords.hashed(other))
            if not token:
                raise WrongError
        return token

    @contextmanager
    def _counted(self, name: str, address: str) -> Iterator[None]:
        """Count a try of what is done within, by name and by address, unless it was right."""
        by_name = f"name {spaced(name)[:100].casefold()}"
        by_address = f"address {address}"
        with self._lock:
            wait = max(self._waits.left(key) for key in (by_name, by_address))
            if wait > 0.0:
                raise WaitError(wait)
            for key in (by_name, by_address):
                self._waits.tried(key)
        yield
        with self._lock:  # whoever has an account of his own may not clear his address with it
            self._waits.forget(by_name)
            self._waits.undo(by_address)

    def _proved(self, name: str, password: str) -> Person:
        """Whose name and password go together."""
        person = self._desk.ask(lambda project: person_named(project, name))
        if not passwords.fits(person.secret if person else None, password) or person is None:
            raise WrongError
        return person

    def _renewed(self, person: Person, password: str) -> Person:
        """The person with a hash of today's parameters."""
        if not passwords.is_outdated(person.secret):
            return person
        secret = passwords.hashed(password)
        self._desk.write(lambda project: renew_secret(project, person, secret))
        return replace(person, secret=secret)


def local_path(back: str, otherwise: str = "/") -> str:
    """Where to go on, only within this server; anything else leads to a page that is known."""
    plain = back.isprintable() and "\\" not in back and back.startswith("/")
    return back if plain and not back.startswith("//") else otherwise


def _span(seconds: int) -> str:
    if seconds < 100:
        return text("guard.seconds", n=seconds)
    return text("guard.minutes", n=math.ceil(seconds / 60))

"""How often, and how much at once."""

import asyncio
import math
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from teewright.web.guard.roles import is_open
from teewright.web.texts import text

FREE = 3
"""Wrong passwords that cost no wait."""
FIRST_WAIT, LONGEST_WAIT = 2.0, 300.0
"""Wait after one more [s], doubled with each; and where the doubling ends."""
FORGOTTEN = 3600.0
"""After so long without another, the count begins anew [s]."""
REMEMBERED = 10_000
"""Names and addresses that are counted; beyond that the oldest are forgotten."""


OF_STRANGERS = 2**16
"""Largest body of what is answered to who is not signed in [bytes]."""
OF_WORDS = 2**20
"""Largest body of what brings neither files nor events with their photos [bytes]: whatever takes it
apart does so before anyone else is answered."""
BRINGS_FILES = ("/survey/files", "/api/v1/documents", "/api/v1/events", "/api/v1/events/file")
SILENCE = 60.0
"""Longest time within a body in which nothing comes [s]."""


@dataclass(frozen=True, slots=True)
class _Count:
    tries: int
    last: float

    def wait(self) -> float:
        over = self.tries - FREE
        return 0.0 if over < 1 else min(FIRST_WAIT * 2.0 ** min(over - 1, 30), LONGEST_WAIT)


class Waits:
    """Counts tries by key and tells how long the next must wait.

    A try is counted before it is known whether it is right: who sends many at once gets no more
    of them than who sends one after the other.

    Args:
        clock: Tells seconds that never go back.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._counts: OrderedDict[str, _Count] = OrderedDict()

    def left(self, key: str) -> float:
        """How long a key must wait yet [s], 0 if not at all."""
        count = self._count(key)
        return 0.0 if count is None else max(0.0, count.last + count.wait() - self._clock())

    def tried(self, key: str) -> None:
        """Count a try."""
        count = self._count(key)
        self._counts[key] = _Count(1 + (count.tries if count else 0), self._clock())
        self._counts.move_to_end(key)
        while len(self._counts) > REMEMBERED:
            self._counts.popitem(last=False)

    def undo(self, key: str) -> None:
        """Take one try back: it was right."""
        count = self._count(key)
        if count is not None:
            self._counts[key] = _Count(count.tries - 1, count.last)

    def forget(self, key: str) -> None:
        """Begin anew for a key."""
        self._counts.pop(key, None)

    def _count(self, key: str) -> _Count | None:
        count = self._counts.get(key)
        if count is not None and self._clock() - count.last > FORGOTTEN:
            del self._counts[key]
            return None
        return count


class BodyLimit:
    """Refuses a body that is too large, whether or not it says so beforehand, or never comes.

    Args:
        app: What comes behind.
        largest: Largest body of a request [bytes].
        silence: Longest time within a body in which nothing comes [s].
    """

    def __init__(self, app: ASGIApp, *, largest: int, silence: float = SILENCE) -> None:
        self._app, self._largest, self._silence = app, largest, silence

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        largest = min(self._largest, _allowed(scope["method"], scope["path"]))
        told = dict(scope["headers"]).get(b"content-length", b"0")
        if not told.isdigit() or int(told) > largest:
            await self._drained(receive)
            raise _too_large(largest)
        taken, goes_on = 0, True

        async def counted() -> Message:
            nonlocal taken, goes_on
            message = await (self._heard(receive) if goes_on else receive())
            goes_on = bool(message.get("more_body"))
            taken += len(message.get("body", b""))
            if taken > largest:
                raise _too_large(largest)
            return message

        await self._app(scope, counted, send)

    async def _heard(self, receive: Receive) -> Message:
        """The next part of a body."""
        try:
            return await asyncio.wait_for(receive(), self._silence)
        except TimeoutError as error:
            raise HTTPException(
                408, text("guard.silent"), headers={"Connection": "close"}
            ) from error

    async def _drained(self, receive: Receive) -> None:
        """Take up to twice as much and drop it: a browser reads no answer while it sends."""
        left = 2 * self._largest
        while left > 0:
            message = await self._heard(receive)
            left -= len(message.get("body", b""))
            if message["type"] != "http.request" or not message.get("more_body"):
                return


def _allowed(method: str, path: str) -> float:
    """Largest body that an address needs [bytes]."""
    if path in BRINGS_FILES:
        return math.inf
    return OF_STRANGERS if is_open(method, path) else OF_WORDS


def _too_large(largest: float) -> HTTPException:
    return HTTPException(413, text("guard.too_large", most=f"{largest / 2**20:.4g} MB"))

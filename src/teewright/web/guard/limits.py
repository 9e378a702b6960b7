"""How often, and how much at once."""

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from teewright.web.texts import text

FREE = 3
"""Wrong passwords that cost no wait."""
FIRST_WAIT, LONGEST_WAIT = 2.0, 300.0
"""Wait after one more [s], doubled with each; and where the doubling ends."""
FORGOTTEN = 3600.0
"""After so long without another, the count begins anew [s]."""
REMEMBERED = 10_000
"""Names and addresses that are counted; beyond that the oldest are forgotten."""


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
    """Refuses a body that is too large, whether or not it says so beforehand.

    Args:
        app: What comes behind.
        largest: Largest body of a request [bytes].
    """

    def __init__(self, app: ASGIApp, *, largest: int) -> None:
        self._app, self._largest = app, largest

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        told = dict(scope["headers"]).get(b"content-length", b"0")
        if not told.isdigit() or int(told) > self._largest:
            await self._drained(receive)
            raise self._refusal()
        taken = 0

        async def counted() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > self._largest:
                raise self._refusal()
            return message

        await self._app(scope, counted, send)

    def _refusal(self) -> HTTPException:
        mega = self._largest / 2**20
        return HTTPException(413, text("guard.too_large", most=f"{mega:.4g} MB"))

    async def _drained(self, receive: Receive) -> None:
        """Take up to as much again and drop it: a browser reads no answer while it sends."""
        left = 2 * self._largest
        while left > 0:
            message = await receive()
            left -= len(message.get("body", b""))
            if message["type"] != "http.request" or not message.get("more_body"):
                return

"""A write that is sent twice under the same `Idempotency-Key` is done once.

The second time the first answer is given again. Only answers of success are kept: what was
refused changed nothing and may be tried again. That the write was done is noted in its own
transaction; what was answered is known only after it. Where power fails between the two, a second
sending is told so and does nothing. Events have ids of their own and do not pass here.
"""

import hashlib
import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from fastapi import Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from teewright.errors import InputError, StoreError
from teewright.formats.json_values import dump
from teewright.store.answers import Answer, answered, keep_answer, mark_done
from teewright.web.desk import Desk, with_each_write
from teewright.web.guard.passwords import AT_ONCE
from teewright.web.guard.roles import SAFE
from teewright.web.texts import text

LOG = logging.getLogger(__name__)
KEY = "idempotency-key"
LONGEST_KEY = 200
"""Characters of a key."""
HERE = "/api/v1/"
NOT_HERE = ("/api/v1/events", "/api/v1/session")
"""Events have ids of their own, and a session is a cookie, which is not kept."""
SECRET = ("/api/v1/people", "/api/v1/me")
"""Bodies there hold passwords: their hash is made so that it is dear to guess."""
_DEAR = {"n": 2**15, "r": 8, "p": 1, "maxmem": 2**26, "dklen": 32}
"""Of scrypt (RFC 7914): 32 MiB, some 0.1 s."""
_JSON, _INSTEAD = "application/json", "kept_instead"


class Once:
    """Gives the first answer again.

    Args:
        app: What comes behind.
        desk: The project file, which keeps the answers.
    """

    def __init__(self, app: ASGIApp, *, desk: Desk) -> None:
        self._app, self._desk = app, desk
        self._lock = threading.Lock()
        self._under_way: set[str] = set()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request.

        Raises:
            HTTPException: 409 while the same key is being handled, 422 for a key that is none
                or was used for another request.
        """
        request = Request(scope, receive) if scope["type"] == "http" else None
        if request is None or not _is_meant(request):
            await self._app(scope, receive, send)
            return
        key = _key(request)
        with self._alone(key):
            await self._once(request, key, send)

    async def _once(self, request: Request, key: str, send: Send) -> None:
        body = await request.body()
        asked = await run_in_threadpool(_hash, request, key, body)
        try:
            known = await run_in_threadpool(self._desk.ask, lambda p: answered(p, key, asked))
        except InputError as error:
            raise HTTPException(422, str(error)) from error
        if known is not None and known.is_lost:
            raise HTTPException(409, text("guard.answer_lost"))
        if known is not None:
            again = Response(known.body, known.status, {"Idempotency-Replayed": "true"}, _JSON)
            await again(request.scope, request.receive, send)
            return
        heard = _Heard(send)
        with with_each_write(lambda project: mark_done(project, key, asked)):
            await self._app(request.scope, _played(body), heard.send)
        answer = heard.answer(getattr(request.state, _INSTEAD, None))
        if answer is not None:
            try:
                await run_in_threadpool(
                    self._desk.write, lambda p: keep_answer(p, key, asked, answer)
                )
            except StoreError as error:  # the write is done: to say it failed would be wrong
                LOG.warning("an answer was given but not kept: %s", error)
        await heard.send_on()

    @contextmanager
    def _alone(self, key: str) -> Iterator[None]:
        with self._lock:
            if key in self._under_way:
                raise HTTPException(409, text("guard.under_way"))
            self._under_way.add(key)
        try:
            yield
        finally:
            with self._lock:
                self._under_way.discard(key)


class _Heard:
    """Holds an answer back until it is kept."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self._messages: list[Message] = []

    async def send(self, message: Message) -> None:
        self._messages.append(message)

    async def send_on(self) -> None:
        for message in self._messages:
            await self._send(message)

    def answer(self, instead: str | None) -> Answer | None:
        """What is to be kept: a success in JSON, or what is to be kept in its place."""
        if not self._messages:
            return None
        start = self._messages[0]
        kind = Headers(raw=start.get("headers", [])).get("content-type", _JSON)
        if not 200 <= start["status"] < 300 or not kind.startswith(_JSON):
            return None
        body = b"".join(message.get("body", b"") for message in self._messages[1:])
        return Answer(start["status"], body.decode() if instead is None else instead)


def keep_instead(request: Request, value: object) -> None:
    """Keep another answer than is given, for the same write sent again: without its secret."""
    setattr(request.state, _INSTEAD, dump(value))


def _is_meant(request: Request) -> bool:
    path = request.url.path
    apart = path in NOT_HERE or path.startswith(f"{NOT_HERE[0]}/")
    return (
        KEY in request.headers
        and request.method not in SAFE
        and path.startswith(HERE)
        and not apart
    )


def _key(request: Request) -> str:
    key = request.headers[KEY].strip().strip('"')
    if not (0 < len(key) <= LONGEST_KEY and key.isascii() and key.isprintable()):
        raise HTTPException(422, text("guard.key", most=LONGEST_KEY))
    kind = request.headers.get("content-type", _JSON)
    if not kind.lower().startswith(_JSON):
        raise HTTPException(422, text("guard.key_json"))
    return key


def _hash(request: Request, key: str, body: bytes) -> str:
    """Of who asks, what and for what."""
    digest = hashlib.sha256()
    parts = (request.state.person.name, request.method, request.url.path, request.url.query)
    for part in (*(p.encode() for p in parts), body):
        digest.update(f"{len(part)} ".encode())
        digest.update(part)
    if request.url.path.startswith(SECRET):
        with AT_ONCE:  # it takes as much memory as the check of a password
            return hashlib.scrypt(digest.digest(), salt=key.encode(), **_DEAR).hex()
    return digest.hexdigest()


def _played(body: bytes) -> Receive:
    """The body once more, then silence."""
    messages: Iterator[Message] = iter([{"type": "http.request", "body": body, "more_body": False}])

    async def receive() -> Message:
        return next(messages, {"type": "http.disconnect"})

    return receive

"""Headers that every answer carries, and hosts and methods that are answered at all."""

import re

from fastapi import Request
from fastapi.responses import PlainTextResponse, Response
from starlette.datastructures import MutableHeaders
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from teewright.errors import TeewrightError
from teewright.web import problems
from teewright.web.guard.roles import KNOWN_METHODS
from teewright.web.settings import Settings
from teewright.web.texts import text

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
    "font-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
"""Content Security Policy, Level 3: nothing from elsewhere, no script or style within a page."""
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",  # with `no-referrer` a form would send `Origin: null`
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=()",
}


_HOST = re.compile(r"(\[[0-9a-f:.]+\]|[^:\[\]]+)(:[0-9]*)?")
"""A host with its port (RFC 3986, 3.2.2 and 3.2.3)."""


def host_of(request: Request) -> str:
    """Name under which the server was asked for, without the port; empty where it is none."""
    found = _HOST.fullmatch(request.headers.get("host", "").lower())
    return found[1] if found else ""


class Headed:
    """Refuses strange hosts and methods and adds the headers; stands before everything else.

    A page of another site that points its own name at this machine is answered nothing.

    Args:
        app: What comes behind.
        settings: How the pages are served.
    """

    def __init__(self, app: ASGIApp, *, settings: Settings) -> None:
        self._app, self._settings = app, settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request; what is no request of HTTP is let through at start and end only."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
        elif scope["type"] == "http":
            await self._answer(scope, receive, send)
        else:
            await receive()
            await send({"type": "websocket.close", "code": 1008})

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["method"] == "HEAD":  # what GET would say, without what it would bring
            scope, send = {**scope, "method": "GET"}, _without_body(send)
        request = Request(scope)
        begun = False

        async def headed(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                _head(MutableHeaders(scope=message), static=request.url.path.startswith("/static/"))
            await send(message)

        refused = self._refused(request)
        if refused is not None:
            await refused(scope, receive, headed)
            return
        try:
            await self._app(scope, receive, headed)
        except (HTTPException, TeewrightError) as error:  # of a guard: no handler is before it
            if begun:
                raise
            told = problems.of_http if isinstance(error, HTTPException) else problems.of_package
            await (await told(request, error))(scope, receive, headed)
        except Exception:
            if not begun:
                failed = await problems.of_http(request, HTTPException(500, text("guard.failed")))
                await failed(scope, receive, headed)
            raise

    def _refused(self, request: Request) -> Response | None:
        if host_of(request) not in self._settings.hosts:
            return PlainTextResponse("This host name is not served here.\n", status_code=421)
        if request.method not in KNOWN_METHODS:
            allow = {"Allow": ", ".join(KNOWN_METHODS)}
            return PlainTextResponse("Not a method that is answered.\n", 405, headers=allow)
        return None


def _without_body(send: Send) -> Send:
    async def sent(message: Message) -> None:
        await send({**message, "body": b""} if message["type"] == "http.response.body" else message)

    return sent


def _head(headers: MutableHeaders, *, static: bool) -> None:
    for name, value in HEADERS.items():
        headers.setdefault(name, value)
    # no Strict-Transport-Security: it holds for all ports of a name, and in the field the
    # page that tells how to trust this server is served in the clear beside it
    headers.setdefault("Cache-Control", "no-cache" if static else "no-store")

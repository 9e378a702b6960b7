"""Who asks, from where, and whether they may: decided before any page begins."""

from urllib.parse import quote

from fastapi import Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import MutableHeaders
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from teewright.web.guard import csrf, sessions
from teewright.web.guard.roles import LOCAL, SAFE, Asker, is_open, may
from teewright.web.guard.sessions import CSRF, SESSION, YEAR, Sessions
from teewright.web.render import is_part, wants_page
from teewright.web.settings import Settings
from teewright.web.texts import text

TELLS_TOKEN = ("/api/v1/me", "/api/v1/session")
"""Answers for programs that tell the token, whose cookie goes with it."""


class Door:
    """Finds who asks and refuses what they may not do.

    Sets `request.state.person`, `request.state.csrf` and `request.state.has_session`.

    Args:
        app: What comes behind.
        settings: How the pages are served.
        kept: Sessions of the project.
    """

    def __init__(self, app: ASGIApp, *, settings: Settings, kept: Sessions) -> None:
        self._app, self._settings, self._kept = app, settings, kept

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request.

        Raises:
            HTTPException: 401 or 403; it is told by what stands before.
        """
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request = Request(scope)
        secret = sessions.cookie_of(request, CSRF, secure=self._settings.secure)
        fresh = "" if secret else csrf.new_secret()
        token = sessions.cookie_of(request, SESSION, secure=self._settings.secure)
        asker = await self._asker(request, token)
        scope.setdefault("state", {}).update(
            person=asker, csrf=csrf.masked(csrf.token_of(secret or fresh)), has_session=bool(token)
        )
        refused = self._refused(request, asker)
        if refused is not None:
            await refused(scope, receive, send)
            return
        await self._app(scope, receive, self._with_cookie(request, fresh, send))

    async def _asker(self, request: Request, token: str) -> Asker | None:
        if not self._settings.sign_in:
            return LOCAL
        if request.url.path.startswith("/static/"):
            return None
        return await run_in_threadpool(self._kept.asker, token)

    def _refused(self, request: Request, asker: Asker | None) -> Response | None:
        method, path = request.method, request.url.path
        own = f"{request.url.scheme}://{request.headers.get('host', '')}".lower()
        if method not in SAFE and csrf.is_foreign(request, own):
            raise HTTPException(403, text("guard.foreign"))
        if is_open(method, path):
            return None
        if asker is None:
            return _sign_in_first(request)
        if not may(asker, method, path):
            raise HTTPException(403, text("guard.role", role=asker.role.value))
        return None

    def _with_cookie(self, request: Request, fresh: str, send: Send) -> Send:
        """Gives a browser its secret with the first page that it sees."""
        if not fresh:
            return send
        carrier = Response()
        sessions.put_cookie(carrier, CSRF, fresh, secure=self._settings.secure, lasts=YEAR)

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                is_page = headers.get("content-type", "").startswith("text/html")
                if is_page or request.url.path in TELLS_TOKEN:
                    headers.append("set-cookie", carrier.headers["set-cookie"])
            await send(message)

        return sent


def _sign_in_first(request: Request) -> Response:
    """To the page where one signs in; a program, and a form that would be lost, are told."""
    address = f"/sign-in?back={quote(request.url.path)}"
    if is_part(request):
        return Response(status_code=401, headers={"HX-Redirect": address})
    if wants_page(request) and request.method in SAFE:
        return RedirectResponse(address, status_code=303)
    raise HTTPException(
        401, text("guard.sign_in_first"), headers={"WWW-Authenticate": 'Cookie realm="teewright"'}
    )

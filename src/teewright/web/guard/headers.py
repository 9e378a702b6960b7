"""Headers that every answer carries, and hosts that are answered at all."""

from collections.abc import Awaitable, Callable

from fastapi import Request
from fastapi.responses import PlainTextResponse, Response

from teewright.web.settings import Settings

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
    "font-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
"""Content Security Policy, Level 3: nothing from elsewhere, no script or style within a page."""
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=()",
}
Following = Callable[[Request], Awaitable[Response]]


def host_of(request: Request) -> str:
    """Name under which the server was asked for, without the port."""
    host = request.headers.get("host", "").lower()
    if host.startswith("["):
        return host.split("]")[0] + "]"
    return host.rsplit(":", 1)[0]


def headed(settings: Settings) -> Callable[[Request, Following], Awaitable[Response]]:
    """A middleware that refuses strange hosts and adds the headers.

    A page of another site that points its own name at this machine is answered nothing.
    """

    async def answer(request: Request, following: Following) -> Response:
        if host_of(request) not in settings.hosts:
            refused = PlainTextResponse("This host name is not served here.\n", status_code=421)
            refused.headers.update(HEADERS)
            return refused
        response = await following(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        if settings.secure:
            response.headers.setdefault("Strict-Transport-Security", "max-age=31536000")
        if "cache-control" not in response.headers:
            response.headers["Cache-Control"] = "no-store"
        return response

    return answer

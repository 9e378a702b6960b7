"""Answers are sent compressed where the browser understands it and it saves something."""

from fastapi.middleware.gzip import GZipMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

from teewright.web.assets import LEAST, UNDER

LEVEL = 5
PACKED = (".woff2", ".zip", ".png", ".jpg", ".webp", ".pdf", "/map", "/pack/file")
"""Ends of paths of what is compressed already."""
BEGINNINGS = ("/api/v1/attachments/", f"{UNDER}/")
"""Beginnings of those paths."""


class Packed:
    """Compresses pages, scripts and lists.

    What a page holds and nobody else may learn is the token of its forms; it is masked anew in
    each answer (`csrf.masked`).

    Args:
        app: What comes behind.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        self._packing = GZipMiddleware(app, minimum_size=LEAST, compresslevel=LEVEL)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        path = str(scope.get("path", ""))
        plain = scope["type"] != "http" or path.endswith(PACKED) or path.startswith(BEGINNINGS)
        await (self._app if plain else self._packing)(scope, receive, send)

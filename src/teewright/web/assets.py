"""Scripts, styles, fonts and signs: read and compressed once, and kept by browsers for good.

Each is asked for under an address that changes whenever any of them does; what is asked for by its
bare name is asked for again each time, and sent only if it changed.
"""

import gzip
import hashlib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from threading import Lock

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

STATIC = Path(__file__).parent / "static"
UNDER = "/static"
"""Address of all of them."""
FOR_GOOD = "public, max-age=31536000, immutable"
"""RFC 8246: what is kept under this address never changes."""
ASKED_AGAIN = "no-cache"
TYPES = {
    ".css": "text/css",
    ".js": "text/javascript",
    ".md": "text/plain",
    ".mjs": "text/javascript",
    ".svg": "image/svg+xml",
    ".txt": "text/plain",
    ".woff2": "font/woff2",
}
"""Media types by the ends of names; other files are not served."""
LEAST = 600
"""Smaller answers are sent as they are [bytes]."""
_BARE = frozenset({".woff2"})  # compressed already
_MARK = "~"
_Stamp = tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class Asset:
    """One file.

    Attributes:
        body: Its bytes.
        packed: The same compressed, or None where that saves nothing.
        kind: Media type.
        tag: Changes with the bytes.
    """

    body: bytes
    packed: bytes | None
    kind: str
    tag: str


class Assets:
    """Serves the files of a folder; an application of its own.

    Args:
        folder: Of the files.
    """

    def __init__(self, folder: Path = STATIC) -> None:
        self._folder, self._lock = folder, Lock()
        self._stamps: tuple[_Stamp, ...] = ()
        self._files: dict[str, Asset] = {}
        self._mark = ""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request.

        Raises:
            HTTPException: 404, there is no such file; 405, it was not asked for.
        """
        request = Request(scope)
        if request.method not in {"GET", "HEAD"}:
            raise HTTPException(405, headers={"Allow": "GET, HEAD"})
        path = request.url.path.removeprefix(UNDER).removeprefix("/")
        mark, _, name = path.partition("/") if path.startswith(_MARK) else ("", "", path)
        found = self._files.get(name)
        if found is None:
            await run_in_threadpool(self.look)
            found = self._files.get(name)
        if found is None:
            raise HTTPException(404)
        kept = bool(mark) and mark == self._mark
        await _answer(request, found, kept=kept)(scope, receive, send)

    @property
    def address(self) -> str:
        """Of all files as they are now."""
        self.look()
        return f"{UNDER}/{self._mark}"

    def look(self) -> None:
        """Read what changed since it was read last."""
        with self._lock:
            stamps = self._stamped()
            if stamps == self._stamps:
                return
            before = dict(zip(self._stamps, self._files.values(), strict=True))
            self._files = {s[0]: before.get(s) or _read(self._folder / s[0]) for s in stamps}
            self._stamps = stamps
            told = "\n".join(f"{name} {one.tag}" for name, one in self._files.items())
            self._mark = _MARK + hashlib.sha256(told.encode()).hexdigest()[:16]

    def _stamped(self) -> tuple[_Stamp, ...]:
        """Name, time and size of each file, in the order of the names."""
        found = []
        for path in self._folder.rglob("*"):
            if path.suffix in TYPES:
                stat = path.stat()
                name = path.relative_to(self._folder).as_posix()
                found.append((name, stat.st_mtime_ns, stat.st_size))
        return tuple(sorted(found))


@lru_cache(maxsize=1)
def assets() -> Assets:
    """Those of the pages, one for all servers of this process."""
    return Assets()


def _read(path: Path) -> Asset:
    body = path.read_bytes()
    bare = path.suffix in _BARE or len(body) < LEAST
    packed = None if bare else gzip.compress(body, 9, mtime=0)
    return Asset(
        body=body,
        packed=packed if packed is not None and len(packed) < len(body) else None,
        kind=TYPES[path.suffix],
        tag=hashlib.sha256(body).hexdigest()[:16],
    )


def _answer(request: Request, asset: Asset, *, kept: bool) -> Response:
    packed = asset.packed if "gzip" in request.headers.get("accept-encoding", "") else None
    headers = {
        "ETag": f'"{asset.tag}{"" if packed is None else "-gz"}"',
        "Cache-Control": FOR_GOOD if kept else ASKED_AGAIN,
    }
    if asset.packed is not None:
        headers["Vary"] = "Accept-Encoding"
    if asset.tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    if packed is not None:
        headers["Content-Encoding"] = "gzip"
    return Response(
        asset.body if packed is None else packed, media_type=asset.kind, headers=headers
    )

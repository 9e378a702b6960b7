"""What is happening now? The clock at the manhole: one page that a tablet keeps and runs alone.

The page itself holds no data: it reads them from the tablet's own store, which it brings up to
date whenever there is a signal.
"""

import hashlib
import json
from functools import lru_cache
from pathlib import Path

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response
from markupsafe import Markup

from teewright import __version__
from teewright.errors import UnknownNameError
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.assets import STATIC
from teewright.web.render import environment, page
from teewright.web.texts import catalogue, text

router = APIRouter()
SHELL = "/clock"
"""Address under which the tablet keeps the page."""


@router.get("/clock/sw.js")
def worker() -> Response:
    """The script that answers for the server where there is no signal."""
    kept = json.dumps([SHELL, *(f"/static/{name}" for name in _kept_files())])
    head = f'const VERSION = "{_version()}";\nconst KEPT = {kept};\n'
    body = (STATIC / "clock" / "sw.js").read_text(encoding="utf-8")
    headers = {"Service-Worker-Allowed": SHELL, "Cache-Control": "no-cache"}
    return Response(head + body, media_type="text/javascript", headers=headers)


@router.get("/clock/manifest.webmanifest")
def manifest() -> Response:
    """The clock as an app of the tablet's home screen."""
    return JSONResponse(
        {
            "name": text("clock.app"),
            "short_name": text("clock.app_short"),
            "start_url": SHELL,
            "scope": SHELL,
            "display": "standalone",
            "background_color": "#000000",
            "theme_color": "#000000",
            "icons": [{"src": "/static/clock/icon.svg", "sizes": "any", "type": "image/svg+xml"}],
        },
        media_type="application/manifest+json",
    )


@router.get("/clock")
def clock(request: Request) -> Response:
    """All installations of the job: begun, today's, and the rest."""
    return _shell(request, "list")


@router.get("/clock/{installation:path}")
def sheet(installation: str, request: Request, known: WhatIsKnown, office: TheOffice) -> Response:
    """The night sheet of one installation; the same page, which looks at its own address."""
    connection = installation.rpartition("#")[0]
    made = known.designs.of(connection) if known.designs else None
    if made is None and not office.desk.ask(lambda project: project.events(installation)):
        raise UnknownNameError("is not known", field="installation", value=installation)
    return _shell(request, "sheet")


def _shell(request: Request, shows: str) -> Response:
    texts = {key: words for key, words in catalogue().items() if key.startswith("clock.")}
    # `<` as an escape: the texts stand within an element of the page
    as_json = Markup(json.dumps(texts, ensure_ascii=False).replace("<", "\\u003c"))
    values = {"texts_json": as_json, "shell_version": _version(), "shows": shows}
    return page(request, "clock.html", values)


def _kept_files() -> tuple[str, ...]:
    """Files of the page that the tablet keeps, by their names under `/static`."""
    fonts = sorted(path.name for path in (STATIC / "fonts").glob("*.woff2"))
    own = sorted(path.name for path in (STATIC / "clock").iterdir() if path.name != "sw.js")
    return (
        "tokens.css",
        "pages.css",
        "print.css",
        "mark.svg",
        *(f"fonts/{name}" for name in fonts),
        *(f"clock/{name}" for name in own),
    )


@lru_cache(maxsize=1)
def _version() -> str:
    """Changes whenever anything that the tablet keeps does."""
    digest = hashlib.sha256(__version__.encode())
    template = environment().get_template("clock.html").filename or ""
    for path in (*(STATIC / name for name in _kept_files()), STATIC / "clock" / "sw.js"):
        digest.update(path.read_bytes())
    digest.update(Path(template).read_bytes())
    digest.update(json.dumps(catalogue(), sort_keys=True).encode())
    return digest.hexdigest()[:16]

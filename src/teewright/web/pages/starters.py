"""Files to begin with: a kit with invented figures, and a site that names what the survey holds."""

from fastapi import APIRouter
from fastapi.responses import Response

from teewright import demo
from teewright.errors import InputError
from teewright.formats.site_starter import starter_site
from teewright.web.asked import WhatIsKnown

router = APIRouter(prefix="/survey/starters")


@router.get("/kit.toml")
def kit() -> Response:
    """The starter kit, to be filled in with one's own figures."""
    return _file(demo.file(demo.KIT_FILE), "kit.toml")


@router.get("/site.toml")
def site(known: WhatIsKnown) -> Response:
    """Nodes, runs and connections of the survey, to be filled in.

    Raises:
        InputError: There is no survey whose places it could name.
    """
    if known.loaded is None:
        raise InputError("is not given yet", field="survey", allowed="the survey files first")
    return _file(starter_site(known.loaded.survey).encode(), "site.toml")


def _file(data: bytes, name: str) -> Response:
    head = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type="application/toml", headers=head)

"""Collars: the formed fabric as triangles, what is cut, and what another junction would ask."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Body, Query, Request
from fastapi.responses import FileResponse, Response
from pydantic import BaseModel, ConfigDict, Field
from starlette.exceptions import HTTPException

from teewright.bench.cutting import PACK_PAPER, collar_files
from teewright.collar.placed import Placed
from teewright.collar.values import Collar, CollarMap
from teewright.errors import UnknownNameError
from teewright.kit.values import Fabric
from teewright.report.tile_grid import PAPERS
from teewright.web import cuttings
from teewright.web.api.refusals import of_type
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.collar_map import MEDIA_TYPE, compressed, packed
from teewright.web.office import Known
from teewright.web.tasks import Task
from teewright.web.trying import Instant, Wish, bench_of, instant, order_of
from teewright.web.workshop import key_of

router = APIRouter(prefix="/collars", tags=["collars"])
TYPES = {"dxf": "image/vnd.dxf", "svg": "image/svg+xml", "pdf": "application/pdf"}
"""Media types of cutting files."""
MAP = {
    **of_type(MEDIA_TYPE),
    304: {"description": "The map is the one that the `If-None-Match` of the request names."},
}


class Tried(BaseModel):
    """A junction, and where the packer stands, to be tried; what is left out stays as known."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)

    connection: str = Field(description="Id of the connection.")
    angle: float | None = Field(default=None, gt=0.0, lt=3.15, description="[rad]")
    main: float | None = Field(
        default=None, gt=0.0, le=5.0, description="Inner diameter of the lined main [m]."
    )
    branch: float | None = Field(default=None, gt=0.0, le=5.0, description="[m]")
    fillet: float | None = Field(default=None, ge=0.0, le=0.5, description="[m]")
    along: float = Field(default=0.0, ge=-0.1, le=0.1, description="Upstream positive [m].")
    round: float = Field(default=0.0, ge=-0.6, le=0.6, description="About the main [rad].")
    keep: bool = Field(default=False, description="Whether the present collar is to serve it.")

    def wish(self) -> Wish:
        """The same as the domain has it."""
        return Wish(
            angle=self.angle,
            main=self.main,
            branch=self.branch,
            fillet=self.fillet,
            along=self.along,
            round=self.round,
            keep=self.keep,
        )


class Answered(BaseModel):
    """What is known at once, and of the collar made for it.

    `made` names the try once its collar is made, `task` the work while it goes on.
    """

    instant: Instant
    key: str | None = None
    made: bool = False
    task: Task | None = None
    placed: bool | None = None


@router.post("/try")
def try_(tried: Annotated[Tried, Body()], known: WhatIsKnown, office: TheOffice) -> Answered:
    """What another junction would ask: packer, pressure, times and wall at once.

    Where the fabric would land takes forming runs: `POST /collars/make` begins them.
    """
    bench, wish = bench_of(known, tried.connection), tried.wish()
    found = instant(bench, wish)
    if found.reasons:
        return Answered(instant=found)
    key = key_of(*order_of(bench, wish))
    made = office.workshop.tried(key)
    placed = made.placed.kept if made is not None and made.placed is not None else None
    return Answered(
        instant=found,
        key=key,
        made=made is not None,
        task=office.workshop.running(key),
        placed=placed,
    )


@router.post("/make", status_code=202)
def make(tried: Annotated[Tried, Body()], known: WhatIsKnown, office: TheOffice) -> Task:
    """Begin to make a collar on trial and to form it where the packer stands."""
    bench = bench_of(known, tried.connection)
    return office.workshop.begin(*order_of(bench, tried.wish()))


@router.get("/tries/{key}")
def made(key: str, office: TheOffice) -> Collar:
    """A collar that was made on trial."""
    return office.workshop.of(key).made.collar


@router.get("/tries/{key}/placed")
def placed(key: str, office: TheOffice) -> Placed:
    """The same formed off its place, without its triangles."""
    found = office.workshop.of(key).placed
    if found is None:
        raise UnknownNameError("is not off its place", field="try", value=key)
    nothing = CollarMap((), (), (), (), (), (), (), ())
    return replace(found, map=nothing)


@router.get("/tries/{key}/map", responses=MAP, response_class=Response)
def map_of_try(key: str, request: Request, known: WhatIsKnown, office: TheOffice) -> Response:
    """Where it landed, as triangles."""
    tried = office.workshop.of(key)
    found = tried.placed.map if tried.placed is not None else tried.made.map
    return _sent(request, found, fabric_of(known, tried.made.collar.fabric), key)


@router.post("/cutting", status_code=202)
def make_cutting(known: WhatIsKnown, office: TheOffice) -> Task:
    """Begin to make the cutting files of all patterns, for tiles of A4.

    What is being made already is given back. Once the task is done, `GET
    /api/v1/collars/cutting.zip` answers at once.
    """
    return cuttings.begin(office, known)


@router.get("/cutting.zip", responses=of_type("application/zip"), response_class=Response)
def cutting(
    known: WhatIsKnown, office: TheOffice, paper: Annotated[str, Query()] = PACK_PAPER
) -> Response:
    """The cutting files of all patterns in use: DXF, SVG of each piece, PDF at 1:1.

    They are given at once where `POST /api/v1/collars/cutting` has made them for the collars as
    they are now. Else, and for tiles of other paper, they are made while the client waits, some
    seconds a pattern.
    """
    if paper not in PAPERS:
        raise UnknownNameError("is no paper", field="paper", value=paper, allowed=", ".join(PAPERS))
    designs = cuttings.designed(known)
    made = cuttings.kept(office, known) if paper == PACK_PAPER else None
    if made is not None:
        return FileResponse(made, media_type="application/zip", filename="cutting.zip")
    data = cuttings.zipped(designs, paper, lambda _: None)
    saved = {"Content-Disposition": 'attachment; filename="cutting.zip"'}
    return Response(data, media_type="application/zip", headers=saved)


@router.get("/{pattern}")
def collar(pattern: str, known: WhatIsKnown) -> Collar:
    """A pattern in use."""
    return collar_of(known, pattern)


@router.get("/{pattern}/map", responses=MAP, response_class=Response)
def map_of(pattern: str, request: Request, known: WhatIsKnown) -> Response:
    """Where its fabric lands, as triangles with stretch, thickness and wrinkle margin.

    The bytes are `TWM1`, the length of the head as a 32-bit number, the head as JSON, then
    little-endian arrays, each from a multiple of four bytes on: points, corners of the triangles,
    of each quantity its values [SI], classes of colour and whether it lies beyond its limit, the
    least stretch, the seams, and of each flat piece its points, corners and triangles in space.
    """
    collar = collar_of(known, pattern)
    found = dict(known.designs.maps).get(pattern) if known.designs else None
    if found is None:
        raise UnknownNameError("has no picture", field="pattern", value=pattern)
    tag = f"{known.inputs.fingerprint[:16]}-{pattern}"
    return _sent(request, found, fabric_of(known, collar.fabric), tag)


@router.get("/{pattern}/files/{name}", responses=of_type(*TYPES.values()), response_class=Response)
def file(pattern: str, name: str, known: WhatIsKnown) -> Response:
    """A cutting file: `P1.dxf`, `P1-main.svg`, `P1-whole.pdf`, `P1-A4.pdf`."""
    for found, data in _files(collar_of(known, pattern), name):
        if found == name:
            kind = TYPES[name.rsplit(".", 1)[-1]]
            saved = {"Content-Disposition": f'attachment; filename="{name}"'}
            return Response(data, media_type=kind, headers=saved)
    raise UnknownNameError("is no cutting file", field="file", value=name)


def _files(collar: Collar, name: str) -> Iterator[tuple[str, bytes]]:
    """Files one by one, on the paper that the name asks for."""
    paper = next((p for p in PAPERS if name.endswith(f"-{p}.pdf")), "A4")
    return collar_files(collar, paper)


def collar_of(known: Known, pattern: str) -> Collar:
    """A pattern in use.

    Raises:
        HTTPException: 409, nothing is designed yet.
        UnknownNameError: There is no such pattern.
    """
    if known.designs is None:
        raise HTTPException(409, cuttings.NOT_YET)
    for design in known.designs.designs:
        if design.collar.pattern == pattern:
            return design.collar
    raise UnknownNameError("is no pattern of this job", field="pattern", value=pattern)


def fabric_of(known: Known, name: str) -> Fabric | None:
    """The fabric of a collar, or None where the kit no longer has it."""
    fabrics = known.loaded.kit.fabrics if known.loaded else ()
    return next((fabric for fabric in fabrics if fabric.name == name), None)


def _sent(request: Request, found: CollarMap, fabric: Fabric | None, tag: str) -> Response:
    """The map, compressed where that is understood; nothing where the browser has it."""
    headers = {
        "ETag": f'"{tag}"', "Cache-Control": "private, no-cache", "Vary": "Accept-Encoding",
    }  # fmt: skip
    if f'"{tag}"' in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    if "gzip" in request.headers.get("accept-encoding", ""):
        headers["Content-Encoding"] = "gzip"
        return Response(compressed(found, fabric), media_type=MEDIA_TYPE, headers=headers)
    return Response(packed(found, fabric), media_type=MEDIA_TYPE, headers=headers)

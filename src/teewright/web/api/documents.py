"""Files of the job: what there are, more of them, one out, one back."""

from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote

from fastapi import APIRouter, UploadFile
from fastapi.responses import JSONResponse, Response

from teewright.bench.giving import known_as
from teewright.formats.kinds import Kind
from teewright.web import giving
from teewright.web.api.refusals import of_type
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.office import Office
from teewright.web.problems import problem

router = APIRouter(prefix="/documents", tags=["job"])


@dataclass(frozen=True, slots=True)
class Held:
    """A file of the project.

    Attributes:
        kind: `survey`, `kit`, `site`, or `readings` of a cure that the kit names.
        name: Its name.
        version: From 1.
        sha256: Of its bytes, hex.
        size: [bytes].
        added: When.
    """

    kind: str
    name: str
    version: int
    sha256: str
    size: int
    added: datetime


def held(office: Office) -> list[Held]:
    """Every file of the project."""
    documents = office.desk.ask(lambda project: project.documents())
    kinds = {kind.value for kind in Kind}
    return [
        Held(*known_as(d.kind, d.name), d.version, d.sha256, len(d.data), d.added)
        for d in documents
        if d.kind in kinds
    ]


@router.get("")
def documents(office: TheOffice) -> list[Held]:
    """Survey files, kit with its readings, and site."""
    return held(office)


@router.post("", status_code=201, response_model=list[Held])
def give(files: list[UploadFile], office: TheOffice, known: WhatIsKnown) -> Response | list[Held]:
    """Give files: survey, kit with the readings it names, site; all are taken, or none.

    They are told apart by what they hold.
    """
    faults = giving.take(office, known.inputs, files)
    if not faults:
        return held(office)
    told = [{"file": fault.file, "said": fault.said} for fault in faults]
    answer: JSONResponse = problem(422, faults[0].said, kind="/problems/file", faults=told)
    return answer


@router.get(
    "/{kind}/{name}", response_class=Response, responses=of_type("application/octet-stream")
)
def document(kind: str, name: str, office: TheOffice) -> Response:
    """The bytes of a file as they were given."""
    kept = giving.bytes_of(office, giving.kind_named(kind), name)
    headers = {"Content-Disposition": f"attachment; filename*=utf-8''{quote(name, safe='')}"}
    return Response(kept, media_type="application/octet-stream", headers=headers)


@router.delete("/{kind}/{name}")
def remove(kind: str, name: str, office: TheOffice, known: WhatIsKnown) -> list[Held]:
    """Take a file out; its bytes stay in the project as history."""
    giving.remove(office, known.inputs, giving.kind_named(kind), name)
    return held(office)


@router.post("/{kind}/{name}/undo")
def undo(kind: str, name: str, office: TheOffice, known: WhatIsKnown) -> list[Held]:
    """Put what counted before the last change of a file in its place."""
    giving.put_back(office, known.inputs, giving.kind_named(kind), name)
    return held(office)

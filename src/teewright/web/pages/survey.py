"""What did the survey find? Files in, runs with their connections, what is doubtful."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import RedirectResponse, Response

from teewright.assess.values import Need
from teewright.bench.amending import corrections_of, key_of
from teewright.bench.giving import known_as
from teewright.findings import Finding
from teewright.formats.kinds import Kind
from teewright.job.correcting import LOST, RULE
from teewright.web import giving
from teewright.web.api.documents import Held, held
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.drawings import marks
from teewright.web.giving import Fault
from teewright.web.office import Known, Office
from teewright.web.pages.frames import frame_of
from teewright.web.pages.survey_list import run_address, run_sheet
from teewright.web.render import page
from teewright.web.survey_words import GRAVE, findings_of, need_word, open_ones
from teewright.web.texts import text

router = APIRouter(prefix="/survey")
SHOWN = 8
"""Findings shown beside the runs; further ones stand under a fold."""
LISTED = 200
"""Corrections listed at the most, the last ones."""
UNFOLDED = 200
"""Findings under the fold at the most, those first that stand nowhere else."""


@dataclass(frozen=True, slots=True)
class ByHand:
    """One correction of the list.

    Attributes:
        subject: Run or connection, or `""`.
        what: What was corrected.
        why: In plain words, or `""`.
        who: Name or role.
        at: Date and time.
        key: By which it is taken back.
    """

    subject: str
    what: str
    why: str
    who: str
    at: str
    key: str


@dataclass(frozen=True, slots=True)
class Told:
    """A finding with where it leads.

    Attributes:
        finding: The finding.
        place: Address of its line in its file, or `""`.
        subject: Address of what it is about, or `""`.
    """

    finding: Finding
    place: str
    subject: str


@router.get("")
def survey(
    request: Request, known: WhatIsKnown, office: TheOffice, sheet: int = 1, find: str = ""
) -> Response:
    """What did the survey find?"""
    return _shown(request, known, office, sheet=sheet, find=find)


@router.post("/files")
def give(
    request: Request,
    known: WhatIsKnown,
    office: TheOffice,
    files: Annotated[list[UploadFile] | None, File()] = None,
) -> Response:
    """Give files."""
    faults = giving.take(office, known.inputs, files or [])
    if faults:
        return _shown(request, known, office, faults, status=422)
    return RedirectResponse("/survey", status_code=303)


@router.post("/files/remove")
def remove(
    known: WhatIsKnown,
    office: TheOffice,
    kind: Annotated[str, Form()],
    name: Annotated[str, Form()],
) -> Response:
    """Take a file out."""
    giving.remove(office, known.inputs, giving.kind_named(kind), name)
    return RedirectResponse("/survey", status_code=303)


@router.post("/files/undo")
def undo(
    known: WhatIsKnown,
    office: TheOffice,
    kind: Annotated[str, Form()],
    name: Annotated[str, Form()],
) -> Response:
    """Undo the last change of a file."""
    giving.put_back(office, known.inputs, giving.kind_named(kind), name)
    return RedirectResponse("/survey", status_code=303)


def connection_address(connection_id: str) -> str:
    """Address of a connection on the page of its run."""
    run_id, _, label = connection_id.rpartition("/")
    return f"{run_address(run_id)}#c-{quote(label)}"


def told(findings: Sequence[Finding], known: Known) -> tuple[Told, ...]:
    """Findings with where they lead."""
    if known.loaded is None:
        return ()
    documents = _documents(known)
    connections = {c.id for c in known.loaded.survey.connections}
    runs = {r.id for r in known.loaded.survey.runs}

    def place(finding: Finding) -> str:
        if finding.place.file not in documents:
            return ""
        line = finding.place.line
        return file_address(finding.place.file, line)

    def subject(finding: Finding) -> str:
        if finding.subject in connections:
            return connection_address(finding.subject)
        return run_address(finding.subject) if finding.subject in runs else ""

    return tuple(Told(f, place(f), subject(f)) for f in findings)


def file_address(name: str, line: int | None) -> str:
    """Address of a line on the page of its file."""
    at = f"?line={line}#l{line}" if line else ""
    return f"/survey/files/{quote(name)}{at}"


def by_hand(known: Known, most: int = LISTED) -> tuple[ByHand, ...]:
    """Corrections by hand, the last one first, and no more of them than that."""
    if known.loaded is None:
        return ()
    found = [f for f in known.loaded.survey.findings if f.rule in {RULE, LOST}]
    pairs = zip(corrections_of(known.inputs), found, strict=True)
    return tuple(
        ByHand(
            f.subject,
            f.value,
            one.why,
            one.who,
            one.at[:16].replace("T", " "),
            key_of(one),
        )
        for one, f in list(pairs)[: -most - 1 : -1]
    )


def _documents(known: Known) -> set[str]:
    inputs = known.inputs
    others = [d for d in (inputs.kit, inputs.site) if d is not None]
    return {d.name for d in (*inputs.surveys, *others, *inputs.beside)}


def _shown(
    request: Request,
    known: Known,
    office: Office,
    faults: Sequence[Fault] = (),
    *,
    status: int = 200,
    sheet: int = 1,
    find: str = "",
) -> Response:
    findings = findings_of(known)
    asking = open_ones(findings)
    others = [*asking[SHOWN:], *(f for f in findings if f.kind not in GRAVE)]
    further = sorted(others, key=lambda f: bool(f.subject or f.place.line))
    files = held(office)
    kinds = [kind.value for kind in Kind if kind is not Kind.READINGS]
    removed = office.desk.ask(lambda project: project.removed_documents())
    return page(
        request,
        "survey.html",
        {
            "runs": run_sheet(known, asking, sheet=sheet, find=find),
            "files": files,
            "missing": [kind for kind in kinds if kind not in {f.kind for f in files}],
            "removed": [each for each in removed if known_as(*each)[0] in kinds],
            "faults": faults,
            "asking": told(asking[:SHOWN], known),
            "more": told(further[:UNFOLDED], known),
            "further": len(further),
            "counted": len(asking),
            "corrections": by_hand(known),
            "corrected": len(corrections_of(known.inputs)),
            "legend": [(marks.mark(need), need_word(need)) for need in Need],
            "problem": known.problem,
            "most": office.settings.largest_upload / 2**20,
            "address": file_address,
        },
        frame=frame_of(known, "survey", _answer(known, files, len(asking))),
        status=status,
    )


def _answer(known: Known, files: Sequence[Held], asking: int) -> str:
    if known.loaded is None:
        surveys = [f for f in files if f.kind == Kind.SURVEY]
        return text("survey.answer_unread" if surveys else "survey.answer_empty")
    found = known.loaded.survey
    counts = {
        "connections": text("survey.connections", n=len(found.connections)),
        "runs": text("survey.runs", n=len(found.runs)),
    }
    if asking:
        return text("survey.answer", **counts, findings=text("survey.looks", n=asking))
    return text("survey.answer_clean", **counts)

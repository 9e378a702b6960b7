"""What does this file say? Its lines, with each finding at the line that caused it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from teewright.bench.inputs import Document
from teewright.errors import UnknownNameError
from teewright.formats.kinds import lines_of
from teewright.web.asked import WhatIsKnown
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.pages.survey import Told, told
from teewright.web.render import page
from teewright.web.survey_words import findings_of
from teewright.web.texts import text

router = APIRouter(prefix="/survey/files")
ROOM = 1000
"""Lines on one page."""
ROUND = 2
"""Lines shown before and after one with a finding."""
LONGEST = 400
"""Characters of a line that are shown."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a file.

    Attributes:
        number: From 1.
        said: The line, cut where it is very long.
        findings: That it caused.
    """

    number: int
    said: str
    findings: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class Stretch:
    """Lines that stand together.

    Attributes:
        lines: One after the other.
        folded: Whether they are folded away, for they have no finding.
    """

    lines: tuple[Line, ...]
    folded: bool


@router.get("/{name}")
def file(
    name: str, request: Request, known: WhatIsKnown, line: int = 0, sheet: int = 0
) -> Response:
    """One file with its findings."""
    document = _document(known, name)
    lines = lines_of(document.data, file=name)
    sheets = max(1, -(-len(lines) // ROOM))
    shown = min(max(sheet or -(-line // ROOM), 1), sheets)
    found = told([f for f in findings_of(known) if f.place.file == name], known)
    first = (shown - 1) * ROOM
    placed = sum(t.finding.place.line is not None for t in found)
    answer = text("survey.file.answer", file=name, lines=text("survey.file.lines", n=len(lines)),
                  findings=text("survey.file.findings", n=len(found)))  # fmt: skip
    return page(
        request,
        "survey_file.html",
        {
            "name": name,
            "whole": [t for t in found if t.finding.place.line is None],
            "placed": placed,
            "stretches": stretches(lines[first : first + ROOM], first + 1, found, line),
            "sheet": shown,
            "sheets": sheets,
            "marked": line,
        },
        frame=frame_of(
            known, "survey", answer, ((text("common.rooms.survey"), "/survey"), (name, ""))
        ),
    )


def stretches(
    lines: Sequence[str], first: int, found: Sequence[Told], marked: int = 0
) -> tuple[Stretch, ...]:
    """Lines in stretches: those round a finding open, the others folded away.

    Args:
        lines: Of the file, or a part of them.
        first: Number of the first.
        found: Findings of the file.
        marked: A further line that is to be open, 0 for none.
    """
    at: dict[int, list[Told]] = defaultdict(list)
    for one in found:
        if one.finding.place.line is not None:
            at[one.finding.place.line].append(one)
    wanted = {n + d for n in (*at, marked) if n for d in range(-ROUND, ROUND + 1)}
    made: list[Stretch] = []
    for number, said in enumerate(lines, first):
        cut = said if len(said) <= LONGEST else said[:LONGEST] + "…"
        line = Line(number, cut, tuple(at.get(number, ())))
        folded = number not in wanted
        if made and made[-1].folded is folded:
            made[-1] = Stretch((*made[-1].lines, line), folded)
        else:
            made.append(Stretch((line,), folded))
    return tuple(made)


def _document(known: Known, name: str) -> Document:
    inputs = known.inputs
    for document in (*inputs.surveys, inputs.kit, inputs.site, *inputs.beside):
        if document is not None and document.name == name:
            return document
    raise UnknownNameError("is no file of the project", field="file", value=name)

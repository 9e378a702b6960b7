"""What stands where in this run? Section, strip, true shapes, and the list that goes with them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response
from markupsafe import Markup
from pydantic import BaseModel

from teewright.assess.make_ready import MakeReady
from teewright.assess.values import Verdict
from teewright.errors import UnknownNameError
from teewright.network.values import Connection, Run
from teewright.web import correcting, run_fields, survey_fields
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks
from teewright.web.drawings import run_upright, run_wide
from teewright.web.drawings.run_section import LEFT, RIGHT
from teewright.web.drawings.run_view import RunView, view_of
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.pages.survey import by_hand, connection_address, told
from teewright.web.pages.survey_items import SEALED, Refused, Way, item_of
from teewright.web.pages.survey_list import run_address
from teewright.web.render import given_words, page, system_of
from teewright.web.run_fields import Measure
from teewright.web.survey_words import (
    choices,
    facts,
    findings_of,
    open_ones,
    window_words,
)
from teewright.web.texts import text

router = APIRouter(prefix="/survey/runs")
WIDE, MIDDLE = 944.0, 636.0
"""Widths of the drawing that lies [px]."""


@dataclass(frozen=True, slots=True)
class RefusedRun:
    """The form of a run that is shown again.

    Attributes:
        form: With its faults.
        why: The reason that was given.
    """

    form: tuple[Measure, ...]
    why: str


class Fields(BaseModel):
    """The form with what is known of a connection; what is not sent stays as it is."""

    connection: str
    why: str = ""
    chainage: str | None = None
    clock: str | None = None
    diameter: str | None = None
    angle: str | None = None
    state: str | None = None
    kind: str | None = None


class Measures(BaseModel):
    """The form with what is known of a run; what is not sent stays as it is."""

    run: str
    why: str = ""
    length: str | None = None
    diameter: str | None = None


@router.get("/{run_id:path}")
def run(run_id: str, request: Request, known: WhatIsKnown) -> Response:
    """One run."""
    return _shown(request, known, run_id)


@router.post("/fields")
def fields(
    request: Request,
    known: WhatIsKnown,
    office: TheOffice,
    who: WhoAsks,
    form: Annotated[Fields, Form()],
) -> Response:
    """Set fields of a connection; the form is shown again where one cannot be."""
    if known.loaded is None:
        raise UnknownNameError("is not there yet", field="survey")
    found = correcting.connection_of(known.loaded.survey, form.connection)
    given = {key: value for key, value in form.model_dump().items() if value is not None}
    changes, shown = survey_fields.read(found, given, system_of(request))
    if any(entry.fault for entry in shown):
        refused = (found.id, shown, form.why)
        return _shown(request, known, found.run_id, refused=refused, status=422)
    if changes:
        correcting.correct(office, known, changes, who=who.name, why=form.why)
    return RedirectResponse(connection_address(found.id), status_code=303)


@router.post("/measures")
def measures(
    request: Request,
    known: WhatIsKnown,
    office: TheOffice,
    who: WhoAsks,
    form: Annotated[Measures, Form()],
) -> Response:
    """Set length and diameter of a run; the form is shown again where one cannot be."""
    if known.loaded is None:
        raise UnknownNameError("is not there yet", field="survey")
    found = correcting.run_of(known.loaded.survey, form.run)
    given = {key: value for key, value in form.model_dump().items() if value is not None}
    changes, shown = run_fields.read(found, given, system_of(request))
    if any(measure.fault for measure in shown):
        return _shown(request, known, found.id, refused_run=RefusedRun(shown, form.why), status=422)
    if changes:
        correcting.correct(office, known, changes, who=who.name, why=form.why)
    return RedirectResponse(run_address(found.id), status_code=303)


def _shown(
    request: Request,
    known: Known,
    run_id: str,
    *,
    refused: Refused | None = None,
    refused_run: RefusedRun | None = None,
    status: int = 200,
) -> Response:
    if known.loaded is None or known.assessment is None:
        raise UnknownNameError("is not in the survey", field="run", value=run_id)
    found = correcting.run_of(known.loaded.survey, run_id)
    system = system_of(request)
    members = known.loaded.survey.of_run(run_id)
    verdicts = {v.connection_id: v for v in known.assessment.verdicts}
    words = {c.id: window_words(c, verdicts[c.id], system, given_words(request)) for c in members}
    view = view_of(known.loaded, found, verdicts, words, system)
    ids = {run_id, *(c.id for c in members)}
    asking = [f for f in open_ones(findings_of(known)) if f.subject in ids]
    items = tuple(item_of(known, c, verdicts[c.id], asking, system, refused) for c in members)
    runs = [r.id for r in known.loaded.survey.runs]
    at = runs.index(run_id)
    last = by_hand(known, 1)
    return page(
        request,
        "survey_run.html",
        {
            "run": found,
            "items": items,
            "drawings": _drawings(view),
            "own": told([f for f in asking if f.subject == run_id], known),
            "ways": _run_ways(found),
            "measures": refused_run.form if refused_run else run_fields.measures(found, system),
            "refused_run": refused_run,
            "choices": choices(),
            "works": [kind.value for kind in MakeReady],
            "before": run_address(runs[at - 1]) if at else "",
            "after": run_address(runs[at + 1]) if at + 1 < len(runs) else "",
            "names": (runs[at - 1] if at else "", runs[at + 1] if at + 1 < len(runs) else ""),
            "last": last[0] if last else None,
            "undo_back": run_address(run_id),
            "here": run_address(run_id),
            "scales": _scales(view),
            "refused": refused,
            "access": _access(view),
            "facts": facts(known.loaded, found, system),
        },
        frame=frame_of(
            known,
            "needs",
            _answer(run_id, members, verdicts, len(asking)),
            ((text("common.rooms.survey"), "/survey"), (text("survey.run.name", run=run_id), "")),
        ),
        status=status,
    )


def _answer(
    run_id: str, members: Sequence[Connection], verdicts: Mapping[str, Verdict], open_: int
) -> str:
    if not members:
        return text("survey.run.answer_none", run=run_id)
    sealed = [verdicts[c.id] for c in members if verdicts[c.id].need in SEALED]
    wet = [v for v in sealed if (v.entry.head or 0.0) > 0.0]
    said = text("survey.run.answer", n=len(sealed), all=len(members))
    if sealed and len(wet) == len(sealed):
        said += text("survey.run.all_wet" if len(sealed) > 1 else "survey.run.one_wet")
    if open_:
        said += text("survey.run.open", n=open_)
    return said


def _drawings(view: RunView) -> tuple[Markup, ...]:
    return (
        run_wide.draw(view, WIDE, "strip strip-w"),
        run_wide.draw(view, MIDDLE, "strip strip-t"),
        run_upright.draw(view, "strip strip-p"),
    )


def _scales(view: RunView) -> str:
    if view.bore is None:
        return text("survey.run.scale_along")
    times = run_wide.per_metre(view, WIDE) * view.length / (WIDE - LEFT - RIGHT)
    return text("survey.run.scales", times=f"{times:.2g}")


def _access(view: RunView) -> str:
    """Hours in which the street may be occupied, in words."""
    spans = [f"{_hour(start)}–{_hour(end)}" for start, end in view.declared.access]
    return text("survey.run.access", hours=", ".join(spans)) if spans else ""


def _hour(seconds: float) -> str:
    minutes = round(seconds / 60.0) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _run_ways(run_: Run) -> tuple[Way, ...]:
    """Acts about the run itself: whether it is lined."""
    value, key = ("no", "survey.hand.not_lined") if run_.lined else ("yes", "survey.hand.lined")
    act = (("act", "set run"), ("run", run_.id), ("field", "lined"), ("value", value))
    return (Way(text(key), act),)

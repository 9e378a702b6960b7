"""How far is the job? The questions, what is known of each, and the next act."""

from collections.abc import Sequence

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from teewright.findings import Finding, FindingKind
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.drawings import track
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.pages.survey import told
from teewright.web.render import page
from teewright.web.stages import SET, Answered, Stage, stages
from teewright.web.survey_words import findings_of
from teewright.web.texts import text

router = APIRouter()
OPEN_FINDINGS = 5
"""Findings shown beside the questions; the rest is counted."""


@router.get("/")
def job(request: Request, known: WhatIsKnown, office: TheOffice) -> Response:
    """How far is the job?"""
    found, found_stages = gravest_first(known), stages(known)
    return page(
        request,
        "job.html",
        {
            "stages": _way(found_stages),
            "legend": _legend(),
            "next": next(stage.room for stage in found_stages if stage.next),
            "findings": told(found[:OPEN_FINDINGS], known),
            "more": max(0, len(found) - OPEN_FINDINGS),
            "task": office.tasks.to_show("design", "plan"),
            "problem": known.problem,
            "collars": bool(known.designs and known.designs.designs),
        },
        frame=frame_of(known, "job", answer(known)),
    )


def answer(known: Known) -> str:
    """How far the job is, one sentence."""
    if known.loaded is None:
        return text("job.answer_empty")
    if known.designs is None:
        return text("job.answer_read", n=len(known.loaded.survey.connections))
    if not known.designs.designs:
        return text("job.answer_none")
    if known.job is None:
        return text("job.answer_designed", n=len(known.designs.designs))
    programme = known.job.programme
    left = len(programme.unplanned)
    done = sum(record.state in SET for record in known.job.records)
    return text(
        "job.answer_planned",
        collars=text("job.collars", n=sum(len(shift.visits) for shift in programme.shifts)),
        shifts=text("job.shifts", n=len(programme.shifts)),
        left=text("job.left", n=left) if left else "",
        done=text("job.done", n=done) if done else text("job.done_none"),
    )


def _way(found: Sequence[Stage]) -> list[tuple[Stage, Markup, Markup]]:
    """Each question with its piece of the drawing and, where it is counted, its share."""
    return [
        (stage, piece, track.share_bar(stage.share) if stage.counted else Markup())
        for stage, piece in zip(found, track.pieces(found), strict=True)
    ]


def _legend() -> list[tuple[Markup, str]]:
    signs = [(track.sign(each), text(f"job.answered.{each}")) for each in Answered]
    return [*signs, (track.sign(Answered.OPEN, following=True), text("job.legend.next"))]


def gravest_first(known: Known) -> tuple[Finding, ...]:
    """What is doubtful, the gravest first."""
    found = known.job.findings if known.job is not None else findings_of(known)
    rank = list(FindingKind)
    return tuple(sorted(found, key=lambda finding: -rank.index(finding.kind)))

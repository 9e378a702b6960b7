"""How far is the job? The questions, what is known of each, and the next act."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from teewright.assess.values import Need
from teewright.findings import Finding, FindingKind
from teewright.job.values import Job
from teewright.proof.values import HandoverState
from teewright.site.values import InstallationState
from teewright.units import MINUTE
from teewright.web.asked import TheOffice, WhatIsKnown
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.pages.survey import told
from teewright.web.render import ROOMS, page
from teewright.web.survey_words import findings_of
from teewright.web.texts import text

router = APIRouter()
OPEN_FINDINGS = 5
"""Findings shown beside the questions; the rest is counted."""


@dataclass(frozen=True, slots=True)
class Line:
    """One question on the page.

    Attributes:
        room: Which.
        said: What is known of it, or what it waits for.
        done: Whether it is answered.
    """

    room: str
    said: str
    done: bool


@router.get("/")
def job(request: Request, known: WhatIsKnown, office: TheOffice) -> Response:
    """How far is the job?"""
    found = gravest_first(known)
    return page(
        request,
        "job.html",
        {
            "lines": lines(known),
            "next": next_act(known),
            "findings": told(found[:OPEN_FINDINGS], known),
            "more": max(0, len(found) - OPEN_FINDINGS),
            "task": office.tasks.to_show("design", "plan"),
            "problem": known.problem,
        },
        frame=frame_of(known, "job", answer(known)),
    )


def answer(known: Known) -> str:
    """How far the job is, one sentence."""
    if known.loaded is None:
        return text("job.answer_empty")
    if known.designs is None:
        return text("job.answer_read", n=len(known.loaded.survey.connections))
    collars = len(known.designs.designs)
    if known.job is None:
        return text("job.answer_designed", collars=collars)
    done = sum(state.finished and not state.aborted for state in known.job.installations)
    shifts = len(known.job.programme.shifts)
    return text("job.answer_planned", collars=collars, shifts=shifts, done=done)


def next_act(known: Known) -> str:
    """Name of the next act: `survey`, `design` or `clock`."""
    if known.loaded is None:
        return "survey"
    return "design" if known.job is None else "clock"


def lines(known: Known) -> tuple[Line, ...]:
    """What is known of each question."""
    said = {**_read(known), **_designed(known), **(_planned(known.job) if known.job else {})}
    found, before = [], "survey"
    for room in ROOMS:
        if room in said:
            found.append(Line(room, said[room], done=True))
        else:
            waits = text("job.waits", what=text(f"common.rooms.{before}").lower())
            found.append(Line(room, waits, done=False))
            continue
        before = room
    return tuple(found)


def _read(known: Known) -> dict[str, str]:
    if known.loaded is None or known.assessment is None:
        return {}
    survey, needs = known.loaded.survey, known.assessment.verdicts
    seal = sum(need.need is Need.SEAL for need in needs)
    ready = sum(need.need is Need.MAKE_READY for need in needs)
    runs, connections = len(survey.runs), len(survey.connections)
    return {
        "survey": text("job.state.survey", connections=connections, runs=runs),
        "needs": text("job.state.needs", seal=seal, ready=ready),
    }


def _designed(known: Known) -> dict[str, str]:
    if known.designs is None or not known.designs.designs:
        return {}
    made = known.designs.designs
    patterns = len({design.collar.pattern for design in made})
    works = min(design.cure.latest_inflation for design in made) / MINUTE
    release = max(design.cure.release_time for design in made) / MINUTE
    refused = len(known.designs.refusals)
    return {
        "collars": text("job.state.collars", collars=len(made), patterns=patterns, refused=refused),
        "day": text("job.state.day", minutes=f"{works:.0f}", release=f"{release:.0f}"),
    }


def _planned(job: Job) -> dict[str, str]:
    states: tuple[InstallationState, ...] = job.installations
    tests = [record for record in job.records if record.test is not None]
    return {
        "programme": text(
            "job.state.programme",
            shifts=len(job.programme.shifts),
            unplanned=len(job.programme.unplanned),
        ),
        "clock": text(
            "job.state.clock",
            begun=len(states),
            finished=sum(state.finished for state in states),
        ),
        "proof": text(
            "job.state.proof",
            tight=sum(bool(record.test and record.test.passed) for record in tests),
            tested=len(tests),
        ),
        "handover": text(
            "job.state.handover",
            ready=sum(record.state is HandoverState.TIGHT for record in job.records),
            all=len(job.records),
        ),
        "price": text("job.state.price", total=f"{job.quote.total:,.0f} {job.quote.currency}"),
    }


def gravest_first(known: Known) -> tuple[Finding, ...]:
    """What is doubtful, the gravest first."""
    found = known.job.findings if known.job is not None else findings_of(known)
    rank = list(FindingKind)
    return tuple(sorted(found, key=lambda finding: -rank.index(finding.kind)))

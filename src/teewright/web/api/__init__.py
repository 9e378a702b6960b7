"""HTTP API, version 1: JSON in, JSON or `application/problem+json` out."""

from fastapi import APIRouter

from teewright.web.api import (
    clock,
    collars,
    corrections,
    decisions,
    documents,
    events,
    job,
    me,
    people,
    programme,
    session,
    tasks,
)
from teewright.web.api.refusals import REFUSALS, describe

__all__ = ["DESCRIPTION", "TAGS", "describe", "router"]

DESCRIPTION = """One job: its survey, needs, collars, programme, log and hand-over.

Numbers are in SI units (K, Pa, m, s, kg, m3), angles in radians, clock positions in hours; times
carry their zone, but for those of the programme, which are local times of the site; `null` stands
for what is not known. What failed is `application/problem+json` (RFC 9457) with one plain sentence
in `detail`.

Who must sign in sends the cookie that `POST /api/v1/session` sets, and with everything but GET
the header `X-CSRF-Token`, which that answer and `GET /api/v1/me` tell. A write may carry an
`Idempotency-Key`: sent again under the same key it is done once and answered the same, but for a
password that was made, which is told once. Files and events need no key: the same again changes
nothing."""
TAGS = [
    {"name": "job", "description": "What is known of the job, step by step."},
    {"name": "tasks", "description": "Long work: begin it, ask how far it is, stop it."},
    {
        "name": "collars",
        "description": "Formed collars, cutting files, and other junctions on trial.",
    },
    {"name": "programme", "description": "Shifts moved by hand, kept, undone and planned again."},
    {"name": "clock", "description": "All that a tablet must know to run the clock alone."},
    {"name": "events", "description": "What happened on site: send it, ask what others sent."},
    {"name": "me", "description": "Who asks; sign in and out."},
    {"name": "people", "description": "Who may sign in, as which role; for engineers."},
]

router = APIRouter(prefix="/api/v1", responses=REFUSALS)
router.include_router(tasks.router)
router.include_router(job.router)
router.include_router(me.router)
router.include_router(collars.router)
router.include_router(clock.router)
router.include_router(events.router)
router.include_router(programme.router)
router.include_router(documents.router)
router.include_router(corrections.router)
router.include_router(decisions.router)
router.include_router(session.router)
router.include_router(people.router)

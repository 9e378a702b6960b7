"""Pages: each answers one question."""

from fastapi import APIRouter

from teewright.web.pages import choices, job, tasks

router = APIRouter(include_in_schema=False)
for module in (job, tasks, choices):
    router.include_router(module.router)

"""Pages: each answers one question."""

from fastapi import APIRouter

from teewright.web.pages import (
    choices,
    clock,
    collar,
    collars,
    day,
    handover,
    job,
    me,
    needs,
    people,
    price,
    programme,
    proof,
    signin,
    starters,
    survey,
    survey_corrections,
    survey_files,
    survey_runs,
    tasks,
)

router = APIRouter(include_in_schema=False)
for module in (
    job,
    tasks,
    choices,
    clock,
    collars,
    collar,
    day,
    programme,
    proof,
    handover,
    price,
    people,
    me,
    signin,
):
    router.include_router(module.router)
for module in (survey, starters, survey_files, survey_corrections, survey_runs, needs):
    router.include_router(module.router)

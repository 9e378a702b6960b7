"""HTTP API, version 1: JSON in, JSON or `application/problem+json` out."""

from fastapi import APIRouter

from teewright.web.api import tasks

router = APIRouter(prefix="/api/v1")
router.include_router(tasks.router)

"""Long work as the pages show it."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from teewright.web import cuttings, packs, shifts
from teewright.web.asked import TheOffice
from teewright.web.guard.signin import local_path
from teewright.web.render import page

router = APIRouter(prefix="/tasks")
_FROM = {
    "plan": "/programme",
    shifts.TASK: "/programme",
    packs.NAME: "/handover",
    cuttings.NAME: "/collars",
}
"""Page from which each task is begun; the others from the job's."""


@router.post("/design")
def design(office: TheOffice) -> RedirectResponse:
    """Begin to design and plan."""
    office.design()
    return RedirectResponse("/", status_code=303)


@router.post("/plan")
def plan(office: TheOffice) -> RedirectResponse:
    """Begin to plan anew."""
    office.plan()
    return RedirectResponse("/programme", status_code=303)


@router.get("/{task_id}")
def task(task_id: str, request: Request, office: TheOffice) -> Response:
    """How far a task is, as a part of a page."""
    return page(request, "_task.html", {"task": office.tasks.of(task_id)})


@router.post("/{task_id}/dismiss")
def dismiss(
    task_id: str, office: TheOffice, back: Annotated[str, Form()] = "/"
) -> RedirectResponse:
    """Show no more why a task failed."""
    office.tasks.dismiss(task_id)
    return RedirectResponse(local_path(back), status_code=303)


@router.post("/{task_id}/cancel")
def cancel(task_id: str, office: TheOffice) -> RedirectResponse:
    """Stop a task."""
    task = office.tasks.cancel(task_id)
    return RedirectResponse(_FROM.get(task.name, "/"), status_code=303)

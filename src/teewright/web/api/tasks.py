"""Long work: begin it, ask how far it is, stop it."""

from fastapi import APIRouter

from teewright.web.asked import TheOffice
from teewright.web.tasks import Task

router = APIRouter(prefix="/tasks", tags=["tasks"])


@router.get("")
def tasks(office: TheOffice) -> list[Task]:
    """All that are remembered, the newest first."""
    return list(office.tasks.all())


@router.get("/{task_id}")
def task(task_id: str, office: TheOffice) -> Task:
    """One task."""
    return office.tasks.of(task_id)


@router.post("/design", status_code=202)
def design(office: TheOffice) -> Task:
    """Design all collars and plan the shifts; one that runs already is given back."""
    return office.design()


@router.post("/plan", status_code=202)
def plan(office: TheOffice) -> Task:
    """Plan the shifts anew."""
    return office.plan()


@router.post("/{task_id}/dismiss")
def dismiss(task_id: str, office: TheOffice) -> Task:
    """Say that why a task failed was seen: pages show it no more."""
    return office.tasks.dismiss(task_id)


@router.post("/{task_id}/cancel", status_code=202)
def cancel(task_id: str, office: TheOffice) -> Task:
    """Ask a task to stop."""
    return office.tasks.cancel(task_id)

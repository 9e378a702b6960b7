"""Put the inputs of a job into its project file."""

from dataclasses import replace
from pathlib import Path

from teewright.bench.inputs import BESIDE, OPTIONS, Document, Inputs, Options, stored
from teewright.store.project import Project


def on_top(path: Path, new: Inputs, liner_mm: float | None, branch_mm: float | None) -> Inputs:
    """Inputs as they will be in a project: what is not named now stays as it was."""
    if not path.exists():
        return replace(new, options=Options().changed(liner_mm, branch_mm))
    with Project.open(path) as project:
        before = stored(project)
    return Inputs(
        surveys=new.surveys or before.surveys,
        kit=new.kit or before.kit,
        site=new.site or before.site,
        options=before.options.changed(liner_mm, branch_mm),
        corrections=before.corrections,
        beside=new.beside if new.kit else before.beside,
    )


def keep(path: Path, inputs: Inputs) -> None:
    """Put all inputs into a project file, made where it is not there yet; all or nothing."""
    opened = Project.open(path) if path.exists() else Project.create(path)
    with opened as project, project.transaction():
        replace_documents(project, "survey", inputs.surveys)
        beside = tuple(replace(d, name=f"{BESIDE}{d.name}") for d in inputs.beside)
        replace_documents(project, "kit", (inputs.kit, *beside) if inputs.kit else ())
        replace_documents(project, "site", (inputs.site,) if inputs.site else ())
        project.add_document("option", OPTIONS, inputs.options.to_bytes())


def replace_documents(project: Project, kind: str, wanted: tuple[Document, ...]) -> None:
    """Documents of a kind as wanted, in their order; what was there stays as history."""
    before = project.documents(kind)
    if [(d.name, d.data) for d in before] == [(d.name, d.data) for d in wanted]:
        return
    for old in before:
        project.remove_document(kind, old.name)
    for each in wanted:
        project.add_document(kind, each.name, each.data)

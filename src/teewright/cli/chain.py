"""Commands for the steps of a job: assess, design, plan, quote, pack."""

from pathlib import Path
from typing import Any

import typer

from teewright.cli.common import (
    AsJson,
    Branch,
    Liner,
    OutDir,
    ProjectPath,
    out,
    print_json,
    workbench,
)
from teewright.cli.inputs import Options
from teewright.cli.tables import (
    assessment_table,
    designs_table,
    findings_table,
    programme_table,
    quote_table,
)
from teewright.formats.json_values import plain
from teewright.store.project import Project


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("assess")(assess)
    app.command("design")(design)
    app.command("plan")(plan)
    app.command("quote")(quote)
    app.command("pack")(pack)


def _declare(path: Path, liner_mm: float | None, branch_mm: float | None) -> None:
    """Keep what was declared now; what was declared before and not now stays."""
    if liner_mm is None and branch_mm is None:
        return
    with Project.open(path) as project:
        kept = project.documents("option")
        before = Options.from_bytes(kept[-1].data) if kept else Options()
        options = before.changed(liner_mm, branch_mm)
        project.add_document("option", "options.json", options.to_bytes())


def _json(value: object) -> None:
    document: Any = plain(value)
    print_json(document)


def assess(
    project: ProjectPath,
    declare_liner: Liner = None,
    declare_branch: Branch = None,
    as_json: AsJson = False,
) -> None:
    """What each connection needs, and how much groundwater it lets in."""
    _declare(project, declare_liner, declare_branch)
    with workbench(project) as bench:
        assessment = bench.assessment
    if as_json:
        _json(assessment)
        return
    console = out()
    assessment_table(console, assessment)
    console.print()
    findings_table(console, assessment.findings)


def design(
    project: ProjectPath,
    declare_liner: Liner = None,
    declare_branch: Branch = None,
    as_json: AsJson = False,
) -> None:
    """Collars, resin, times, pressure, wall and bypass of each connection to be sealed."""
    _declare(project, declare_liner, declare_branch)
    with workbench(project) as bench:
        designs = bench.designs
    if as_json:
        _json(designs)
        return
    console = out()
    designs_table(console, designs)
    console.print()
    findings_table(console, designs.findings)


def plan(project: ProjectPath, as_json: AsJson = False) -> None:
    """Shifts for crews and packers; what cannot be planned is named with the reason."""
    with workbench(project) as bench:
        programme = bench.programme
    if as_json:
        _json(programme)
        return
    programme_table(out(), programme)


def quote(project: ProjectPath, as_json: AsJson = False) -> None:
    """Quantities and price."""
    with workbench(project) as bench:
        found = bench.job.quote
    if as_json:
        _json(found)
        return
    quote_table(out(), found)


def pack(project: ProjectPath, destination: OutDir = Path("pack"), as_json: AsJson = False) -> None:
    """Write the pack: one PDF, the lists as XLSX and CSV, the cutting files."""
    from teewright.cli.packing import write_pack

    with workbench(project) as bench:
        write_pack(bench, destination, as_json=as_json)

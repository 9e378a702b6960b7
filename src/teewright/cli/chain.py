"""Commands for the steps of a job: assess, design, plan, quote, pack."""

from collections.abc import Callable, Sequence
from pathlib import Path

import typer
from rich.console import Console

from teewright.bench.inputs import Options
from teewright.cli.common import (
    AsJson,
    Branch,
    Liner,
    OutDir,
    ProjectPath,
    Quick,
    out,
    print_json,
    workbench,
)
from teewright.cli.tables import (
    assessment_table,
    designs_table,
    findings_table,
    programme_table,
    quote_table,
)
from teewright.findings import Finding
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


def _show(
    value: object, as_json: bool, told: Callable[[Console], None], findings: Sequence[Finding] = ()
) -> None:
    """A result as JSON for programs, or as tables for people with its findings below."""
    if as_json:
        print_json(plain(value))
        return
    console = out()
    told(console)
    if findings:
        console.print()
        findings_table(console, findings)


def assess(
    project: ProjectPath,
    declare_liner: Liner = None,
    declare_branch: Branch = None,
    as_json: AsJson = False,
) -> None:
    """What each connection needs, and how much groundwater it lets in."""
    _declare(project, declare_liner, declare_branch)
    with workbench(project) as bench:
        found = bench.assessment
    _show(found, as_json, lambda c: assessment_table(c, found), found.findings)


def design(
    project: ProjectPath,
    declare_liner: Liner = None,
    declare_branch: Branch = None,
    quick: Quick = False,
    as_json: AsJson = False,
) -> None:
    """Collars, resin, times, pressure, wall and bypass of each connection to be sealed."""
    _declare(project, declare_liner, declare_branch)
    with workbench(project, quick=quick) as bench:
        found = bench.designs
    _show(found, as_json, lambda c: designs_table(c, found), found.findings)


def plan(project: ProjectPath, as_json: AsJson = False) -> None:
    """Shifts for crews and packers; what cannot be planned is named with the reason."""
    with workbench(project) as bench:
        found = bench.programme
    _show(found, as_json, lambda c: programme_table(c, found))


def quote(project: ProjectPath, as_json: AsJson = False) -> None:
    """Quantities and price."""
    with workbench(project) as bench:
        found = bench.job.quote
    _show(found, as_json, lambda c: quote_table(c, found))


def pack(project: ProjectPath, destination: OutDir = Path("pack"), as_json: AsJson = False) -> None:
    """Write the pack: one PDF, the lists as XLSX and CSV, the cutting files."""
    from teewright.cli.packing import write_pack

    with workbench(project) as bench:
        write_pack(bench, destination, as_json=as_json)

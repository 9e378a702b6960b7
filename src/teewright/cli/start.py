"""Commands to begin with: read, make, demo, doctor."""

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from teewright import demo as demo_data
from teewright.bench.inputs import (
    Document,
    Inputs,
    Loaded,
    Options,
    document,
    kit_documents,
    load,
    read_surveys,
)
from teewright.bench.keeping import keep, on_top
from teewright.bench.workbench import Workbench
from teewright.cli.common import (
    AsJson,
    Branch,
    Liner,
    OutDir,
    Quick,
    cannot,
    out,
    print_json,
    progress,
    today,
)
from teewright.cli.tables import findings_table, survey_tables
from teewright.errors import InputError
from teewright.formats.read_json import survey_json
from teewright.network.notes import not_in_survey, unplaced
from teewright.network.values import Survey
from teewright.store.doctor import report
from teewright.store.project import Project

Files = Annotated[
    list[Path], typer.Argument(help="Survey files: EN 13508-2 text or CSV.", show_default=False)
]
MaybeFiles = Annotated[
    list[Path] | None,
    typer.Argument(
        help="Survey files: EN 13508-2 text or CSV; those of the project if left out.",
        show_default=False,
    ),
]
KitFile = Annotated[Path | None, typer.Option("--kit", help="Kit file (TOML).")]
SiteFile = Annotated[Path | None, typer.Option("--site", help="Site file (TOML).")]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("read")(read)
    app.command("make")(make)
    app.command("demo")(demo)
    app.command("doctor")(doctor)


def read(
    files: MaybeFiles = None,
    project: Annotated[
        Path | None, typer.Option("--project", help="Keep the files in this project file.")
    ] = None,
    kit: KitFile = None,
    site: SiteFile = None,
    declare_liner: Liner = None,
    declare_branch: Branch = None,
    as_json: AsJson = False,
) -> None:
    """Read survey files: runs, connections and everything that was repaired or guessed.

    With a project the files are kept in it: survey files replace those before; a kit, a site or
    a declaration that is not named stays as it was.
    """
    if project is None:
        _only_with_project(kit, site, declare_liner, declare_branch)
    inputs = gather(files or [], kit, site, Options())
    if project is None:
        survey = read_surveys(some(inputs).surveys)
    else:
        inputs = some(on_top(project, inputs, declare_liner, declare_branch))
        survey = with_all_findings(load(inputs))
        keep(project, inputs)
    if as_json:
        print_json(survey_json(survey))
        return
    console = out()
    survey_tables(console, survey)
    console.print()
    findings_table(console, survey.findings)
    if project is not None:
        console.print(f"\nKept in {project}. Next: teewright assess {project}")


def with_all_findings(loaded: Loaded) -> Survey:
    """The survey with the findings of kit and site as well, and of the one against the other."""
    survey, site = loaded.survey, loaded.site
    more = (*loaded.findings, *not_in_survey(survey, site), *unplaced(survey, site))
    return replace(survey, findings=(*survey.findings, *more))


def some(inputs: Inputs) -> Inputs:
    """The inputs, where there is a survey among them."""
    if not inputs.surveys:
        raise InputError("is missing", field="FILE", allowed="at least one survey file")
    return inputs


def _only_with_project(*options: object) -> None:
    names = ("--kit", "--site", "--declare-liner", "--declare-branch")
    for name, value in zip(names, options, strict=True):
        if value is not None:
            raise InputError(
                "is kept in a project, and none is named",
                field=name,
                value=value,
                allowed="--project FILE beside it",
            )


def gather(files: list[Path], kit: Path | None, site: Path | None, options: Options) -> Inputs:
    """Inputs from the files that were named."""
    surveys = tuple(document(path) for path in files)
    twice = {d.name for d in surveys if sum(e.name == d.name for e in surveys) > 1}
    if twice:
        raise InputError(
            "is the name of two files", field="FILE", value=min(twice), allowed="unique file names"
        )
    own, beside = kit_documents(kit) if kit else (None, ())
    return Inputs(surveys, own, document(site) if site else None, options, beside=beside)


def make(
    files: Files,
    destination: OutDir = Path("pack"),
    kit: KitFile = None,
    site: SiteFile = None,
    declare_liner: Liner = None,
    declare_branch: Branch = None,
    quick: Quick = False,
    as_json: AsJson = False,
) -> None:
    """The whole job: from survey files to the pack and a project file, in one folder."""
    options = Options().changed(declare_liner, declare_branch)
    whole_job(gather(files, kit, site, options), destination, quick=quick, as_json=as_json)


def whole_job(inputs: Inputs, destination: Path, *, quick: bool, as_json: bool) -> None:
    """Check the inputs, keep them in a project file, run every step and write the pack."""
    from teewright.cli.packing import write_pack

    load(inputs)
    make_folder(destination)
    path = destination / "job.tee"
    keep(path, inputs)
    with Project.open(path) as project, progress() as tell:
        bench = Workbench(project, progress=tell, today=today(), quick=quick)
        write_pack(bench, destination, as_json=as_json)


def make_folder(folder: Path) -> None:
    """Make a folder and those above it.

    Raises:
        InputError: It cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise cannot("be made", folder, error) from error


def demo(
    destination: OutDir = Path("demo-pack"), quick: Quick = False, as_json: AsJson = False
) -> None:
    """The whole job on an invented town: a pack to look at, and a project file to try."""
    files = tuple(Document(name, demo_data.file(name)) for name in demo_data.SURVEY_FILES)
    kit_file = Document("kit.toml", demo_data.file(demo_data.KIT_FILE))
    site_file = Document("site.toml", demo_data.file(demo_data.SITE_FILE))
    inputs = Inputs(files, kit_file, site_file, Options())
    whole_job(inputs, destination, quick=quick, as_json=as_json)
    if not as_json:
        same = " --quick" if quick else ""
        path = destination / "job.tee"
        out().print(f"Open it in a browser: teewright serve {path}{same}", soft_wrap=True)


def doctor() -> None:
    """Tell the versions that matter and whether a project file can be written safely."""
    console = out()
    for name, value in report():
        console.print(f"{name}: {value}")

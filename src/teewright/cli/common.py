"""What the commands share: consoles, progress, an open project, JSON out."""

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console

from teewright.cli.workbench import Workbench
from teewright.store.project import Project

ProjectPath = Annotated[Path, typer.Argument(help="Project file.", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for programs.")]
Liner = Annotated[
    float | None,
    typer.Option(
        "--declare-liner",
        metavar="MM",
        min=1.0,
        max=50.0,
        help="Declare every run lined, with a liner of so many millimetres; kept in the project.",
    ),
]
Branch = Annotated[
    float | None,
    typer.Option(
        "--declare-branch",
        metavar="MM",
        min=50.0,
        max=400.0,
        help="Declare so many millimetres for every branch whose size is not coded; kept in the "
        "project.",
    ),
]
OutDir = Annotated[Path, typer.Option("--out", help="Folder for the pack.", show_default=True)]


def out() -> Console:
    """For results: as wide as the terminal, or 160 columns where there is none."""
    console = Console(highlight=False, soft_wrap=False)
    return console if console.is_terminal else Console(highlight=False, width=160)


def print_json(value: Any) -> None:
    """One JSON document on standard output."""
    json.dump(value, sys.stdout, ensure_ascii=False, indent=2)
    sys.stdout.write("\n")


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Tells what is being done, on standard error, where that is a terminal."""
    console = Console(stderr=True, highlight=False)
    with console.status("", spinner="line") as status:
        yield status.update


@contextmanager
def workbench(path: Path) -> Iterator[Workbench]:
    """The steps of an existing project."""
    with Project.open(path) as project, progress() as tell:
        yield Workbench(project, progress=tell, today=today())


def today() -> date:
    """The day by this machine's clock."""
    return datetime.now().astimezone().date()

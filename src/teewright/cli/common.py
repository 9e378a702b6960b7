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
from rich.text import Text

from teewright.bench.workbench import Workbench
from teewright.errors import InputError
from teewright.store.project import Project


def millimetres(low: float, high: float) -> Callable[[float | None], float | None]:
    """A check for an option: nothing, 0, or a length between two others."""

    def check(value: float | None) -> float | None:
        if value is None or value == 0.0 or low <= value <= high:
            return value
        raise typer.BadParameter(f"{value} is not 0 or in the range {low:g} to {high:g} mm.")

    return check


ProjectPath = Annotated[Path, typer.Argument(help="Project file.", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for programs.")]
Liner = Annotated[
    float | None,
    typer.Option(
        "--declare-liner",
        metavar="MM",
        callback=millimetres(1.0, 50.0),
        help="Declare every run lined, with a liner of so many millimetres (1 to 50); kept in the "
        "project, 0 takes it back.",
    ),
]
Branch = Annotated[
    float | None,
    typer.Option(
        "--declare-branch",
        metavar="MM",
        callback=millimetres(50.0, 400.0),
        help="Declare so many millimetres (50 to 400) for every branch whose size is not coded; "
        "kept in the project, 0 takes it back.",
    ),
]
Quick = Annotated[
    bool,
    typer.Option("--quick", help="Collars without their placement tolerance: takes a fifth."),
]
OutDir = Annotated[Path, typer.Option("--out", help="Folder for the pack.", show_default=True)]


def out() -> Console:
    """For results: as wide as the terminal, or 160 columns where there is none."""
    # names in a survey may look like markup; nothing that is printed is read as such
    console = Console(highlight=False, markup=False, emoji=False)
    if console.is_terminal:
        return console
    return Console(highlight=False, markup=False, emoji=False, width=160)


def print_json(value: Any) -> None:
    """One JSON document on standard output."""
    plain = not (sys.stdout.encoding or "utf-8").lower().startswith("utf")
    json.dump(value, sys.stdout, ensure_ascii=plain, indent=2, allow_nan=False)
    sys.stdout.write("\n")


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Tells what is being done, on standard error, where that is a terminal."""
    console = Console(stderr=True, highlight=False)
    with console.status("", spinner="line") as status:
        yield lambda text: status.update(Text(text))


@contextmanager
def workbench(path: Path, *, quick: bool = False) -> Iterator[Workbench[Project]]:
    """The steps of an existing project."""
    with Project.open(path) as project, progress() as tell:
        yield Workbench(project, progress=tell, today=today(), quick=quick)


def cannot(act: str, path: Path, error: OSError) -> InputError:
    """What to say where the system refuses a file or folder."""
    reason = (error.strerror or type(error).__name__).lower()
    allowed = "a place that can be written"
    return InputError(f"cannot {act} ({reason})", file=str(path), allowed=allowed)


def today() -> date:
    """The day by this machine's clock."""
    return datetime.now().astimezone().date()

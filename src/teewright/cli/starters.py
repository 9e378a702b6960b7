"""Commands that write files to begin with: kit, site."""

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import typer

from teewright import demo
from teewright.cli.common import ProjectPath, cannot, out, workbench
from teewright.errors import InputError
from teewright.formats.site_starter import starter_site


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("kit")(kit)
    app.command("site")(site)


def kit(
    destination: Annotated[Path, typer.Option("--out", help="Where to write it.")] = Path(
        "kit.toml"
    ),
) -> None:
    """Write the starter kit: a file with invented figures to fill in with your own."""
    write_new(destination, demo.file(demo.KIT_FILE))
    out().print(f"{destination} written: invented figures, to be replaced by your own")


def site(
    project: ProjectPath,
    destination: Annotated[Path, typer.Option("--out", help="Where to write it.")] = Path(
        "site.toml"
    ),
) -> None:
    """Write a starter site: the nodes, runs and connections of a project, to be filled in."""
    with workbench(project) as bench:
        text = starter_site(bench.loaded.survey)
    write_new(destination, text.encode())
    out().print(
        f"{destination} written: fill in what is known, then teewright read --project {project} "
        f"--site {destination}"
    )


def write_tables(folder: Path, tables: Mapping[str, str]) -> None:
    """Write empty tables into a folder, which is made where it is not there, and say so.

    Args:
        folder: Where to.
        tables: File name -> text.

    Raises:
        InputError: One is there already, or cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise cannot("be written", folder, error) from error
    for name, text in tables.items():
        write_new(folder / name, text.encode())
        out().print(f"{folder / name} written")


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet.

    Raises:
        InputError: It is there, or cannot be written.
    """
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        raise InputError(
            "is there already", file=str(path), allowed="the name of a new file"
        ) from None
    except OSError as error:
        raise cannot("be written", path, error) from error

"""Command for one junction without a project: collar."""

from pathlib import Path
from typing import Annotated

import typer

from teewright.cli.common import AsJson


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("collar")(collar)


def _number(name: str, unit: str, words: str) -> typer.models.OptionInfo:
    found: typer.models.OptionInfo = typer.Option(name, metavar=unit, help=words)
    return found


def collar(  # noqa: PLR0913 -- each is an option of the command
    *,
    main: Annotated[float, _number("--main", "MM", "Mean inner diameter of the lined main.")],
    branch: Annotated[float, _number("--branch", "MM", "Inner diameter of the branch.")],
    angle: Annotated[
        float, _number("--angle", "DEG", "Between the axes, on the acute side (30 to 90).")
    ],
    fillet: Annotated[
        float, _number("--fillet", "MM", "Radius to which the cut edge is rounded; 0 if sharp.")
    ],
    fabric: Annotated[
        str | None,
        typer.Option("--fabric", help="Fabric of the kit; the one its rules name if left out."),
    ] = None,
    destination: Annotated[Path, typer.Option("--out", help="Folder for the files.")] = Path(
        "collar"
    ),
    kit: Annotated[
        Path | None, typer.Option("--kit", help="Kit file (TOML); a plain one is built in.")
    ] = None,
    name: Annotated[
        str | None, typer.Option("--name", help="Name of the pattern; made of the sizes if none.")
    ] = None,
    offset: Annotated[
        float | None,
        _number("--offset", "MM", "Branch's axis off the main's, + to the left looking upstream."),
    ] = None,
    ovality: Annotated[
        float | None,
        _number("--ovality", "%", "Of the main: mean less least diameter, of the mean."),
    ] = None,
    short_axis: Annotated[
        float | None,
        _number("--short-axis", "DEG", "From the crown, to the left, to the least diameter."),
    ] = None,
    stretch: Annotated[
        float | None,
        _number(
            "--stretch", "RATIO", "Design stretch, formed over cut; by the kit's rules if none."
        ),
    ] = None,
    sleeve: Annotated[
        float | None,
        _number(
            "--sleeve", "MM", "Length along the main; what a packer of the kit carries if none."
        ),
    ] = None,
    branch_length: Annotated[
        float | None,
        _number("--branch-length", "MM", "Length up the branch beyond the saddle seam."),
    ] = None,
    lap: Annotated[
        float | None, _number("--lap", "MM", "Overlap of each seam that closes a pipe.")
    ] = None,
    pressure: Annotated[
        float | None,
        _number("--pressure", "BAR", "What presses the fabric to the pipes; 0.5 if none."),
    ] = None,
    layout: Annotated[
        str | None,
        typer.Option(
            "--layout",
            help="saddle seam, four pieces, mirror halves, edge strip or one piece; the plainest "
            "that keeps every limit if left out.",
        ),
    ] = None,
    paper: Annotated[
        str, typer.Option("--paper", help="Of the tiled pattern: A4, A3 or Letter.")
    ] = "A4",
    quick: Annotated[
        bool, typer.Option("--quick", help="Leave out how far off it may be placed.")
    ] = False,
    fineness: Annotated[
        float, _number("--fineness", "RATIO", "Edge length of the mesh over the usual one.")
    ] = 1.0,
    as_json: AsJson = False,
) -> None:
    """One collar without a project: cutting files, a sheet, and JSON with everything computed."""
    from teewright.cli.collar_files import make
    from teewright.cli.collar_inputs import Wish

    wish = Wish(
        main_mm=main,
        branch_mm=branch,
        angle_deg=angle,
        fillet_mm=fillet,
        offset_mm=offset,
        ovality_percent=ovality,
        short_axis_deg=short_axis,
        kit=kit,
        fabric=fabric,
        stretch=stretch,
        sleeve_mm=sleeve,
        branch_length_mm=branch_length,
        lap_mm=lap,
        pressure_bar=pressure,
        layout=layout,
        name=name,
        paper=paper,
        quick=quick,
        fineness=fineness,
    )
    if not make(wish, destination, as_json=as_json):
        raise typer.Exit(1)

"""`teewright`: the command line. Exit code 0 done, 1 a check failed, 2 bad input."""

import sys

import typer

from teewright import __version__
from teewright.cli import chain, field, start
from teewright.errors import TeewrightError

app = typer.Typer(
    name="teewright",
    help="Seal the lateral connections of a lined sewer: from the camera survey to the "
    "hand-over pack.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


def _version(value: bool) -> None:
    if value:
        typer.echo(f"teewright {__version__}")
        raise typer.Exit


@app.callback()
def _root(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version."
    ),
) -> None:
    pass


start.register(app)
chain.register(app)
field.register(app)


def main() -> None:
    """Run the command line; an error of the user's making ends in one sentence and exit code 2."""
    try:
        app()
    except TeewrightError as error:
        sys.stderr.write(f"teewright: {error}\n")
        raise SystemExit(2) from None


if __name__ == "__main__":
    main()

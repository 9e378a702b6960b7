"""`teewright`: the command line. Exit code 0 done, 1 a check failed, 2 bad input."""

import io
import os
import sys
from typing import NoReturn

import typer

from teewright import __version__
from teewright.cli import chain, collar, fabric, field, resin, start, starters
from teewright.errors import InputError, TeewrightError

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
starters.register(app)
fabric.register(app)
resin.register(app)
collar.register(app)
chain.register(app)
field.register(app)


def main() -> None:
    """Run the command line; an error of the user's making ends in one sentence and exit code 2."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a terminal may lack signs that a survey has
            stream.reconfigure(errors="backslashreplace")
    try:
        try:
            app()
        finally:
            sys.stdout.flush()  # what is still held back must fail here, not after the last word
    except InputError as error:
        _refuse("\n".join(map(str, (error, *error.others))))
    except TeewrightError as error:
        _refuse(str(error))
    except OSError as error:
        _let_go_of_output()
        reason = error.strerror or type(error).__name__
        _refuse(f"{error.filename or 'the output'} cannot be written or read ({reason.lower()})")


def _let_go_of_output() -> None:
    """Send what could not be written nowhere, so that the end of the program does not try again."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def _refuse(sentence: str) -> NoReturn:
    sys.stderr.write(f"teewright: {sentence}\n")
    raise SystemExit(2) from None


if __name__ == "__main__":
    main()

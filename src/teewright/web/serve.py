"""`teewright serve`: the pages in the browser of this machine, or over the van's network."""

from pathlib import Path
from typing import Annotated

import typer

from teewright.web.settings import PORT, Settings

ProjectFile = Annotated[
    Path, typer.Argument(help="Project file; it is made where there is none.", show_default=True)
]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("serve")(serve)


def serve(
    project: ProjectFile = Path("job.tee"),
    port: Annotated[int, typer.Option("--port", min=1, max=65535, help="Port.")] = PORT,
    quick: Annotated[
        bool, typer.Option("--quick", help="Collars without their placement tolerance.")
    ] = False,
) -> None:
    """Open a project in the browser: only this machine is answered, and nobody signs in."""
    import uvicorn  # noqa: PLC0415 -- only a server needs it

    from teewright.web.app import make_app  # noqa: PLC0415 -- the same

    app = make_app(Settings(project=project, quick=quick))
    typer.echo(f"Open http://localhost:{port}/ in a browser; stop with Ctrl-C.")
    uvicorn.run(app, host="127.0.0.1", port=port, log_level="warning", server_header=False)

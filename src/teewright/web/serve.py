"""`teewright serve`: the pages in the browser of this machine, or over the van's network."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from teewright.errors import InputError
from teewright.web.settings import PORT, Settings

if TYPE_CHECKING:
    from socket import socket

    from fastapi import FastAPI

    from teewright.web.field.authority import Authority
    from teewright.web.field.plain import Place

ProjectFile = Annotated[
    Path, typer.Argument(help="Project file; it is made where there is none.", show_default=True)
]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("serve")(serve)


def serve(
    project: ProjectFile = Path("job.tee"),
    port: Annotated[int, typer.Option("--port", min=0, max=65535, help="Port.")] = PORT,
    quick: Annotated[
        bool, typer.Option("--quick", help="Collars without their placement tolerance.")
    ] = False,
    field: Annotated[
        bool,
        typer.Option(
            "--field",
            help="For tablets in the van's network: HTTPS, people sign in, and a page in the "
            "clear on the next port tells tablets how to trust this machine.",
        ),
    ] = False,
    address: Annotated[
        list[str] | None,
        typer.Option(
            "--address",
            help="With --field: address or local name of this machine in the van's network, "
            "where it is not found by itself.",
        ),
    ] = None,
) -> None:
    """Open a project in the browser of this machine, or with --field on tablets too."""
    if field:
        _in_the_field(project, port, address or [], quick=quick)
    else:
        _here(project, port, quick=quick)


def _here(project: Path, port: int, *, quick: bool) -> None:
    """Only this machine is answered, and nobody signs in."""
    from teewright.web.field.servers import Served, bound, run  # noqa: PLC0415 -- only a server

    place = bound("127.0.0.1", port)
    app = _app(Settings(project=project, quick=quick), place)
    typer.echo(f"Open http://localhost:{place.getsockname()[1]}/ in a browser; stop with Ctrl-C.")
    run([Served(app, place)])


def _app(settings: Settings, *places: "socket") -> "FastAPI":
    """The server of a project, which is read while the pages are loaded.

    Who asks before the project is open is refused: where it cannot be opened nobody was let wait.
    """
    from teewright.web.field.servers import listen  # noqa: PLC0415 -- only a server needs it
    from teewright.web.office import Office  # noqa: PLC0415 -- the same

    office = Office(settings)
    try:
        for place in places:
            listen(place)
    except InputError:
        office.close()
        raise
    office.warm()
    from teewright.web.app import make_app  # noqa: PLC0415 -- takes longer than to read a project

    return make_app(settings, office)


def _in_the_field(project: Path, port: int, named: list[str], *, quick: bool) -> None:
    """The van's network is answered, over HTTPS, to people who sign in."""
    from teewright.web.field import addresses, authority  # noqa: PLC0415 -- only a server needs it
    from teewright.web.field.plain import make_plain_app, places  # noqa: PLC0415 -- the same
    from teewright.web.field.servers import Served, bound, run  # noqa: PLC0415 -- the same
    from teewright.web.people_command import check_people  # noqa: PLC0415 -- the same

    check_people(project)
    found = addresses.chosen(named)
    hosts = tuple(dict.fromkeys([*found, *filter(None, [addresses.own_name()])]))
    path = authority.authority_path(project)
    known = authority.authority(path)
    every = ("localhost", "127.0.0.1", *hosts)
    tls = known.context(list(dict.fromkeys(every)), datetime.now(UTC))
    pages = bound("0.0.0.0", port)
    trust = bound("0.0.0.0", port + 1 if port else 0)
    ports = pages.getsockname()[1], trust.getsockname()[1]
    settings = Settings(
        project=project,
        quick=quick,
        hosts=tuple(f"[{host}]" if ":" in host else host for host in (*every, "::1")),
        sign_in=True,
        secure=True,
    )
    app, beside = _app(settings, pages, trust), places(hosts, *ports)
    _tell(known, beside, ports[1])
    if authority.is_readable_by_others(path):
        typer.echo(f"CAUTION: others on this machine can read {path.name}, a secret key.", err=True)
    plain = make_plain_app(settings, known, beside)
    run([Served(app, pages, tls), Served(plain, trust)])


def _tell(known: "Authority", found: "tuple[Place, ...]", port: int) -> None:
    """Where tablets go first, as a code and in words."""
    import io  # noqa: PLC0415 -- the same

    import segno  # noqa: PLC0415 -- the same

    code = io.StringIO()
    segno.make(found[0].trust, error="m", micro=False).terminal(code, border=2, compact=True)
    typer.echo(code.getvalue())
    typer.echo(
        f"1  Each tablet once: open {found[0].trust} (the code above) and trust this machine."
    )
    typer.echo(f"2  Then open {found[0].open} and sign in.")
    for other in found[1:]:
        typer.echo(f"   Also {other.trust} and {other.open}")
    typer.echo(f"Codes for both: http://localhost:{port}/field on this machine.")
    typer.echo("SHA-256 of the certificate, to be compared on the tablet:")
    typer.echo(f"   {known.fingerprint}")
    typer.echo(
        "A tablet that does not trust this machine can show the pages, but keeps none of them: "
        "without signal a reload shows nothing."
    )
    typer.echo("Stop with Ctrl-C.")

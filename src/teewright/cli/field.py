"""Commands for the site: log what happened, prove that it is tight."""

import uuid
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.text import Text

from teewright.bench.inputs import document
from teewright.bench.workbench import Workbench
from teewright.cli.common import AsJson, ProjectPath, out, print_json, workbench
from teewright.cli.tables import records_table, table
from teewright.errors import InputError, UnknownNameError
from teewright.formats.gauge_csv import read_gauge
from teewright.formats.json_values import plain
from teewright.formats.named_values import named_values
from teewright.job.proving import limits_of
from teewright.site.chain import Draft
from teewright.site.clock import installations, state
from teewright.site.held import NAMES
from teewright.site.naming import installation_id, split_installation
from teewright.site.order import admit
from teewright.site.values import Event, EventKind, InstallationState, Limits
from teewright.store.project import Project
from teewright.units import shown

DEVICE = "command line"
"""Name under which events of this command are logged."""
ConnectionId = Annotated[
    str | None, typer.Argument(help="Connection, as the tables name it.", show_default=False)
]
Values = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="NAME=VALUE",
        help="A value with its unit in the name, e.g. pressure_bar=0.65, temperature_c=14, "
        "batch=B-17; for a correction also event=ID and at=TIME.",
    ),
]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("log")(log)
    app.command("prove")(prove)


def log(  # noqa: PLR0913, PLR0917 -- each is an option of the command
    project: ProjectPath,
    connection: ConnectionId = None,
    kind: Annotated[
        EventKind | None, typer.Argument(help="What happened; leave it out to see the log.")
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", help="When, e.g. 2027-05-12T21:03; now if left out.")
    ] = None,
    values: Values = None,
    readings: Annotated[
        Path | None,
        typer.Option(
            "--readings",
            help="CSV of test readings with a column elapsed_s and one of pressure_mbar, "
            "pressure_bar or volume_l; each line is logged.",
        ),
    ] = None,
    who: Annotated[str, typer.Option("--who", help="Role or initials.")] = "crew",
    attempt: Annotated[int, typer.Option("--attempt", min=1)] = 1,
    saved: Annotated[
        Path | None,
        typer.Option(
            "--from",
            help="File of entries that a tablet saved, or of a log; of one that was cut off, "
            "whatever is whole is taken. Entries that are there already change nothing.",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Log what happened at a connection, show its log and deadlines, or take a saved file."""
    if saved is not None:
        _take_file(project, saved, connection, as_json)
        return
    if connection is None:
        raise InputError("is missing", field="CONNECTION", allowed="a connection, or --from FILE")
    name = installation_id(connection, attempt)
    with workbench(project) as bench:
        limits = _limits(bench, connection)
        _record(bench, name, kind, moment(at), values or [], readings, who)
        events = bench.project.events()
        found = state(name, events, limits)
        own = tuple(e for e in events if e.installation == name)
    if as_json:
        print_json({"state": plain(found), "events": [plain(e) for e in own]})
        return
    show(out(), found, own)


def _take_file(path: Path, saved: Path, connection: str | None, as_json: bool) -> None:
    """Take the entries of a saved file and tell what became of them.

    Raises:
        InputError: A connection was named too, or the entries belong to another job.
    """
    from teewright.bench.taking import from_file, take_all

    if connection is not None:
        raise InputError(
            "cannot be given with --from", field="CONNECTION", value=connection,
            allowed="a file alone: its entries name their connections",
        )  # fmt: skip
    given = document(saved)
    found = from_file(given.data, file=given.name)
    with workbench(path) as bench:
        taken = take_all(bench.project, found)
    refused = [one for one in taken if one.said]
    kept = len(taken) - len(refused)
    if as_json:
        print_json({"kept": kept, "refused": [plain(one) for one in refused],
                    "whole": found.whole, "said": found.said})  # fmt: skip
        return
    console = out()
    console.print(f"{kept} entries kept, {len(refused)} refused.")
    for said in (*(f"{one.id}: {one.said}" for one in refused), *filter(None, (found.said,))):
        console.print(Text(said))


def _limits(bench: Workbench[Project], connection: str) -> Limits | None:
    """Limits of the design; None where work began at a connection that has none any more."""
    known = [c.id for c in bench.loaded.survey.connections]
    if connection not in known:
        raise _unknown("is no connection", connection, known)
    design = bench.designs.of(connection)
    if design is not None:
        return limits_of(design)
    begun = (split_installation(name)[0] for name in installations(bench.project.events()))
    if connection not in begun:
        made = [d.connection_id for d in bench.designs.designs]
        raise _unknown("has no collar to be set", connection, made)
    return None


def _told(bench: Workbench[Project], name: str) -> tuple[tuple[str, str], ...]:
    """What the crew is told when it mixes: it is held to that, whatever is designed later."""
    design = bench.designs.of(split_installation(name)[0])
    limits = limits_of(design) if design else None
    return tuple((one, repr(getattr(limits, one))) for one in NAMES) if limits else ()


def _unknown(problem: str, connection: str, known: list[str]) -> UnknownNameError:
    allowed = ", ".join(known) or "none"
    return UnknownNameError(problem, field="connection", value=connection, allowed=allowed)


def _record(
    bench: Workbench[Project],
    name: str,
    kind: EventKind | None,
    at: datetime,
    values: list[str],
    readings: Path | None,
    who: str,
) -> None:
    rows = [named_values(values)]
    if readings is not None:
        given = document(readings)
        rows = read_gauge(given.data, file=given.name, common=values)
    if kind is None:
        if values or readings:
            raise InputError(
                "is missing", field="KIND", allowed=", ".join(k.value for k in EventKind)
            )
        return
    told = _told(bench, name) if kind is EventKind.MIXED else ()
    rows = [(*data, *(pair for pair in told if pair[0] not in dict(data))) for data in rows]
    with bench.project.transaction():
        for data in rows:
            log_ = bench.project.events()
            sequence = 1 + sum(e.device == DEVICE for e in log_)
            draft = Draft(str(uuid.uuid4()), name, kind, at, DEVICE, sequence, who, data)
            admit(log_, draft)
            bench.project.record(draft)


def moment(text: str | None) -> datetime:
    """A time as written, in the zone of this machine where it names none; now if None.

    Raises:
        InputError: It cannot be read.
    """
    if text is None:
        return datetime.now().astimezone()
    try:
        found = datetime.fromisoformat(text)
        found = found if found.tzinfo else found.astimezone()
    except (ValueError, OverflowError):
        found = None
    if found is None or not 1990 <= found.year < 2200:
        raise InputError("is not a time", field="--at", value=text, allowed="e.g. 2027-05-12T21:03")
    return found


def show(console: Console, found: InstallationState, events: tuple[Event, ...]) -> None:
    """State, deadlines and events of one installation."""
    console.print(Text(f"{found.installation}: {found.next_action}", style="bold"))
    if found.inflate_by and found.release_from:
        console.print(
            f"full pressure by {found.inflate_by:%H:%M:%S}, "
            f"release from {found.release_from:%H:%M:%S}"
        )
    for said in (*found.breaches, *found.differs, *found.repeats):
        console.print(Text(said))
    if not events:
        console.print("Nothing is logged yet.")
        return
    rows = (
        (
            f"{e.at:%Y-%m-%d %H:%M:%S}",
            e.kind.value,
            e.person,
            ", ".join(f"{k} {_shown(k, v)}" for k, v in e.data),
            e.id,
        )
        for e in events
    )
    console.print(table(f"{len(events)} events", ("At", "What", "Who", "Values", "Id"), rows))


def _shown(name: str, value: str) -> str:
    units = {"pressure": "bar", "temperature": "degC", "volume": "l", "elapsed": "s"}
    unit = units.get(name)
    return f"{shown(float(value), unit)} {unit}" if unit else value


def prove(project: ProjectPath, as_json: AsJson = False) -> None:
    """Judge the leak tests and tell the state in which each connection can be handed over."""
    with workbench(project) as bench:
        records = bench.job.records
    if as_json:
        print_json([plain(r) for r in records])
        return
    records_table(out(), records)

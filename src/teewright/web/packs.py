"""The pack that is handed over: built in the background, kept as one file beside the project."""

import hashlib
import json
import re
import zipfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path

from teewright import __version__
from teewright.errors import UnknownNameError
from teewright.formats.json_values import dump, plain
from teewright.job.values import Job
from teewright.site.chain import GENESIS
from teewright.site.values import Event
from teewright.web.beside import put
from teewright.web.office import Known, Office
from teewright.web.tasks import Task, Told

NAME = "pack"
"""Name of the task that builds it."""
ABOUT, LOG = "about.json", "log.json"
_EPOCH = (1980, 1, 1, 0, 0, 0)  # the zip does not change with the hour in which it is written


@dataclass(frozen=True, slots=True)
class Pack:
    """What is said of a pack, in itself.

    Attributes:
        made: When, with time zone.
        version: Of this program.
        fingerprint: Of the inputs.
        entries: Entries of the log that it holds.
        head: Hash of the last of them, 64 zeros for none.
        plan: Hash of the programme and of how finely the collars were made.
        files: Paths of its files.
        size: Of the zip [bytes].
    """

    made: datetime
    version: str
    fingerprint: str
    entries: int
    head: str
    plan: str
    files: tuple[str, ...]
    size: int = 0


def pack_path(office: Office) -> Path:
    """Where the pack lies: beside the project file."""
    project = office.settings.project
    return project.with_name(f"{project.stem}-pack.zip")


def begin(office: Office) -> Task:
    """Begin to build the pack; one that is being built already is given back."""
    return office.tasks.start(NAME, lambda tell: build(office, tell))


def build(office: Office, tell: Told) -> None:
    """Build the pack and put it in place of the last one, whole or not at all.

    Args:
        office: The project.
        tell: Told what is being done.

    Raises:
        StoreError: It cannot be written beside the project.
    """
    from teewright.bench.cutting import on_roll  # noqa: PLC0415 -- heavy, only where it is built
    from teewright.bench.packing import pack_files  # noqa: PLC0415 -- the same

    bench = office.bench(tell)
    job = bench.job_as_planned
    tell("nesting the order on the roll")
    roll = on_roll(job, office.desk.shelf)
    files = {**dict(pack_files(bench, roll)), LOG: log_bytes(job.events)}
    about = Pack(
        made=datetime.now().astimezone(),
        version=__version__,
        fingerprint=job.fingerprint,
        entries=len(job.events),
        head=head_of(job.events),
        plan=_plan(job),
        files=tuple(files),
    )
    tell("writing the pack")
    data = _zipped({**files, ABOUT: _written(about)})
    put(pack_path(office), data)


def kept(office: Office) -> Pack | None:
    """The pack that lies beside the project, or None where there is none or it is none."""
    path = pack_path(office)
    try:
        with zipfile.ZipFile(path) as found:
            told = json.loads(found.read(ABOUT))
        told["made"] = datetime.fromisoformat(told["made"])
        told["files"] = tuple(told["files"])
        return Pack(**{**told, "size": path.stat().st_size})
    except (OSError, KeyError, ValueError, TypeError, zipfile.BadZipFile):
        return None


def given(office: Office) -> Path:
    """The file of the pack.

    Raises:
        UnknownNameError: There is none yet.
    """
    if kept(office) is None:
        raise UnknownNameError("is not made yet", field="pack", allowed="make it first")
    return pack_path(office)


def is_current(pack: Pack, known: Known) -> bool:
    """Whether nothing has changed since a pack was made."""
    job = known.job
    if job is None:
        return False
    now = (job.fingerprint, len(job.events), head_of(job.events), _plan(job), __version__)
    return now == (pack.fingerprint, pack.entries, pack.head, pack.plan, pack.version)


def head_of(events: tuple[Event, ...]) -> str:
    """Hash of the last entry of a log, 64 zeros for an empty one."""
    return events[-1].hash if events else GENESIS


def log_bytes(events: tuple[Event, ...]) -> bytes:
    """The log as JSON, with its end."""
    told = {
        "entries": len(events),
        "head": head_of(events),
        "events": [plain(event) for event in events],
    }
    return json.dumps(told, ensure_ascii=False, indent=1).encode()


def download_name(title: str, what: str, ending: str) -> str:
    """Name of a file that is downloaded: plain letters whatever the job is called."""
    plain_title = re.sub(r"[^A-Za-z0-9]+", "-", title).strip("-").lower()[:60]
    return f"{plain_title or 'job'}-{what}.{ending}"


def _plan(job: Job) -> str:
    finely = [design.collar.tolerance is not None for design in job.designs.designs]
    return hashlib.sha256(f"{finely} {dump(job.programme)}".encode()).hexdigest()[:16]


def _written(about: Pack) -> bytes:
    told = {k: v for k, v in asdict(about).items() if k != "size"}
    return json.dumps({**told, "made": about.made.isoformat()}, indent=1).encode()


def _zipped(files: dict[str, bytes]) -> bytes:
    target = BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in _ordered(files):
            made.writestr(zipfile.ZipInfo(name, _EPOCH), data, zipfile.ZIP_DEFLATED)
    return target.getvalue()


def _ordered(files: dict[str, bytes]) -> Iterator[tuple[str, bytes]]:
    """The PDF first, what is said of the pack after it, then the rest as made."""
    first = [name for name in ("pack.pdf", ABOUT) if name in files]
    for name in dict.fromkeys([*first, *files]):
        yield name, files[name]

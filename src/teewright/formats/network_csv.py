"""Plain lists as CSV: runs, connections, or coded observations, told apart by the header row.

Delimiter `;`, `,` or tab; decimal comma or point where the delimiter is not the comma; UTF-8
with or without byte order mark, else Windows-1252; lines that begin with `#` are comments.
Names of columns may be in any order and in upper or lower case; those in brackets are
optional, those after `/` are other names for the same column.

Runs, one line each: `upstream` / `up_node`, `downstream` / `down_node`, [`pipe` / `pipe_id`],
[`length_m`], [`dn_mm` / `diameter_mm` / `height_mm`], [`material`], [`lined`] (yes, no).

Connections, one line each: `upstream` and `downstream` of the run, `chainage_m` /
`distance_m` / `station_m` to the centre, [`from_node`] from which it is measured (the
upstream node where empty), [`clock`] of the centre in flow view (1 to 12),
[`dn_mm`] of the branch, [`angle_deg`] between the axes, [`kind`] (junction, saddle, plain ... or
the letters of the coding), [`open`] (yes, no, open, closed), [`defects`] (codes such as
`BBFC BAHE`), [`date`], [`pipe`], [`remark`].

Coded observations: see `teewright.formats.network_csv_coded`.
"""

import math
import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

from teewright.errors import FileFormatError, InputError
from teewright.findings import Finding, FindingKind
from teewright.formats.csv_table import Line, Table, read_table
from teewright.formats.network_csv_coded import CODED_COLUMNS, coded_inspections
from teewright.formats.text import FindingLog
from teewright.network.codes import kind_of
from teewright.network.declared import DeclaredConnection, DeclaredRun
from teewright.network.limits import MOST_CONNECTIONS, MOST_RUNS, at_most
from teewright.network.values import ConnectionKind, Inspection

_ALIASES = {
    "up_node": "upstream",
    "upstream_node": "upstream",
    "down_node": "downstream",
    "downstream_node": "downstream",
    "pipe_id": "pipe",
    "diameter_mm": "dn_mm",
    "height_mm": "dn_mm",
    "distance_m": "chainage_m",
    "station_m": "chainage_m",
    "clock_h": "clock",
    "start_node": "from_node",
    "note": "remark",
    "is_open": "open",
    "state": "open",
    "defect": "defects",
}
_RUN = frozenset({"upstream", "downstream", "pipe", "length_m", "dn_mm", "material", "lined"})
_CONNECTION = frozenset(
    {"upstream", "downstream", "pipe", "from_node", "chainage_m", "clock", "dn_mm", "angle_deg"}
    | {"kind", "open", "defects", "date", "remark"}
)
_DEFECT = re.compile(r"([A-D][A-Z]{2})[-.:]?([A-Z]?)")
MOST_FAULTS = 50
"""Most faulty lines that are told at once."""
SMALLEST_BRANCH_MM = 20.0
"""A branch that is smaller is a size in another unit, or none."""
Made = TypeVar("Made")
_OPEN = {"open": True, "a": True, "closed": False, "b": False}


@dataclass(frozen=True, slots=True)
class CsvContent:
    """What a plain list holds.

    Attributes:
        inspections: Of a list of coded observations.
        runs: Of a list of runs.
        connections: Of a list of connections.
        findings: Everything repaired, guessed, dropped or doubted.
    """

    inspections: tuple[Inspection, ...] = ()
    runs: tuple[DeclaredRun, ...] = ()
    connections: tuple[DeclaredConnection, ...] = ()
    findings: tuple[Finding, ...] = ()


def read(data: bytes, *, file: str) -> CsvContent:
    """Read a plain list of whichever kind its header row says.

    Args:
        data: The file.
        file: Its name, without the folder.

    Raises:
        FileFormatError: It is no such list.
        InputError: A value is missing or not allowed.
    """
    log = FindingLog(file)
    table = read_table(data, log=log, aliases=_ALIASES)
    kind = _kind(table)
    if kind and not table.lines:
        log.add(FindingKind.NOTE, "no-lines", f"the list of {kind} holds no line")
    if kind == "runs":
        _check_count(table, kind, MOST_RUNS, file)
        runs = _each(table, _run)
        _note_unused(table, _RUN, log)
        return CsvContent(runs=runs, findings=log.findings())
    if kind == "connections":
        _check_count(table, kind, MOST_CONNECTIONS, file)
        connections = _each(table, _connection)
        _note_unused(table, _CONNECTION, log)
        return CsvContent(connections=connections, findings=log.findings())
    if kind == "observations":
        inspections = coded_inspections(table, log)
        _note_kept(table, CODED_COLUMNS, log)
        return CsvContent(inspections=inspections, findings=log.findings())
    raise FileFormatError(
        "the header row is not one of a list that can be read",
        file=file,
        value=", ".join(table.columns),
        allowed="upstream and downstream with length_m ... (runs), with chainage_m "
        "(connections), or with code and station_m (observations)",
    )


def _check_count(table: Table, kind: str, most: int, file: str) -> None:
    """Refuse a list that is too long before anything of it is read."""
    if len(table.lines) > most:
        raise InputError(
            f"the list has {len(table.lines)} {kind}",
            file=file,
            line=table.lines[most].number,
            allowed=at_most(most),
        )
    runs = {(line.text("upstream"), line.text("downstream")) for line in table.lines}
    if len(runs) > MOST_RUNS:
        raise InputError(f"the list names {len(runs)} runs", file=file, allowed=at_most(MOST_RUNS))


def _kind(table: Table) -> str:
    names = set(table.columns)
    if not {"upstream", "downstream"} <= names:
        return ""
    if {"code", "chainage_m"} <= names:
        return "observations"
    return "connections" if "chainage_m" in names else "runs"


def _each(table: Table, make: Callable[[Line], Made]) -> tuple[Made, ...]:
    """What the lines say; the faults of all of them at once, so that a list is mended in one go.

    Raises:
        InputError: A line is wrong; those of other lines are its `others`.
    """
    made: list[Made] = []
    faults: list[InputError] = []
    for line in table.lines:
        try:
            made.append(make(line))
        except InputError as error:
            faults.append(error)
            if len(faults) == MOST_FAULTS:
                break
    if faults:
        faults[0].others = tuple(faults[1:])
        raise faults[0]
    return tuple(made)


def _run(line: Line) -> DeclaredRun:
    upstream, downstream = _ends(line)
    return DeclaredRun(
        upstream=upstream,
        downstream=downstream,
        place=line.place,
        pipe=line.text("pipe"),
        length=line.amount("length_m", low=0.1, high=5000.0),
        diameter=_metres(line.amount("dn_mm", low=50.0, high=5000.0)),
        material=line.text("material"),
        lined=line.truth("lined"),
    )


def _connection(line: Line) -> DeclaredConnection:
    upstream, downstream = _ends(line)
    from_node = line.text("from_node") or upstream
    if from_node not in {upstream, downstream}:
        raise line.error("is not a node of the run", "from_node", f"{upstream} or {downstream}")
    angle = line.amount("angle_deg", low=10.0, high=170.0)
    return DeclaredConnection(
        upstream=upstream,
        downstream=downstream,
        from_node=from_node,
        distance=line.amount("chainage_m", low=0.0, high=5000.0, required=True) or 0.0,
        place=line.place,
        pipe=line.text("pipe"),
        clock=line.clock("clock"),
        diameter=_branch(line),
        angle=None if angle is None else math.radians(angle),
        kind=_connection_kind(line),
        is_open=_open(line),
        date=line.date("date"),
        defects=_defects(line),
        remark=line.text("remark"),
    )


def _ends(line: Line) -> tuple[str, str]:
    upstream = line.text("upstream", required=True)
    downstream = line.text("downstream", required=True)
    if upstream == downstream:
        raise line.error("is also the upstream node", "downstream", "another node")
    return upstream, downstream


def _metres(millimetres: float | None) -> float | None:
    return millimetres / 1000.0 if millimetres else None


def _branch(line: Line) -> float | None:
    """Diameter of the branch [m]; None where it is empty or 0."""
    size = line.amount("dn_mm", low=0.0, high=2000.0)
    if size and size < SMALLEST_BRANCH_MM:
        allowed = f"{SMALLEST_BRANCH_MM:g} to 2000 in millimetres; empty or 0 where it is not known"
        raise line.error("is too small for a branch", "dn_mm", allowed)
    return _metres(size)


def _connection_kind(line: Line) -> ConnectionKind:
    word = line.text("kind")
    if len(word) <= 1 and (not word or word.upper() in "ABCDEFGZ"):
        return kind_of(word.upper())
    plain = re.sub(r"[\W_]+", " ", word).strip().lower()
    for kind in ConnectionKind:
        if plain == kind.value.replace(",", ""):
            return kind
    allowed = "; ".join(kind.value for kind in ConnectionKind)
    raise line.error("is not a kind of connection", "kind", f"{allowed}; or empty")


def _open(line: Line) -> bool | None:
    word = line.text("open").lower()
    return _OPEN[word] if word in _OPEN else line.truth("open")


def _defects(line: Line) -> tuple[tuple[str, str], ...]:
    found = []
    for word in re.split(r"[\s,;|+/]+", line.text("defects").upper()):
        match = _DEFECT.fullmatch(word)
        if match:
            found.append((match[1], match[2]))
        elif word:
            raise line.error("is not a list of codes", "defects", "codes such as BBFC BAHE")
    return tuple(found)


def _unknown(table: Table, known: Iterable[str]) -> list[tuple[str, int]]:
    """Columns that are not known, with the number of values in each; empty ones are left out."""
    named = frozenset(known)
    counts = Counter(name for line in table.lines for name, value in line.values.items() if value)
    return [(n, counts[n]) for n in table.columns if n not in named and counts[n]]


def _note_unused(table: Table, known: Iterable[str], log: FindingLog) -> None:
    for name, count in _unknown(table, known):
        text = f"the column is not one of this list: its {count} values are not used"
        log.add(FindingKind.DROPPED, "unknown-column", text, field=name)


def _note_kept(table: Table, known: Iterable[str], log: FindingLog) -> None:
    for name, count in _unknown(table, known):
        text = f"the column is not one of this list: its {count} values are kept beside"
        log.add(FindingKind.NOTE, "unknown-column", text, field=name)

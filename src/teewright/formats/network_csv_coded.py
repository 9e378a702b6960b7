"""A plain list of coded observations: one line each, the codes of EN 13508-2 in columns.

Columns: `station_m` from the start of the inspection, `code`, [`char1`], [`char2`], [`q1`],
[`q2`], [`clock_from`], [`clock_to`] as the camera saw them, [`cont`], [`joint`], [`remark`],
[`photo`], [`video`]; and of the inspection, the same on each of its lines: `up_node` /
`upstream`, `down_node` / `downstream`, [`start_node`], [`direction`] (A, D, O or I with the flow,
B, U or G against it), [`pipe_id`], [`date`], [`time`], [`inspector`], [`length_m`], [`dn_mm`],
[`material`], [`lining`]. Lines of one inspection need not stand together.
"""

from collections.abc import Iterable

from teewright.findings import FindingKind
from teewright.formats.csv_table import Line, Table
from teewright.formats.text import FindingLog
from teewright.network.codes import ABANDONED
from teewright.network.values import Direction, Inspection, Observation

_OF_INSPECTION = (
    *("upstream", "downstream", "from_node", "direction", "pipe", "date", "time"),
    *("inspector", "length_m", "dn_mm", "material", "lining"),
)
_OF_OBSERVATION = (
    *("chainage_m", "code", "char1", "char2", "q1", "q2", "clock_from", "clock_to"),
    *("cont", "joint", "remark", "photo", "video"),
)
CODED_COLUMNS = frozenset({*_OF_INSPECTION, *_OF_OBSERVATION})
"""Columns of this list, aliases resolved."""

_DIRECTIONS = {
    **dict.fromkeys(("a", "d", "o", "i", "with", "with flow", "downstream"), Direction.WITH),
    **dict.fromkeys(("b", "u", "g", "against", "against flow", "upstream"), Direction.AGAINST),
    **dict.fromkeys(("", "c", "unknown"), Direction.UNKNOWN),
}


def coded_inspections(table: Table, log: FindingLog) -> tuple[Inspection, ...]:
    """Inspections of a list of coded observations, in order of first appearance.

    Args:
        table: The list.
        log: Where guesses are noted.

    Raises:
        InputError: A value is missing or not allowed.
    """
    extra = tuple(name for name in table.columns if name not in CODED_COLUMNS)
    groups: dict[tuple[str, ...], list[Line]] = {}
    for line in table.lines:
        key = tuple(line.text(name) for name in _OF_INSPECTION[:7])
        groups.setdefault(key, []).append(line)
    return tuple(
        _inspection(lines, ordinal, extra, log) for ordinal, lines in enumerate(groups.values(), 1)
    )


def _inspection(
    lines: list[Line], ordinal: int, extra: tuple[str, ...], log: FindingLog
) -> Inspection:
    first = lines[0]
    upstream = first.text("upstream", required=True)
    downstream = first.text("downstream", required=True)
    start, direction = _way(first, upstream, downstream, log)
    observations = tuple(_observation(line, extra) for line in lines)
    known = direction is not Direction.UNKNOWN
    height = first.amount("dn_mm", low=0.0, high=5000.0)
    return Inspection(
        key=f"{log.file}#{ordinal}",
        pipe=first.text("pipe"),
        start_node=start,
        upstream=upstream if known else "",
        downstream=downstream if known else "",
        nodes=(upstream, downstream),
        direction=direction,
        date=first.date("date"),
        time=first.text("time"),
        inspector=first.text("inspector"),
        length=first.amount("length_m", low=0.0, high=5000.0) or None,
        height=height / 1000.0 if height else None,
        width=height / 1000.0 if height else None,
        material=first.text("material"),
        lining_type=first.text("lining"),
        lining_material="",
        abandoned=any(o.code == ABANDONED for o in observations),
        last_station=max((o.station for o in observations), default=0.0),
        observations=observations,
        header=_header(first, _OF_INSPECTION),
        place=first.place,
    )


def _header(line: Line, names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    return tuple((name, line.text(name)) for name in names if line.text(name))


def _way(line: Line, upstream: str, downstream: str, log: FindingLog) -> tuple[str, Direction]:
    """Start node and direction: the start node counts where the two do not agree."""
    word = line.text("direction").lower()
    if word not in _DIRECTIONS:
        raise line.error(
            "is not a direction",
            "direction",
            "A, D, O or I with the flow, B, U or G against it, C, or empty",
        )
    stated, start = _DIRECTIONS[word], line.text("from_node")
    if start and start not in {upstream, downstream}:
        raise line.error("is not a node of the run", "from_node", f"{upstream} or {downstream}")
    if not start and stated is Direction.UNKNOWN:
        text = f"neither start node nor direction is given: with the flow from {upstream} taken"
        log.add(FindingKind.GUESSED, "direction", text, line=line.number, field="direction")
        return upstream, Direction.WITH
    if not start:
        return (upstream if stated is Direction.WITH else downstream), stated
    real = Direction.WITH if start == upstream else Direction.AGAINST
    if stated not in {real, Direction.UNKNOWN}:
        text = f"the direction does not fit the start node {start}: {real} taken"
        log.add(
            FindingKind.DOUBT,
            "direction",
            text,
            line=line.number,
            field="direction",
            value=line.text("direction"),
        )
    return start, real


def _observation(line: Line, extra: tuple[str, ...]) -> Observation:
    return Observation(
        code=line.text("code", required=True).upper(),
        char1=line.text("char1").upper(),
        char2=line.text("char2").upper(),
        q1=line.amount("q1", low=-1e6, high=1e6),
        q2=line.amount("q2", low=-1e6, high=1e6),
        station=line.amount("chainage_m", low=-100.0, high=5000.0, required=True) or 0.0,
        clock_from=line.clock("clock_from"),
        clock_to=line.clock("clock_to"),
        continuous=line.text("cont").upper(),
        at_joint=line.text("joint").upper() not in {"", "0", "N", "NO"},
        remark=line.text("remark"),
        photo=line.text("photo"),
        video=line.text("video"),
        place=line.place,
        extra=_header(line, extra),
    )

"""One line of observation values to an `Observation`."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from teewright.findings import FindingKind, Place
from teewright.formats.en13508.fields import read_clock, read_number
from teewright.formats.en13508.records import Cell, Row
from teewright.formats.text import FindingLog, number
from teewright.network.codes import GUESSED_STATION
from teewright.network.values import Observation

_USED = frozenset("ABCDEFGHIJKMN")
_CODE = re.compile(r"[A-D][A-Z]{2}")
_CONTINUOUS = re.compile(r"([A-Z])(\d+)")
_NAMES_NODE = frozenset({"BCD", "BCE"})
"""Codes whose quantification may hold a node's name."""
_FARTHEST = 1000.0
"""Stations beyond are doubted: no camera cable is that long [m]."""
_NO_STATION = 10_000.0
"""Numbers beyond are no stations at all [m]."""


def build_observations(rows: Iterable[Row], log: FindingLog) -> tuple[Observation, ...]:
    """Observations of one inspection, in the order of the file.

    A line without a readable station takes the one before it, with a finding.

    Args:
        rows: Lines of values.
        log: Where repairs, guesses and doubts are noted.
    """
    built: list[Observation] = []
    for row in rows:
        if any(cell.text for cell in row.cells):
            before = built[-1].station if built else 0.0
            built.append(_observation(row, before, log))
        else:
            text = "the line of values is empty: not used"
            log.add(FindingKind.NOTE, "empty-line", text, line=row.line)
    _note_repeats(built, log)
    _note_unclosed(built, log)
    return tuple(built)


def node_named(observations: Iterable[Observation], code: str) -> str:
    """The node that `BCD` or `BCE` names in its quantification, or `""`."""
    names = (dict(o.extra).get("D", "") for o in observations if o.code == code)
    return next((name for name in names if name), "")


def _observation(row: Row, before: float, log: FindingLog) -> Observation:
    cells: dict[str, Cell] = {}
    extra: list[tuple[str, str]] = []
    for cell in row.cells:
        if cell.code in _USED and cell.code not in cells:
            cells[cell.code] = cell
        elif cell.text:
            extra.append((cell.code, cell.text))
    text = {code: cells[code].text if code in cells else "" for code in _USED}
    code = _code(row, text["A"], log)
    numbers = _numbers(row, cells, named=code in _NAMES_NODE, log=log)
    station = _station(row, numbers["I"], before, log)
    clocks = {c: read_clock(cells[c], log=log) if c in cells else None for c in "GH"}
    used = {"I": station, "D": numbers["D"], "E": numbers["E"]}
    extra += [(c, text[c]) for c in "IDE" if text[c] and not _says(text[c], used[c])]
    extra += [(c, text[c]) for c in "GH" if text[c].strip("0") and clocks[c] is None]
    if numbers["I"] is None or station != numbers["I"]:
        extra.append(GUESSED_STATION)
    return Observation(
        code=code,
        char1=text["B"].upper(),
        char2=text["C"].upper(),
        q1=numbers["D"],
        q2=numbers["E"],
        station=station,
        clock_from=clocks["G"],
        clock_to=clocks["H"],
        continuous=text["J"].upper(),
        at_joint=_at_joint(row, text["K"], log),
        remark=text["F"],
        photo=text["M"],
        video=text["N"],
        place=Place(log.file, row.line),
        extra=tuple(extra),
    )


def _says(text: str, value: float | None) -> bool:
    """Whether the text is that number and nothing more."""
    found = number(text, decimal=".")
    return found is not None and found[0] == value


def _code(row: Row, text: str, log: FindingLog) -> str:
    code = text.upper()
    if not _CODE.fullmatch(code):
        told = "A (main code) is not a code of three letters: kept as it stands"
        log.add(FindingKind.DOUBT, "code", told, line=row.line, field="A", value=text)
    return code


def _numbers(
    row: Row, cells: dict[str, Cell], *, named: bool, log: FindingLog
) -> dict[str, float | None]:
    found: dict[str, float | None] = dict.fromkeys("IDE")
    for code in "I" if named else "IDE":
        if code in cells:
            unit = "m" if code == "I" else "mm"
            found[code] = read_number(cells[code], decimal=row.decimal, log=log, unit=unit)
    return found


def _station(row: Row, station: float | None, before: float, log: FindingLog) -> float:
    if station is None or abs(station) > _NO_STATION:
        text = "I (distance) is missing or unreadable: that of the line before is taken"
        log.add(FindingKind.GUESSED, "station", text, line=row.line, field="I")
        return before
    if station < 0.0:
        text = "I (distance) is negative: kept"
        log.add(FindingKind.DOUBT, "station", text, line=row.line, field="I", value=f"{station}")
    if station > _FARTHEST:
        text = f"I (distance) is more than {_FARTHEST:.0f} m: kept"
        log.add(FindingKind.DOUBT, "station", text, line=row.line, field="I", value=f"{station}")
    return station


def _at_joint(row: Row, text: str, log: FindingLog) -> bool:
    mark = text.strip().upper()
    if mark in {"", "0", "N"}:
        return False
    if mark != "A":
        told = f"K (joint) = {mark} read as at a joint"
        log.add(FindingKind.GUESSED, "joint", told, line=row.line, field="K", value=text)
    return True


def _note_repeats(observations: Sequence[Observation], log: FindingLog) -> None:
    seen: dict[tuple[object, ...], int] = {}
    for one in observations:
        key = (
            *(one.code, one.char1, one.char2, one.q1, one.q2, one.station, one.clock_from),
            *(one.clock_to, one.continuous, one.at_joint, one.remark, one.photo, one.video),
            one.extra,
        )
        if key in seen:
            text = f"{one.code} repeats line {seen[key]} in every value: both are kept"
            log.add(FindingKind.NOTE, "repeated-line", text, line=one.place.line)
        else:
            seen[key] = one.place.line or 0


def _note_unclosed(observations: Sequence[Observation], log: FindingLog) -> None:
    """Note continuous defects with a start and no end, or the other way round."""
    marks = [(o, _CONTINUOUS.fullmatch(o.continuous)) for o in observations if o.continuous]
    starts, ends = (Counter(m[2] for _, m in marks if m and m[1] == x) for x in "AB")
    for one, match in marks:
        if not match or match[1] not in "ABC":
            told = "J (continuous defect) is not A, B or C with a number: kept as it stands"
        elif starts[match[2]] != ends[match[2]]:
            told = "J (continuous defect) has not as many ends as starts: kept as it stands"
        else:
            continue
        line, value = one.place.line, one.continuous
        log.add(FindingKind.DOUBT, "continuous", told, line=line, field="J", value=value)

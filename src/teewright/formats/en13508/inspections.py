"""One draft to an `Inspection`; manholes and laterals are kept out."""

from teewright.findings import FindingKind, Place
from teewright.formats.en13508.fields import read_date, read_number
from teewright.formats.en13508.nodes import find_way
from teewright.formats.en13508.observations import build_observations, node_named
from teewright.formats.en13508.records import Cell, Draft
from teewright.formats.text import FindingLog
from teewright.network.values import Inspection, Observation

_EMPTY = Cell("", "", 0)
_LEAST_HEIGHT = 10.0
"""A pipe's height below is taken as metres [mm]."""
_MOST_HEIGHT = 10_000.0
"""A number above is no height of a pipe [mm]."""
_MOST_LENGTH = 10_000.0
"""A number above is no length of a pipe [m]."""


def build_inspection(draft: Draft, *, ordinal: int, log: FindingLog) -> Inspection | None:
    """The inspection of a draft; None, with a finding, where it is not one of a main.

    Args:
        draft: As it stands in the file.
        ordinal: Of the inspection in the file, from 1.
        log: Where repairs, guesses, drops and doubts are noted.
    """
    cells = _by_code(draft, log)
    if _kept_out(draft, cells, log):
        return None
    observations = build_observations(draft.rows, log)
    fields = {code: cell.text for code, cell in cells.items()}
    pipe = fields.get("AAA", "")
    way = find_way(
        fields,
        pipe=pipe or f"{log.file} inspection {ordinal}",
        seen_at_start=node_named(observations, "BCD"),
        line=draft.line,
        log=log,
    )
    return Inspection(
        key=f"{log.file}#{ordinal}",
        pipe=pipe,
        start_node=way.start,
        upstream=way.upstream,
        downstream=way.downstream,
        nodes=way.nodes,
        direction=way.direction,
        date=read_date(cells.get("ABF", _EMPTY), log=log),
        time=fields.get("ABG", ""),
        inspector=fields.get("ABH", ""),
        length=_length(draft, cells, log),
        height=_size(draft, cells.get("ACB", _EMPTY), log),
        width=_size(draft, cells.get("ACC", _EMPTY), log),
        material=fields.get("ACD", ""),
        lining_type=fields.get("ACE", ""),
        lining_material=fields.get("ACF", ""),
        abandoned=_abandoned(observations, draft, log),
        last_station=max((o.station for o in observations), default=0.0),
        observations=observations,
        header=tuple((cell.code, cell.text) for cell in draft.header),
        place=Place(log.file, draft.line),
    )


def _by_code(draft: Draft, log: FindingLog) -> dict[str, Cell]:
    cells: dict[str, Cell] = {}
    for cell in draft.header:
        earlier = cells.get(cell.code)
        if earlier is None or not earlier.text:
            cells[cell.code] = cell
        elif cell.text and cell.text != earlier.text:
            text = f"{cell.code} is given twice in one header: the first, {earlier.text}, is used"
            log.add(
                FindingKind.DOUBT,
                "header-twice",
                text,
                line=cell.line,
                field=cell.code,
                value=cell.text,
            )
    return cells


def _kept_out(draft: Draft, cells: dict[str, Cell], log: FindingLog) -> bool:
    filled = {code for code, cell in cells.items() if cell.text.strip("0., ")}
    if {"CAA", "CBA", "CBF"} & set(cells) and not {"AAA", "AAB", "AAD", "AAF"} & filled:
        what, value = "a manhole", cells.get("CAA", _EMPTY).text
    elif {"AAT", "AAV", "AAH"} & filled:
        what, value = "a lateral", cells.get("AAT", _EMPTY).text
    else:
        return False
    text = f"the inspection is one of {what}: kept out with its {len(draft.rows)} observations"
    log.add(FindingKind.DROPPED, "not-a-main", text, line=draft.line, value=value)
    return True


def _length(draft: Draft, cells: dict[str, Cell], log: FindingLog) -> float | None:
    cell = cells.get("ABQ", _EMPTY)
    value = read_number(cell, decimal=draft.decimal, log=log, unit="m")
    return _usable(value, _MOST_LENGTH, cell, log)


def _usable(value: float | None, most: float, cell: Cell, log: FindingLog) -> float | None:
    """The value where a pipe can have it; 0 is how some writers leave a field empty."""
    if value is None or value == 0.0 or 0.0 < value <= most:
        return value or None
    text = f"{cell.code} is not between 0 and {most:g}: not used"
    log.add(FindingKind.DOUBT, "size", text, line=cell.line, field=cell.code, value=cell.text)
    return None


def _size(draft: Draft, cell: Cell, log: FindingLog) -> float | None:
    read = read_number(cell, decimal=draft.decimal, log=log)
    value = _usable(read, _MOST_HEIGHT, cell, log)
    if value is None:
        return None
    if value < _LEAST_HEIGHT:
        text = f"{cell.code} is below {_LEAST_HEIGHT:.0f} mm: taken as metres"
        log.add(FindingKind.GUESSED, "size", text, line=cell.line, field=cell.code, value=cell.text)
        return value
    return value / 1000.0


def _abandoned(observations: tuple[Observation, ...], draft: Draft, log: FindingLog) -> bool:
    codes = {o.code for o in observations}
    if not observations:
        text = "the inspection has no observations"
        log.add(FindingKind.NOTE, "no-observations", text, line=draft.line)
    if {"BDC", "BCE"} <= codes:
        text = "both BDC (abandoned) and BCE (finish node) are coded: taken as abandoned"
        log.add(FindingKind.DOUBT, "abandoned", text, line=draft.line)
    return "BDC" in codes

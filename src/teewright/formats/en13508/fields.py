"""Numbers, clocks and dates of single fields, each repair noted with its line and code."""

from teewright.findings import FindingKind
from teewright.formats.en13508.records import Cell
from teewright.formats.text import FindingLog, clock, iso_date, number, undressed


def read_number(cell: Cell, *, decimal: str, log: FindingLog, unit: str = "mm") -> float | None:
    """The number of a field, or None where it is empty or cannot be read (with a finding).

    Args:
        cell: The field.
        decimal: Decimal sign that was declared.
        log: Where repairs and doubts are noted.
        unit: Unit of the field, which may stand behind the number.
    """
    text = cell.text.strip()
    if not text:
        return None
    found = number(text, decimal=decimal)
    if found is None:
        found = number(undressed(text, unit=unit), decimal=decimal)
        told = f"{cell.code} carries a unit, a % sign or DN: the number alone is taken"
        if found is not None:
            _note(FindingKind.REPAIRED, "number", told, cell, log)
    if found is None:
        told = f"{cell.code} is not a number: not used, the text is kept"
        _note(FindingKind.DOUBT, "number", told, cell, log)
        return None
    if not found[1]:
        told = f"{cell.code} has another decimal sign than the file declares: read all the same"
        _note(FindingKind.REPAIRED, "decimal-sign", told, cell, log)
    return found[0]


def read_clock(cell: Cell, *, log: FindingLog) -> float | None:
    """The clock position of a field [h], or None where it is empty, `0`, or cannot be read."""
    try:
        found = clock(cell.text)
    except ValueError:
        told = f"{cell.code} is not a clock position: not used, the text is kept"
        _note(FindingKind.DOUBT, "clock", told, cell, log)
        return None
    if found is None and cell.text.strip():
        told = f"{cell.code} = {cell.text.strip()} read as no clock position"
        _note(FindingKind.NOTE, "clock-zero", told, cell, log)
    return found


def read_date(cell: Cell, *, log: FindingLog) -> str:
    """The date of a field as `YYYY-MM-DD`, as written where it cannot be read."""
    text = cell.text.strip()
    found = iso_date(text) if text else ""
    if found is None:
        told = f"{cell.code} is not a date that can be read: kept as written"
        _note(FindingKind.DOUBT, "date", told, cell, log)
        return text
    if text and not text.startswith(found):
        told = f"{cell.code} is not written YYYY-MM-DD: read as {found}"
        kind = FindingKind.GUESSED if "/" in text else FindingKind.REPAIRED
        _note(kind, "date", told, cell, log)
    return found


def _note(kind: FindingKind, rule: str, text: str, cell: Cell, log: FindingLog) -> None:
    log.add(kind, rule, text, line=cell.line, field=cell.code, value=cell.text)

"""From the lines of an EN 13508-2 text file to one draft an inspection, nothing interpreted yet."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from teewright.findings import FindingKind
from teewright.formats.en13508.settings import Settings, changed, separator_of, split
from teewright.formats.text import FindingLog

_RECORD = re.compile(r"\s*#([A-Za-z])(\d*)\s*(?:=(.*)|[;,|\t ]*)")
"""A mark with its value; spreadsheets leave separators behind one that has none."""
_JOINED = 5
"""Most lines over which one quoted text may run."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One value with the code of its column.

    Attributes:
        code: Code of the column, upper case; `column N` where the line has more values.
        text: As written, without quoting and spaces round it.
        line: Line in the file.
    """

    code: str
    text: str
    line: int


@dataclass(frozen=True, slots=True)
class Row:
    """One line of observation values.

    Attributes:
        line: Line in the file.
        cells: Its values.
        decimal: Decimal sign in force.
    """

    line: int
    cells: tuple[Cell, ...]
    decimal: str


@dataclass(slots=True)
class Draft:
    """One inspection as it stands in the file.

    Attributes:
        line: Line of its first `#B`.
        decimal: Decimal sign in force.
        header: Header values in the order of the file.
        rows: Observation values in the order of the file.
        has_first: Whether its `#B01` was met.
        has_rows: Whether its `#C` was met.
    """

    line: int
    decimal: str
    header: list[Cell] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    has_first: bool = False
    has_rows: bool = False


class Scanner:
    """Walks the lines once and gathers drafts.

    Args:
        lines: The whole file.
        settings: How its values are written.
        log: Where repairs, guesses and drops are noted.
    """

    def __init__(self, lines: Sequence[str], settings: Settings, log: FindingLog) -> None:
        self._lines, self._settings, self._log = lines, settings, log
        self._drafts: list[Draft] = []
        self._draft: Draft | None = None
        self._codes: tuple[str, ...] | None = None  # of the #C in force
        self._awaited: tuple[str, ...] | None = None  # of a #B whose values come next
        self._declared: dict[int, str] = {}

    def scan(self) -> list[Draft]:
        """Every inspection of the file, in order."""
        index = 0
        while index < len(self._lines):
            match = _RECORD.fullmatch(self._lines[index])
            if match:
                self._record(match, index + 1)
                index += 1
            else:
                index = self._values(index)
        last = max(n for n, line in enumerate(self._lines, 1) if line.strip())
        self._end_of_header(last)
        if self._draft:
            self._close(last, "the file ends without a last #Z: taken as the end")
        return [draft for draft in self._drafts if draft.header or draft.rows]

    def _record(self, match: re.Match[str], line: int) -> None:
        letter, digits, rest = match[1].upper(), match[2], match[3] or ""
        if match[1] != letter:
            text = "the letter of the mark is in lower case: read as upper case"
            self._log.add(FindingKind.REPAIRED, "mark-case", text, line=line, value=match[0])
        self._end_of_header(line)
        if letter == "A":
            self._setting(int(digits or 0), rest, line)
        elif letter == "B":
            self._header(int(digits or 1), rest, line)
        elif letter == "C":
            self._columns(rest, line)
        elif letter == "Z":
            self._terminator(line)
        else:
            text = "the line begins with a mark that this format does not have: not used"
            self._log.add(FindingKind.DROPPED, "unknown-record", text, line=line, value=match[0])

    def _setting(self, key: int, value: str, line: int) -> None:
        if key in self._declared and self._declared[key] != value:
            text = f"#A{key} is given again with another value, which holds from here on"
            if key == 1:
                text = "#A1 is given again with another charset; the bytes decide line by line"
            self._log.add(FindingKind.DOUBT, "setting-again", text, line=line, value=value)
            self._settings = changed(self._settings, key, value)
        if key not in range(1, 7):
            text = "the setting is not one that this format has: not used"
            self._log.add(FindingKind.DROPPED, "unknown-record", text, line=line, value=value)
        self._declared[key] = value

    def _header(self, number: int, rest: str, line: int) -> None:
        draft = self._draft
        if draft and (draft.has_rows or (number == 1 and draft.has_first)):
            self._close(line, "the inspection ends without a #Z: taken as its end")
        if self._draft is None:
            self._draft = Draft(line, self._settings.decimal)
            self._codes = None
        self._draft.has_first |= number == 1
        self._awaited = self._names(rest, line)
        self._draft.decimal = self._settings.decimal

    def _columns(self, rest: str, line: int) -> None:
        self._codes = self._names(rest, line)
        if self._draft is None:
            text = "columns of observations stand outside an inspection: their lines are dropped"
            self._log.add(FindingKind.DROPPED, "no-header", text, line=line, value=rest)
            return
        self._draft.has_rows = True

    def _names(self, rest: str, line: int) -> tuple[str, ...]:
        sign = separator_of(rest, self._settings.separator)
        if sign != self._settings.separator:
            text = f"the codes are separated by {sign!r}, not as declared: {sign!r} taken"
            self._log.add(FindingKind.GUESSED, "separator", text, line=line, value=rest)
            decimal = "." if sign == "," else self._settings.decimal
            self._settings = replace(self._settings, separator=sign, decimal=decimal)
        names, _ = split(rest, self._settings)
        return tuple(name.upper() for name in names)

    def _terminator(self, line: int) -> None:
        if self._draft is None:
            text = "a #Z ends nothing: ignored"
            self._log.add(FindingKind.NOTE, "stray-terminator", text, line=line)
        else:
            self._drafts.append(self._draft)
        self._draft, self._codes = None, None

    def _close(self, line: int, text: str) -> None:
        self._log.add(FindingKind.REPAIRED, "missing-terminator", text, line=line)
        if self._draft:
            self._drafts.append(self._draft)
        self._draft, self._codes = None, None

    def _end_of_header(self, line: int) -> None:
        if self._awaited is not None:
            text = "the line of codes has no line of values"
            self._log.add(FindingKind.DROPPED, "header-without-values", text, line=line)
            self._awaited = None

    def _values(self, index: int) -> int:
        """Take the values that begin at `index`; the index after them."""
        codes = self._awaited if self._awaited is not None else self._codes
        blank = not self._lines[index].strip()
        if blank and (self._awaited is None or len(self._awaited) > 1):
            return index + 1
        if codes is None or self._draft is None:
            text = "the line stands outside an inspection: dropped"
            value = self._lines[index]
            self._log.add(FindingKind.DROPPED, "stray-line", text, line=index + 1, value=value)
            return index + 1
        values, after = self._joined(index, len(codes))
        cells = self._cells(codes, values, index + 1)
        if self._awaited is not None:
            self._draft.header.extend(cells)
            self._awaited = None
        else:
            self._draft.rows.append(Row(index + 1, cells, self._settings.decimal))
        return after

    def _joined(self, index: int, columns: int) -> tuple[list[str], int]:
        """Values of the line, with following ones where a quoted text runs over them."""
        text = self._lines[index]
        values, sound = split(text, self._settings)
        after = index + 1
        while not sound and after < min(index + _JOINED, len(self._lines)):
            if _RECORD.fullmatch(self._lines[after]):
                break
            text = f"{text}\n{self._lines[after]}"
            after += 1
            longer, whole = split(text, self._settings)
            if whole and len(longer) == columns:
                told = "a quoted text runs over several lines: read as one"
                self._log.add(FindingKind.NOTE, "text-over-lines", told, line=index + 1)
                return longer, after
        if not sound:
            told = "the quoting of the line is not sound: read as well as can be"
            value = self._lines[index]
            self._log.add(FindingKind.DOUBT, "quoting", told, line=index + 1, value=value)
        return values, index + 1

    def _cells(self, codes: tuple[str, ...], values: list[str], line: int) -> tuple[Cell, ...]:
        extra = [value for value in values[len(codes) :] if value]
        if extra:
            text = "the line has more values than columns: the surplus is kept as it stands"
            value = self._settings.separator.join(extra)
            self._log.add(FindingKind.DOUBT, "more-values", text, line=line, value=value)
        if len(values) < len(codes):
            text = "the line has fewer values than columns: the last ones are taken as empty"
            self._log.add(FindingKind.ASSUMED, "fewer-values", text, line=line)
        names = (*codes, *(f"column {n}" for n in range(len(codes) + 1, len(values) + 1)))
        pairs = zip(names, values, strict=False)
        cells = [Cell(name, value, line) for name, value in pairs]
        return tuple(cell for n, cell in enumerate(cells) if cell.text or n < len(codes))

"""A plain table with a header row: delimiter, charset, decimal sign, columns by name."""

import csv
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from teewright.errors import FileFormatError, InputError
from teewright.findings import FindingKind, Place
from teewright.formats.text import FindingLog, clock, iso_date, number, text_lines, undressed

_YES = frozenset({"yes", "y", "true", "1", "x", "ja", "j", "oui"})
_NO = frozenset({"no", "n", "false", "0", "nein", "non"})
MOST_COLUMNS = 1000
"""Most columns of a table."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a table.

    Attributes:
        file: Name of the file.
        number: Line in the file.
        values: Values by the name of their column.
        decimal: Decimal sign that the table should use.
        names: Names of the columns as the file spells them, by the name used here.
        log: Where repairs are noted.
    """

    file: str
    number: int
    values: Mapping[str, str]
    decimal: str
    names: Mapping[str, str]
    log: FindingLog

    @property
    def place(self) -> Place:
        """Where this line stands."""
        return Place(self.file, self.number)

    def text(self, field: str, *, required: bool = False) -> str:
        """A text; `InputError` where it is required and empty."""
        value = self.values.get(field, "")
        if required and not value:
            raise self.error("is empty", field, "a value")
        return value

    def amount(
        self, field: str, *, low: float, high: float, required: bool = False
    ) -> float | None:
        """A number in the unit of its column, or None where it is empty.

        Raises:
            InputError: It is not a number, out of range, or required and empty.
        """
        text = self.text(field, required=required)
        if not text:
            return None
        found = number(text, decimal=self.decimal) or self._undressed(field, text)
        if found is None:
            raise self.error("is not a number", field, f"a number such as 12{self.decimal}5")
        if not low <= found[0] <= high:
            raise self.error("is out of range", field, f"{low:g} to {high:g}")
        return found[0]

    def _undressed(self, field: str, text: str) -> tuple[float, bool] | None:
        unit = field.rpartition("_")[2]
        found = number(undressed(text, unit=unit), decimal=self.decimal)
        if found is not None:
            told = "a unit, a % sign or DN stands at the number: the number alone is taken"
            self._note(FindingKind.REPAIRED, "number", told, field)
        return found

    def _note(self, kind: FindingKind, rule: str, text: str, field: str) -> None:
        spelled, value = self.names.get(field, field), self.text(field)
        self.log.add(kind, rule, text, line=self.number, field=spelled, value=value)

    def clock(self, field: str) -> float | None:
        """A clock position [h], or None where it is empty or 0; `InputError` if unreadable."""
        try:
            found = clock(self.text(field))
        except ValueError:
            raise self.error("is not a clock position", field, "1 to 12, or empty") from None
        if found is None and self.text(field):
            self._note(FindingKind.NOTE, "clock-zero", "read as no clock position", field)
        return found

    def truth(self, field: str) -> bool | None:
        """Yes, no, or None where it is empty; `InputError` if neither."""
        word = self.text(field).lower()
        if word and word not in _YES | _NO:
            raise self.error("is neither yes nor no", field, "yes, no, or empty")
        return word in _YES if word else None

    def date(self, field: str) -> str:
        """A date as `YYYY-MM-DD`, or `""`; `InputError` if unreadable."""
        text = self.text(field)
        found = iso_date(text) if text else ""
        if found is None:
            raise self.error("is not a date", field, "YYYY-MM-DD")
        if not text.startswith(found):
            kind = FindingKind.GUESSED if "/" in text else FindingKind.REPAIRED
            self._note(kind, "date", f"is not written YYYY-MM-DD: read as {found}", field)
        return found

    def error(self, problem: str, field: str, allowed: str) -> InputError:
        """An error that names this line and field."""
        return InputError(
            problem,
            file=self.file,
            line=self.number,
            field=self.names.get(field, field),
            value=self.values.get(field, ""),
            allowed=allowed,
        )


@dataclass(frozen=True, slots=True)
class Table:
    """A table as it was read.

    Attributes:
        columns: Names in order, lower case, aliases resolved.
        lines: Its lines, without blank ones.
    """

    columns: tuple[str, ...]
    lines: tuple[Line, ...]


def read_table(data: bytes, *, log: FindingLog, aliases: Mapping[str, str]) -> Table:
    """Read a table with a header row; lines that begin with `#` are comments.

    The delimiter is the one of `;`, `,` and tab that stands most often in the header row.

    Args:
        data: The file: UTF-8 with or without byte order mark, else Windows-1252.
        log: Where repairs are noted.
        aliases: Other names of a column, and the name to use.

    Raises:
        FileFormatError: It is empty, not text, or has no header row.
        InputError: It is larger than the limits, or a line does not fit the header row.
    """
    lines = text_lines(data, declared="", log=log)
    top = next((n for n, line in enumerate(lines) if _counts(line)), None)
    if top is None:
        raise FileFormatError("has no header row", file=log.file, allowed="names of columns")
    delimiter = max(";,\t", key=lines[top].count)
    rows = _rows(lines, top, delimiter, log.file)
    _, names = next(rows)
    columns = _columns(names, top + 1, aliases, log.file)
    decimal = "." if delimiter == "," else ","
    spelled = dict(zip(columns, names, strict=True))
    return Table(columns, tuple(_lines(rows, spelled, decimal, log)))


def _counts(line: str) -> bool:
    return bool(line.strip(" ;,\t")) and not line.lstrip().startswith("#")


def _rows(lines: list[str], top: int, delimiter: str, file: str) -> Iterator[tuple[int, list[str]]]:
    source = (line if _counts(line) else "" for line in lines[top:])
    reader = csv.reader(source, delimiter=delimiter, skipinitialspace=True, strict=True)
    end = top
    try:
        for row in reader:
            begin, end = end + 1, top + reader.line_num
            if row:
                yield begin, [value.strip() for value in row]
    except csv.Error as error:
        raise FileFormatError(
            f"cannot be read as a table ({error})", file=file, line=end + 1
        ) from error


def _columns(names: list[str], line: int, aliases: Mapping[str, str], file: str) -> tuple[str, ...]:
    if len(names) > MOST_COLUMNS:
        raise InputError(
            f"the header row has {len(names)} columns",
            file=file,
            line=line,
            allowed=f"at most {MOST_COLUMNS}",
        )
    plain = [re.sub(r"[\s-]+", "_", name.lower()) for name in names]
    columns = [aliases.get(name, name) or f"column {n}" for n, name in enumerate(plain, 1)]
    for name, times in Counter(columns).items():
        if times > 1:
            raise FileFormatError(
                "is the name of two columns", file=file, line=line, value=name, allowed="one"
            )
    return tuple(columns)


def _lines(
    rows: Iterator[tuple[int, list[str]]],
    names: Mapping[str, str],
    decimal: str,
    log: FindingLog,
) -> Iterator[Line]:
    for at, values in rows:
        if any(values[len(names) :]):
            raise InputError(
                f"the line has {len(values)} values",
                file=log.file,
                line=at,
                allowed=f"{len(names)}, as many as the header row has names",
            )
        if len(values) < len(names):
            text = "the line has fewer values than columns: the last ones are taken as empty"
            log.add(FindingKind.ASSUMED, "fewer-values", text, line=at)
        if any(values):
            yield Line(log.file, at, dict(zip(names, values, strict=False)), decimal, names, log)

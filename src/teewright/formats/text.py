"""Text files from outside: size, charset, lines, numbers, dates and clocks as people write them."""

import codecs
import datetime
import math
import re
from collections.abc import Iterable

from teewright.errors import FileFormatError, InputError
from teewright.findings import Finding, FindingKind, Place
from teewright.network.limits import MOST_LINES

MAX_BYTES = 64 * 2**20
"""Largest survey file that is read [byte]."""
MAX_LINE = 2**20
"""Longest line that is read [byte]."""

_BOMS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_CHARSET = re.compile(r"ascii|utf-8|iso8859-\d+|cp125[0-8]|cp437|cp85[028]|mac-roman|koi8-[ru]")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")
_DRESSED = re.compile(r"(?:DN\s*)?([-+0-9.,]+)\s*(mm|m|%|)", re.IGNORECASE)
_CLOCK = re.compile(r"([0-9]{1,2})(?:[.,]([0-9]{1,2})|:([0-5][0-9]))?")
_DATES = (
    (re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?"), (1, 2, 3)),
    (re.compile(r"(\d{4})(\d{2})(\d{2})"), (1, 2, 3)),
    (re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4}|\d{2})(?:[T ].*)?"), (3, 2, 1)),
)


class FindingLog:
    """Collects the findings of one reader; a repair done many times becomes one finding.

    Args:
        file: Name of the file, without its folder.
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self._first: dict[tuple[str, ...], Finding] = {}
        self._lines: dict[tuple[str, ...], list[int]] = {}

    def add(
        self,
        kind: FindingKind,
        rule: str,
        text: str,
        *,
        line: int | None = None,
        field: str = "",
        value: str = "",
    ) -> None:
        """Note one thing; the same thing again only adds its line to the list of lines."""
        key = (kind, rule, text, field)
        place = Place(self.file, line, field)
        self._first.setdefault(key, Finding(kind, rule, text, place, value[:200]))
        if line is not None:
            self._lines.setdefault(key, []).append(line)

    def findings(self) -> tuple[Finding, ...]:
        """Everything noted, in the order in which it was first met."""
        return tuple(self._told(key, first) for key, first in self._first.items())

    def _told(self, key: tuple[str, ...], first: Finding) -> Finding:
        lines = self._lines.get(key, [])
        if len(lines) < 2:
            return first
        text = f"{first.text} ({len(lines)} times, lines {line_ranges(lines)})"
        return Finding(first.kind, first.rule, text, first.place, first.value, first.subject)


def line_ranges(lines: Iterable[int]) -> str:
    """Line numbers as people list them: `3, 5-9, 12`."""
    spans: list[list[int]] = []
    for line in sorted(set(lines)):
        if spans and line == spans[-1][1] + 1:
            spans[-1][1] = line
        else:
            spans.append([line, line])
    return ", ".join(f"{a}" if a == b else f"{a}-{b}" for a, b in spans)


def charset(name: str) -> str:
    """The codec of a charset as files name it, e.g. `ISO-8859-1:1998`.

    Args:
        name: As written.

    Returns:
        Name of a codec that leaves ASCII bytes as they are, or `""` where the name is not
        one of a plain text charset.
    """
    plain = re.sub(r":\d+$", "", name.strip().strip("\"'")).lower()
    plain = {"ansi": "cp1252", "utf8": "utf-8", "iso8859": "iso8859-1"}.get(plain, plain)
    try:
        found = codecs.lookup(plain).name
    except (LookupError, ValueError):
        return ""
    return found if _CHARSET.fullmatch(found) else ""


def text_lines(data: bytes, *, declared: str, log: FindingLog) -> list[str]:
    """Decode a text file line by line.

    A line that is not what the file declares is read as what it is (UTF-8 under a declared
    single-byte charset, Windows-1252 under a declared ISO-8859-1 or UTF-8), with a finding.

    Args:
        data: The file.
        declared: Codec that the file declares, or `""`.
        log: Where repairs are noted.

    Returns:
        The lines without their ends (CRLF, LF or CR).

    Raises:
        FileFormatError: It is empty or not text.
        InputError: It is larger than the limits.
    """
    data, declared = _without_bom(_checked(data, log.file), declared, log)
    if b"\0" in data:
        line = data.count(b"\n", 0, data.index(b"\0")) + 1
        raise FileFormatError("holds NUL bytes, so it is not a text file", file=log.file, line=line)
    count = lines_in(data)
    if count > MOST_LINES:
        raise InputError(
            f"the file has {count} lines", file=log.file, allowed=f"at most {MOST_LINES}"
        )
    raw = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n")
    return [_line(text, declared, number, log) for number, text in enumerate(raw, 1)]


def lines_in(data: bytes) -> int:
    """Number of lines of a text file, counted before it is taken apart."""
    ends = data.count(b"\n") + data.count(b"\r") - data.count(b"\r\n")
    return ends + (not data.endswith((b"\n", b"\r")))


def _checked(data: bytes, file: str) -> bytes:
    if not data.strip():
        raise FileFormatError("the file is empty", file=file)
    if len(data) > MAX_BYTES:
        raise InputError(
            f"the file has {len(data) / 2**20:.0f} MiB",
            file=file,
            allowed=f"at most {MAX_BYTES // 2**20} MiB",
        )
    return data


def _without_bom(data: bytes, declared: str, log: FindingLog) -> tuple[bytes, str]:
    if data.startswith(codecs.BOM_UTF8):
        if declared and declared != "utf-8":
            text = f"a UTF-8 byte order mark stands before the declared {declared}: read as UTF-8"
            log.add(FindingKind.REPAIRED, "byte-order-mark", text, line=1, value=declared)
        return data[len(codecs.BOM_UTF8) :], "utf-8"
    for mark, name in _BOMS:
        if data.startswith(mark):
            return _recoded(data, name, log), "utf-8"
    return data, declared


def _recoded(data: bytes, name: str, log: FindingLog) -> bytes:
    try:
        text = data.decode(name)
    except UnicodeDecodeError:
        raise FileFormatError(
            f"begins as {name.upper()} text but is not valid {name.upper()}",
            file=log.file,
            allowed="save it as UTF-8",
        ) from None
    log.add(
        FindingKind.REPAIRED,
        "byte-order-mark",
        f"the file is {name.upper()} by its byte order mark and was read as such",
        line=1,
        value=name,
    )
    return text.encode("utf-8", "replace")


def _line(raw: bytes, declared: str, number: int, log: FindingLog) -> str:
    if len(raw) > MAX_LINE:
        raise InputError(
            f"the line has {len(raw)} bytes",
            file=log.file,
            line=number,
            allowed=f"at most {MAX_LINE}",
        )
    if raw.isascii():
        return raw.decode("ascii")
    text, used = _decoded(raw, declared)
    if declared and used != declared:
        told = f"the bytes are not {declared}, which the file declares: read as {used}"
        log.add(FindingKind.REPAIRED, "charset", told, line=number, value=text)
    elif not declared and used != "utf-8":
        told = f"the charset is not declared and the bytes are not UTF-8: read as {used}"
        log.add(FindingKind.GUESSED, "charset", told, line=number, value=text)
    return text


def _decoded(raw: bytes, declared: str) -> tuple[str, str]:
    """Text and the codec that gave it; UTF-8 is tried first since its form cannot be chance."""
    try:
        return raw.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        pass
    single = declared if declared not in {"", "utf-8", "ascii"} else "cp1252"
    if single == "iso8859-1" and any(0x80 <= byte <= 0x9F for byte in raw):
        single = "cp1252"
    try:
        return raw.decode(single), single
    except UnicodeDecodeError:
        return raw.decode("iso8859-1"), "iso8859-1"


def number(text: str, *, decimal: str) -> tuple[float, bool] | None:
    """A number as it stands in a file.

    Args:
        text: One value, e.g. `00005,30`.
        decimal: The decimal sign that was declared.

    Returns:
        The number and whether its decimal sign was the declared one; None where the text is
        not a number.
    """
    text = text.strip()
    if not _NUMBER.fullmatch(text):
        return None
    value = float(text.replace(",", "."))
    other = "," if decimal == "." else "."
    return (value, other not in text) if math.isfinite(value) else None


def undressed(text: str, *, unit: str) -> str:
    """A number without the `DN` before it and the unit or % sign behind it, as people write it.

    Args:
        text: One value, e.g. `DN 150` or `150 mm`.
        unit: Unit of the field; a number with another one is left as it is.
    """
    match = _DRESSED.fullmatch(text.strip())
    fits = match is not None and match[2].lower() in {"", "%", unit}
    return match[1] if match and fits else text


def clock(text: str) -> float | None:
    """A clock position [h], 12 for the crown; None where `text` is empty, `0` or `00`.

    Args:
        text: As written: `3`, `03`, `10.5`, `10,5`, `10:30`.

    Raises:
        ValueError: It is not a clock position.
    """
    text = text.strip()
    if not text:
        return None
    match = _CLOCK.fullmatch(text)
    if not match:
        raise ValueError(text)
    hours = float(f"{match[1]}.{match[2] or 0}") + float(match[3] or 0) / 60.0
    if hours >= 13.0:
        raise ValueError(text)
    return None if hours == 0.0 else hours % 12.0 or 12.0


def iso_date(text: str) -> str | None:
    """A date as `YYYY-MM-DD`; None where it cannot be read.

    Day before month where the year stands last; two digits of a year are read as 1970-2069.

    Args:
        text: As written: `2024-05-06`, `20240506`, `06.05.2024`, `6/5/24`.
    """
    for pattern, (year, month, day) in _DATES:
        match = pattern.fullmatch(text.strip())
        if match:
            return _date(int(match[year]), int(match[month]), int(match[day]))
    return None


def _date(year: int, month: int, day: int) -> str | None:
    if year < 100:
        year += 1900 if year >= 70 else 2000
    try:
        return datetime.date(year, month, day).isoformat()
    except ValueError:
        return None

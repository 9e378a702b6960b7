"""The `#A` lines of an EN 13508-2 text file: charset, language, separator, decimal, quoting."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from teewright.findings import FindingKind
from teewright.formats.text import FindingLog, charset

_CHARSET_LINE = re.compile(rb"^[ \t]*#[Aa]1=([^\r\n]*)", re.MULTILINE)
_SETTING = re.compile(r"\s*#[Aa](\d+)=(.*)")
_COLUMNS = re.compile(r"\s*#(?:[Bb]\d+|[Cc])=(.*)")
_CODES = re.compile(r"\s*\"?[A-Za-z0-9]+\"?\s*?(\t|[^\sA-Za-z0-9\"_.-])\s*\"?[A-Za-z0-9]+")
_WORDS = {"tab": "\t", "\\t": "\t", "comma": ",", "semicolon": ";", "point": ".", "dot": "."}
_MEANING = {
    1: ("charset", "UTF-8 or Windows-1252"),
    2: ("language", "none"),
    3: ("field separator", ""),
    4: ("decimal sign", "."),
    5: ("text qualifier", '"'),
    6: ("format version", "2010"),
}


@dataclass(frozen=True, slots=True)
class Settings:
    """How the values of a file are written.

    Attributes:
        separator: Between values.
        decimal: Decimal sign.
        qualifier: Round a text, doubled inside it; `""` where texts are not quoted.
    """

    separator: str = ","
    decimal: str = "."
    qualifier: str = '"'


def declared_charset(data: bytes) -> str:
    """The charset of the `#A1` line as written, or `""`."""
    match = _CHARSET_LINE.search(data)
    return match[1].decode("ascii", "replace").strip() if match else ""


def read_settings(lines: Sequence[str], log: FindingLog) -> Settings:
    """Settings of a file from its `#A` lines, in whatever order and place they stand.

    A line that is missing or cannot hold is guessed from the rest of the file, with a finding.

    Args:
        lines: The whole file.
        log: Where guesses are noted.
    """
    found: dict[int, tuple[int, str]] = {}
    for number, line in enumerate(lines, 1):
        match = _SETTING.match(line) if "#" in line else None
        if match and int(match[1]) not in found:
            found[int(match[1])] = (number, match[2])
    for key in _MEANING:
        if key not in found:
            _note_missing(key, log)
    if 1 in found and found[1][1].strip() and not charset(found[1][1]):
        text = "the charset is not one that is known: guessed from the bytes"
        log.add(FindingKind.GUESSED, "charset", text, line=found[1][0], value=found[1][1])
    return _settled(found, lines, log)


def changed(settings: Settings, key: int, value: str) -> Settings:
    """Settings after a further `#A` line; unchanged where its value cannot hold."""
    sign = _sign(value)
    usable = len(sign) <= 1 and not sign.isalnum()
    if key == 3 and usable and sign not in {"", "#", "=", settings.decimal, settings.qualifier}:
        return replace(settings, separator=sign)
    if key == 4 and sign in {".", ","}:
        return replace(settings, decimal=sign)
    if key == 5 and usable and sign != settings.separator:
        return replace(settings, qualifier=sign)
    return settings


def split(text: str, settings: Settings) -> tuple[list[str], bool]:
    """The values of one line, and whether its quoting was sound."""
    try:
        return _parsed(text, settings, strict=True), True
    except csv.Error:
        pass
    try:
        return _parsed(text, settings, strict=False), False
    except csv.Error:  # longer than one value may be for the parser
        return text.split(settings.separator), False


def separator_of(columns: str, declared: str) -> str:
    """The separator that a line of codes really uses; the declared one where it fits."""
    if declared in columns:
        return declared
    match = _CODES.match(columns)
    return match[1] if match else declared


def _parsed(text: str, settings: Settings, *, strict: bool) -> list[str]:
    reader = csv.reader(
        [text],
        delimiter=settings.separator,
        quotechar=settings.qualifier or None,
        quoting=csv.QUOTE_MINIMAL if settings.qualifier else csv.QUOTE_NONE,
        skipinitialspace=settings.separator != " ",
        strict=strict,
    )
    return [value.strip() for value in next(reader, [])] or [""]


def _note_missing(key: int, log: FindingLog) -> None:
    name, default = _MEANING[key]
    if key == 3:
        return  # noted where it is guessed
    text = f"#A{key} ({name}) is missing: {default} taken"
    log.add(FindingKind.ASSUMED, "setting-missing", text, field=f"#A{key}")


def _settled(found: dict[int, tuple[int, str]], lines: Sequence[str], log: FindingLog) -> Settings:
    decimal = _decimal(found.get(4), log)
    qualifier = _qualifier(found.get(5), log)
    separator = _separator(found.get(3), lines, log)
    if separator in {decimal, qualifier}:
        text = f"the separator {separator!r} is also the decimal sign or the text qualifier"
        log.add(FindingKind.DOUBT, "setting-clash", text, value=separator)
        decimal = "." if separator == "," else decimal
        qualifier = "" if separator == qualifier else qualifier
    return Settings(separator, decimal, qualifier)


def _decimal(found: tuple[int, str] | None, log: FindingLog) -> str:
    sign = _sign(found[1]) if found else "."
    if sign in {".", ","}:
        return sign
    text = "the decimal sign is neither . nor , and . was taken"
    line, value = found or (None, "")
    log.add(FindingKind.GUESSED, "setting-unusable", text, line=line, field="#A4", value=value)
    return "."


def _qualifier(found: tuple[int, str] | None, log: FindingLog) -> str:
    if found is None:
        return '"'
    sign = _sign(found[1])
    if len(sign) <= 1 and not sign.isalnum():
        return sign
    text = 'the text qualifier is not one sign and " was taken'
    log.add(
        FindingKind.GUESSED, "setting-unusable", text, line=found[0], field="#A5", value=found[1]
    )
    return '"'


def _separator(found: tuple[int, str] | None, lines: Sequence[str], log: FindingLog) -> str:
    sign = _sign(found[1]) if found else ""
    if len(sign) == 1 and not sign.isalnum() and sign not in "#=":
        return sign
    codes = next((m[1] for m in map(_COLUMNS.match, lines) if m and len(m[1]) > 3), ",")
    guess = separator_of(codes, ",")
    line, value = found or (None, "")
    what = "cannot be used" if found else "is missing"
    text = f"#A3 (field separator) {what}: {guess!r} taken from the lines of codes"
    log.add(FindingKind.GUESSED, "setting-missing", text, line=line, field="#A3", value=value)
    return guess


def _sign(value: str) -> str:
    plain = value.strip()
    return _WORDS.get(plain.lower(), plain) or ("\t" if "\t" in value else "")

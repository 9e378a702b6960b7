"""TOML files of the user: bytes to a validated model, every fault one clear sentence."""

import difflib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NoReturn, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from teewright.errors import FileFormatError, InputError
from teewright.formats.toml_schema import allowed_text, schema_at

LARGEST_FILE = 1_048_576
"""Largest file that is read [bytes]."""

KeyPath = tuple[str | int, ...]
"""Keys and indices from the top of the file to a value."""

_HEADER = re.compile(r"^\s*(\[\[?)\s*([A-Za-z0-9_\-.\"' ]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*(?:"([^"]+)"|'([^']+)'|([A-Za-z0-9_-]+))\s*=""")
_BETWEEN_KEYS = re.compile(r"[=,{}\[\]]")
MOST_DOTS = 200
"""Most dots of one key or one text."""
_SYNTAX_PLACE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")
_PROBLEMS = {
    "missing": "is missing",
    "extra_forbidden": "is not a key of this table",
    "greater_than": "is too small",
    "greater_than_equal": "is too small",
    "less_than": "is too large",
    "less_than_equal": "is too large",
    "finite_number": "is not a finite number",
    "too_short": "holds too few values",
    "too_long": "holds too many values",
    "string_too_short": "is empty",
    "string_too_long": "is too long",
    "string_pattern_mismatch": "is not written as it must be",
    "literal_error": "is not one of the words",
    "enum": "is not one of the words",
    "float_type": "is not a number",
    "int_type": "is not a whole number",
    "int_from_float": "is not a whole number",
    "bool_type": "is neither true nor false",
    "string_type": "is not text in quotes",
    "list_type": "is not a list",
    "dict_type": "is not a table",
    "model_type": "is not a table",
    "date_type": "is not a date",
    "date_from_datetime_inexact": "is not a date",
}
"""Kind of fault, as the validator names it -> what is said about it."""


class Table(BaseModel):
    """A table of a TOML file: unknown keys, wrong types and infinite numbers are refused."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


M = TypeVar("M", bound=Table)


@dataclass(frozen=True, slots=True)
class Source:
    """A file as given, to say where a fault stands.

    Attributes:
        file: Name of the file.
        lines: Path of keys -> line from 1, as far as a plain scan finds them.
    """

    file: str
    lines: Mapping[KeyPath, int] = field(default_factory=dict)

    def line(self, path: KeyPath) -> int | None:
        """Line of a key, or of the nearest key above it, or None."""
        for end in range(len(path), 0, -1):
            if path[:end] in self.lines:
                return self.lines[path[:end]]
        return None

    def fault(
        self, path: KeyPath, problem: str, *, value: object = "", allowed: str = ""
    ) -> InputError:
        """The error for a value that is not allowed, ready to be raised."""
        return InputError(
            problem,
            file=self.file,
            line=self.line(path),
            field=path_text(path),
            value=value,
            allowed=allowed,
        )


def path_text(path: KeyPath) -> str:
    """A path of keys as it is written: `resins[1].pack_mass_kg`, indices from 0."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def decode(data: bytes, *, file: str) -> str:
    """Bytes of a TOML file to text.

    Raises:
        FileFormatError: It is not UTF-8, holds NUL bytes or is larger than 1 MiB.
    """
    if len(data) > LARGEST_FILE:
        raise FileFormatError(
            "is too large for a TOML file", file=file, value=f"{len(data)} bytes",
            allowed=f"at most {LARGEST_FILE} bytes",
        )  # fmt: skip
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        raise FileFormatError(
            "is not UTF-8 text", file=file, line=line, value=f"byte 0x{data[fault.start]:02X}",
            allowed="TOML in UTF-8",
        ) from fault  # fmt: skip
    return text


def parse(text: str, *, file: str) -> dict[str, Any]:
    """TOML text to plain values.

    Raises:
        FileFormatError: It is not TOML; names the line where the parser stopped.
    """
    _check_depth(text, file)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        place = _SYNTAX_PLACE.search(str(fault))
        problem = _SYNTAX_PLACE.sub("", str(fault))
        line = int(place[1]) if place and place[1] else text.count("\n") + 1
        raise FileFormatError(
            f"is not TOML: {problem[:1].lower()}{problem[1:]}", file=file, line=line
        ) from fault
    except (ValueError, RecursionError) as fault:
        raise FileFormatError(
            "is not TOML: a number is too long or tables are nested too deeply", file=file
        ) from fault


def _check_depth(text: str, file: str) -> None:
    """Refuse dotted keys without end: the time that the parser takes grows with their square.

    Raises:
        FileFormatError: Names the line.
    """
    for number, line in enumerate(text.splitlines(), start=1):
        if max(part.count(".") for part in _BETWEEN_KEYS.split(line)) > MOST_DOTS:
            raise FileFormatError(
                "is not TOML that is read: too many dots in one key or text",
                file=file,
                line=number,
                allowed=f"at most {MOST_DOTS}",
            )


def key_lines(text: str) -> dict[KeyPath, int]:
    """Lines of the keys of a TOML text, found by a plain scan.

    Keys inside inline tables are not found; they count as the line of their list.
    """
    found: dict[KeyPath, int] = {}
    counts: dict[str, int] = {}
    prefix: KeyPath = ()
    last: KeyPath = ()
    items = 0
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.match(line):
            prefix = _header_path(header[1], header[2], counts)
            last, items = prefix, 0
            found.setdefault(prefix, number)
        elif key := _KEY.match(line):
            last, items = (*prefix, key[1] or key[2] or key[3]), 0
            found.setdefault(last, number)
        elif line.lstrip().startswith("{"):
            found.setdefault((*last, items), number)
            items += 1
    return found


def _header_path(brackets: str, name: str, counts: dict[str, int]) -> KeyPath:
    keys = tuple(part.strip().strip("\"'") for part in name.split("."))
    if brackets == "[":
        return keys
    index = counts.get(name, 0)
    counts[name] = index + 1
    return (*keys, index)


def read_model(data: bytes, model: type[M], *, file: str) -> tuple[M, Source]:
    """Read a TOML file into a model.

    Args:
        data: The file.
        model: Model of the whole file.
        file: Name of the file, for messages.

    Returns:
        (model, source to name places in further faults).

    Raises:
        FileFormatError: Not UTF-8, or not TOML.
        InputError: A value is missing, unknown or not allowed; the first is told in full.
    """
    text = decode(data, file=file)
    values = parse(text, file=file)
    source = Source(file, key_lines(text))
    try:
        return model.model_validate(values), source
    except ValidationError as fault:
        _refuse(fault, model, source)


def _refuse(fault: ValidationError, model: type[Table], source: Source) -> NoReturn:
    # an unknown key is the cause of the missing one as often as not: say it first
    faults = sorted(
        fault.errors(include_url=False), key=lambda f: str(f["type"]) != "extra_forbidden"
    )
    first = faults[0]
    path = tuple(part for part in first["loc"] if part != "[key]")
    kind = str(first["type"])
    custom = str(first.get("ctx", {}).get("error", ""))
    problem = custom if kind == "value_error" else _PROBLEMS.get(kind, str(first["msg"]).lower())
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    allowed = _allowed(kind, path, model) + more
    if kind == "missing":
        raise InputError(
            f"{path_text(path)} is missing",
            file=source.file, line=source.line(path), allowed=allowed,
        ) from fault  # fmt: skip
    value = as_written(first.get("input", ""))
    raise source.fault(path, problem, value=value, allowed=allowed) from fault


def as_written(value: object) -> str:
    """A value as TOML spells it, near enough for a message."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {as_written(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(as_written(v) for v in value) + "]"
    return str(value)


def _allowed(kind: str, path: KeyPath, model: type[Table]) -> str:
    schema = model.model_json_schema()
    if kind != "extra_forbidden":
        return allowed_text(schema_at(schema, path), path)
    keys = list(schema_at(schema, path[:-1]).get("properties", {}))
    near = difflib.get_close_matches(str(path[-1]), keys, n=1)
    return (f"perhaps {near[0]}; the keys are " if near else "") + ", ".join(keys)

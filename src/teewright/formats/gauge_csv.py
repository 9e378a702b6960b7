"""Readings of a gauge or a logger: a CSV with the unit of each column in its name."""

import csv
import io

from teewright.errors import FileFormatError, InputError
from teewright.formats.named_values import named_values

MOST = 20_000
"""Most readings in one file."""
Values = tuple[tuple[str, str], ...]
"""(name, SI value) pairs of one reading."""


def read_gauge(data: bytes, *, file: str, common: list[str]) -> list[Values]:
    """Readings, each with the values that all of them share.

    Args:
        data: The file: a header such as `elapsed_s;pressure_mbar`, then a line a reading;
            `;` or `,` between the columns, decimal commas where it is `;`.
        file: Its name.
        common: `NAME=VALUE` each, added to every reading.

    Raises:
        FileFormatError: It is not such a table.
        InputError: A value is not allowed; the message names the line.
    """
    text = data.decode("utf-8-sig", errors="replace")
    delimiter = ";" if ";" in text.split("\n", 1)[0] else ","
    rows: list[Values] = []
    try:
        for number, line in enumerate(csv.DictReader(io.StringIO(text), delimiter=delimiter), 2):
            if len(rows) == MOST:
                raise InputError("is too long", file=file, allowed=f"at most {MOST} readings")
            pairs = [f"{k}={(v or '').replace(',', '.')}" for k, v in line.items() if k]
            rows.append(_reading([*common, *pairs], file, number))
    except csv.Error as error:
        raise FileFormatError(f"is no table ({error})", file=file, allowed="CSV") from error
    if not rows:
        raise FileFormatError("holds no readings", file=file, allowed="a header and its lines")
    return rows


def _reading(pairs: list[str], file: str, line: int) -> Values:
    try:
        return named_values(pairs)
    except InputError as error:
        raise InputError(
            error.problem,
            file=file,
            line=line,
            field=error.field,
            value=error.value,
            allowed=error.allowed,
        ) from error

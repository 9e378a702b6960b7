"""Readings of a resin's cure as CSV: conversion or heat flow over time.

Delimiter `;`, `,` or tab; decimal comma or point where the delimiter is not the comma; lines
that begin with `#` are comments. One reading a line, those of one series in the order in which
they were taken. Names of columns may be in any order; those in brackets are optional, those
after `/` are other names for the same column:
[`series` / `sample`], `temperature_c` of the sample, `time_min` or `time_s` since mixing,
`conversion` from 0 to 1 or `heat_flow_w_g` per mass of mix, heat given off positive. For
conversions the temperature is held; a series of heat flow may be a ramp of a calorimeter.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from teewright.errors import FileFormatError
from teewright.findings import Finding, FindingKind
from teewright.formats.csv_table import Line, Table, read_table
from teewright.formats.text import FindingLog
from teewright.kit.cure import CureSeries
from teewright.units import MINUTE, kelvin

CONVERSION_COLUMNS = ("series", "temperature_c", "time_min", "conversion")
HEAT_COLUMNS = ("series", "temperature_c", "time_min", "heat_flow_w_g")
_NOTES = """# Cure of one resin: one reading a line, times since mixing.
# At least two held temperatures, best the coldest and the warmest of your days and one between.
"""
CONVERSION_TEMPLATE = f"""{_NOTES}# conversion: share of the reaction that is done, 0 to 1.
{";".join(CONVERSION_COLUMNS)}
"""
HEAT_TEMPLATE = f"""{_NOTES}# heat_flow_w_g: given off, per mass of mix, baseline taken off.
# A series may also be a ramp, with the temperature of each reading: then at least two ramps at
# different rates, from cold until no more heat flows.
{";".join(HEAT_COLUMNS)}
"""
_ALIASES = {"sample": "series"}
_W_G = 1e3
"""W/g in W/kg."""
_TEMPERATURES = (-10.0, 200.0)
"""Of a sample [degC]: as wide as a calorimeter on such resins goes."""
_LONGEST = 30.0 * 24.0 * 60.0
"""Longest time of a reading [min]."""
_CONVERSIONS = (0.0, 1.0)
_FLOWS = (-0.5, 50.0)
"""Heat flow of a curing resin [W/g]; what lies below 0 is noise about the baseline."""


def looks_like(lines: Sequence[str]) -> bool:
    """Whether lines of a text are such a table, by the names of its columns."""
    head = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    delimiter = max(";,\t", key=head.count)
    names = {name.strip().strip('"').lower() for name in head.split(delimiter)}
    return "temperature_c" in names and bool(names & {"conversion", "heat_flow_w_g"})


def read_cure(data: bytes, *, file: str) -> tuple[tuple[CureSeries, ...], tuple[Finding, ...]]:
    """Read series of a resin's cure.

    Args:
        data: The file.
        file: Its name, for messages.

    Returns:
        (series in SI units, in the order of the file; findings).

    Raises:
        FileFormatError: It is no such table, or holds no reading.
        InputError: A value is missing, not a number, out of range or out of order.
    """
    log = FindingLog(file)
    table = read_table(data, log=log, aliases=_ALIASES)
    time = _one_of(table, ("time_min", "time_s"), file)
    value = _one_of(table, ("conversion", "heat_flow_w_g"), file)
    _check_columns(table, ("series", "temperature_c", time, value), file, log)
    if "series" not in table.columns:
        text = "there is no column series: the readings at each temperature are taken as one"
        log.add(FindingKind.ASSUMED, "series-not-named", text)
    series = tuple(_series(name, lines, time, value) for name, lines in _grouped(table.lines))
    return series, log.findings()


def _one_of(table: Table, names: tuple[str, str], file: str) -> str:
    """The one of two columns that the table has."""
    found = [name for name in names if name in table.columns]
    if len(found) == 1:
        return found[0]
    first, second = names
    problem = f"has both {first} and {second}" if found else f"has no column {first} or {second}"
    raise FileFormatError(
        problem, file=file, value=", ".join(table.columns), allowed="one of these two columns"
    )


def _check_columns(table: Table, known: Sequence[str], file: str, log: FindingLog) -> None:
    if "temperature_c" not in table.columns:
        raise FileFormatError(
            "has no column temperature_c", file=file, value=", ".join(table.columns),
            allowed="columns with the unit in their name, as --template writes them",
        )  # fmt: skip
    if not table.lines:
        raise FileFormatError("holds no reading", file=file, allowed="a line for each reading")
    for name in table.columns:
        if name not in known:
            text = f"the column {name} is not used"
            log.add(FindingKind.NOTE, "column-not-used", text, field=name)


def _grouped(lines: Sequence[Line]) -> Iterator[tuple[str, list[Line]]]:
    """Lines of each series; a series that comes again later in the file is refused.

    Without names each temperature is a series, so that ramps need names.
    """
    seen: set[str] = set()
    for name, group in groupby(lines, key=_name):
        found = list(group)
        if name in seen:
            raise found[0].error(
                f"goes on with series {name}, which another one has interrupted",
                "series" if found[0].text("series") else "temperature_c",
                "the readings of one series together",
            )
        seen.add(name)
        yield name, found


def _name(line: Line) -> str:
    return line.text("series") or f"at {_amount(line, 'temperature_c', _TEMPERATURES):g} °C"


def _series(name: str, lines: Sequence[Line], time: str, value: str) -> CureSeries:
    held = _amount(lines[0], "temperature_c", _TEMPERATURES)
    unit, most = (MINUTE, _LONGEST) if time == "time_min" else (1.0, _LONGEST * MINUTE)
    limits = _CONVERSIONS if value == "conversion" else _FLOWS
    times: list[float] = []
    values: list[float] = []
    levels: list[float] = []
    for line in lines:
        levels.append(_amount(line, "temperature_c", _TEMPERATURES))
        if levels[-1] != held and value == "conversion":
            problem = f"changes within series {name}"
            raise line.error(problem, "temperature_c", f"{held:g}, as in its first reading")
        now = _amount(line, time, (0.0, most)) * unit
        if times and now <= times[-1]:
            before = f"more than {times[-1] / unit:g}, the reading before"
            raise line.error(f"does not ascend within series {name}", time, before)
        times.append(now)
        values.append(_amount(line, value, limits))
    if value == "conversion":
        return CureSeries(name, kelvin(held), tuple(times), tuple(values), ())
    ramp = tuple(kelvin(T) for T in levels) if len(set(levels)) > 1 else ()
    return CureSeries(name, kelvin(held), tuple(times), (), tuple(_W_G * v for v in values), ramp)


def _amount(line: Line, field: str, limits: tuple[float, float]) -> float:
    low, high = limits
    found = line.amount(field, low=low, high=high)
    if found is None:
        raise line.error("is empty", field, f"{low:g} to {high:g}")
    return found

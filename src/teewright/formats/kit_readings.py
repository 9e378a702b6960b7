"""Files of readings that a kit file names: which they are, and their series in the resins."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from teewright.errors import FileFormatError, InputError
from teewright.findings import Finding, Place
from teewright.formats.kit_materials import ResinTable
from teewright.formats.toml_common import Source, decode, parse
from teewright.kit.values import Resin


def files_beside(data: bytes) -> tuple[str, ...]:
    """Names of the files of readings that a kit file asks for, each once.

    Args:
        data: The kit file; one that cannot be read names none, `read_kit` says what is wrong.
    """
    try:
        resins = parse(decode(data, file=""), file="").get("resins")
    except FileFormatError:
        return ()
    tables = [t for t in resins if isinstance(t, dict)] if isinstance(resins, list) else []
    names = [t["readings"] for t in tables if isinstance(t.get("readings"), str)]
    return tuple(dict.fromkeys(names))


def with_readings(
    resins: Sequence[Resin],
    tables: Sequence[ResinTable],
    source: Source,
    beside: Mapping[str, bytes],
) -> tuple[tuple[Resin, ...], tuple[Finding, ...]]:
    """The resins, each with the readings that its table names.

    Args:
        resins: As their tables tell.
        tables: Of the kit file, in the same order.
        source: Lines of the kit file.
        beside: Bytes of the files by name.

    Returns:
        (resins, findings on the readings).

    Raises:
        FileFormatError: A file is no table of readings.
        InputError: A file is not there, or readings cannot be right.
    """
    made: list[Resin] = []
    findings: list[Finding] = []
    for place, (resin, table) in enumerate(zip(resins, tables, strict=True)):
        name = table.readings
        if name is None:
            made.append(resin)
            continue
        if name not in beside:
            raise source.fault(
                ("resins", place, "readings"), "is not there", value=name,
                allowed="a file of readings (CSV) beside the kit file",
            )  # fmt: skip
        filled, found = _filled(resin, name, beside[name])
        made.append(filled)
        findings += found
    return tuple(made), tuple(findings)


def _filled(resin: Resin, name: str, data: bytes) -> tuple[Resin, tuple[Finding, ...]]:
    from teewright.formats.cure_csv import read_cure  # noqa: PLC0415 -- few kits name readings
    from teewright.resin.measured import marks_of, reading_doubts  # noqa: PLC0415 -- heavy

    series, found = read_cure(data, file=name)
    try:
        odd = reading_doubts(series, marks=marks_of(resin))
    except InputError as error:
        raise InputError(
            error.problem, file=name, field=error.field, value=error.value, allowed=error.allowed
        ) from error
    placed = (replace(finding, place=Place(name)) for finding in odd)
    return replace(resin, readings=series, readings_source=name), (*found, *placed)

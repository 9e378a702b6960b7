"""Which format a survey file is, by its content."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from teewright.errors import FileFormatError
from teewright.findings import Finding
from teewright.formats import en13508, network_csv
from teewright.formats.text import FindingLog, charset, text_lines
from teewright.network.declared import DeclaredConnection, DeclaredRun
from teewright.network.values import Inspection

_BINARY = (
    (b"PK\x03\x04", "is a workbook or an archive", "save the sheet as CSV"),
    (b"SQLite format 3\0", "is a database", "a survey as text or CSV"),
    (b"%PDF", "is a PDF", "the coded survey as text, not its report"),
    (b"\xd0\xcf\x11\xe0", "is an old workbook", "save the sheet as CSV"),
)
_TOML = re.compile(r"\s*(?:\[\[?[A-Za-z_.]+\]\]?|[A-Za-z_]+ *= *(?:\"|'|\[|[-+0-9.]+$|true|false))")
"""A first line that is a key or a table of a TOML file."""


@dataclass(frozen=True, slots=True)
class SurveyFile:
    """What one file of a survey holds.

    Attributes:
        format: Name of the format.
        inspections: Coded inspections.
        runs: Declared runs.
        sightings: Declared connections.
        findings: Everything repaired, guessed, dropped or doubted.
    """

    format: str
    inspections: tuple[Inspection, ...] = ()
    runs: tuple[DeclaredRun, ...] = ()
    sightings: tuple[DeclaredConnection, ...] = ()
    findings: tuple[Finding, ...] = ()


def read_survey_file(data: bytes, *, file: str) -> SurveyFile:
    """Read a survey file of any format that is known.

    Args:
        data: The file.
        file: Its name, without the folder.

    Raises:
        FileFormatError: It is none of the formats.
        InputError: It is larger than the limits, or a value of a plain list is not allowed.
    """
    for mark, what, allowed in _BINARY:
        if data.startswith(mark):
            raise FileFormatError(f"{what}, which is not read", file=file, allowed=allowed)
    declared = charset(en13508.declared_charset(data))
    lines = text_lines(data, declared=declared, log=FindingLog(file))
    if en13508.looks_like(lines):
        inspections, findings = en13508.read(data, file=file)
        return SurveyFile("EN 13508-2 text", inspections, findings=findings)
    if next((line for line in lines if line.strip()), "").lstrip().startswith("<"):
        raise FileFormatError(
            "is an XML file, and surveys in XML are not read yet",
            file=file,
            allowed="an EN 13508-2 text file or a CSV list",
        )
    if looks_like_toml(lines):
        raise FileFormatError(
            "is a TOML file and no survey",
            file=file,
            allowed="a survey here; a kit after --kit, a site after --site",
        )
    content = network_csv.read(data, file=file)
    return SurveyFile(
        "CSV list", content.inspections, content.runs, content.connections, content.findings
    )


def looks_like_toml(lines: Sequence[str]) -> bool:
    """Whether the first line that says something is a key or a table of a TOML file."""
    return bool(_TOML.match(next((line for line in lines if _says_something(line)), "")))


def _says_something(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")

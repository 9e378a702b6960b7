"""EN 13508-2 text files: visual inspection of sewers, coded, as camera systems write them.

The layout is that of the norm's annex on the exchange of data: `#A` lines say how the file is
written, `#B` lines and one line of values each make the header of an inspection, a `#C` line
names the columns of its observations, `#Z` ends it.
"""

from teewright.errors import FileFormatError, InputError
from teewright.findings import Finding
from teewright.formats.en13508.inspections import build_inspection
from teewright.formats.en13508.records import Scanner
from teewright.formats.en13508.settings import declared_charset, read_settings
from teewright.formats.text import FindingLog, charset, text_lines
from teewright.network.limits import MOST_INSPECTIONS, at_most
from teewright.network.values import Inspection

__all__ = ["declared_charset", "looks_like", "read"]

_MARKS = ("#A", "#B", "#C")


def looks_like(lines: list[str]) -> bool:
    """Whether lines of text are of this format: one of its marks begins a line."""
    return any(
        line.lstrip()[:2].upper() in _MARKS and line.lstrip()[2:3] in "=0123456789" and "=" in line
        for line in lines
    )


def read(data: bytes, *, file: str) -> tuple[tuple[Inspection, ...], tuple[Finding, ...]]:
    """Read an EN 13508-2 text file.

    Args:
        data: The file.
        file: Its name, without the folder.

    Returns:
        The inspections of mains in the order of the file, and every repair, guess, drop and
        doubt with its line.

    Raises:
        FileFormatError: It is empty, not text, not this format, or holds no inspection.
        InputError: It is larger than the limits.
    """
    log = FindingLog(file)
    lines = text_lines(data, declared=charset(declared_charset(data)), log=log)
    if not looks_like(lines):
        raise FileFormatError(
            "is not an EN 13508-2 text file",
            file=file,
            allowed="a file with lines that begin with #A1= ... #A6=, #B01= and #C=",
        )
    drafts = Scanner(lines, read_settings(lines, log), log).scan()
    if not drafts:
        raise FileFormatError(
            "holds no inspection",
            file=file,
            allowed="at least one #B01 line with a line of values below it",
        )
    if len(drafts) > MOST_INSPECTIONS:
        raise InputError(
            f"the file has {len(drafts)} inspections",
            file=file,
            line=drafts[MOST_INSPECTIONS].line,
            allowed=at_most(MOST_INSPECTIONS),
        )
    built = (build_inspection(draft, ordinal=n, log=log) for n, draft in enumerate(drafts, 1))
    inspections = tuple(one for one in built if one is not None)
    return inspections, log.findings()

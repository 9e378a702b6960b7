"""What a file is to a job, by its content: a survey, the kit, its readings, or the site."""

from collections.abc import Mapping
from enum import StrEnum

from teewright.errors import FileFormatError
from teewright.formats import cure_csv, en13508
from teewright.formats.detect import looks_like_toml, read_survey_file
from teewright.formats.kit_schema import KitTable
from teewright.formats.kit_toml import read_kit
from teewright.formats.site_schema import SiteTable
from teewright.formats.site_toml import read_site
from teewright.formats.text import FindingLog, charset, text_lines
from teewright.formats.toml_common import LARGEST_FILE, decode, parse


class Kind(StrEnum):
    """What a file is to a job."""

    SURVEY = "survey"
    KIT = "kit"
    SITE = "site"
    READINGS = "readings"


def lines_of(data: bytes, *, file: str) -> list[str]:
    """The lines of a text file as its reader sees them, without their ends.

    Args:
        data: The file.
        file: Its name.

    Raises:
        FileFormatError: It is no text, or longer than what is read.
    """
    declared = charset(en13508.declared_charset(data))
    return text_lines(data, declared=declared, log=FindingLog(file))


def kind_of(data: bytes, *, file: str) -> Kind:
    """What a file is: a TOML file is a kit or a site, a table of a resin's cure its readings.

    Everything else may be a survey.

    Args:
        data: The file.
        file: Its name, without the folder.

    Raises:
        FileFormatError: It is no text, or a TOML file that is neither kit nor site.
    """
    named = file.lower().endswith(".toml")
    if b"\0" in data[:4096] or (len(data) > LARGEST_FILE and not named):
        return Kind.SURVEY  # its reader knows what to say of it
    if not named:
        lines = lines_of(data, file=file)
        if cure_csv.looks_like(lines):
            return Kind.READINGS
        if en13508.looks_like(lines) or not looks_like_toml(lines):
            return Kind.SURVEY
    keys = set(parse(decode(data, file=file), file=file))
    kit, site = len(keys & set(KitTable.model_fields)), len(keys & set(SiteTable.model_fields))
    if kit == site:
        raise FileFormatError(
            "is a TOML file, but neither a kit nor a site",
            file=file,
            allowed="a kit with [[resins]], [[packers]], ...; a site with [[runs]], [[nodes]], ...",
        )
    return Kind.KIT if kit > site else Kind.SITE


def read(data: bytes, kind: Kind, *, file: str, beside: Mapping[str, bytes] | None = None) -> str:
    """Read a file for its faults.

    Args:
        data: The file.
        kind: What it is.
        file: Its name, without the folder.
        beside: Bytes of the files that a kit names.

    Returns:
        Name of its format.

    Raises:
        InputError: Something in it is wrong; the sentence names file, line, value and what is
            allowed.
    """
    if kind is Kind.SURVEY:
        return read_survey_file(data, file=file).format
    if kind is Kind.KIT:
        read_kit(data, file=file, beside=beside)
        return "kit, TOML"
    if kind is Kind.READINGS:
        cure_csv.read_cure(data, file=file)
        return "readings, CSV"
    read_site(data, file=file)
    return "site, TOML"

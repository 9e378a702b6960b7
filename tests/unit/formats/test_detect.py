from pathlib import Path

import pytest

from teewright.errors import FileFormatError
from teewright.formats.detect import read_survey_file

FILES = Path(__file__).parents[2] / "files" / "survey"


def test_coded_text_is_known_by_its_marks() -> None:
    data = (FILES / "en13508_open_example.txt").read_bytes()
    found = read_survey_file(data, file="a.csv")
    assert found.format == "EN 13508-2 text"
    assert len(found.inspections) == 19


def test_lists_are_known_by_their_header_row() -> None:
    runs = read_survey_file(b"# a comment\nupstream,downstream\nT1,T2", file="a.txt")
    assert (runs.format, len(runs.runs)) == ("CSV list", 1)
    lines = read_survey_file(b"upstream,downstream,chainage_m\nT1,T2,3", file="a.txt")
    assert len(lines.sightings) == 1


def test_coded_text_in_utf_16_is_known() -> None:
    data = (FILES / "en13508_open_example.txt").read_text("ascii").encode("utf-16")
    assert len(read_survey_file(data, file="a.txt").inspections) == 19


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b'<?xml version="1.0"?><DATA/>', "XML file, and surveys in XML are not read yet"),
        (b"\xef\xbb\xbf\n <DATA/>", "XML"),
        (b"PK\x03\x04....", "workbook or an archive"),
        (b"SQLite format 3\0...", "database"),
        (b"%PDF-1.7 ...", "PDF"),
        (b"\x00\x01\x02", "NUL"),
        (b"", "empty"),
        (b"some words", "header row is not one"),
        (b'# my kit\ntitle = "Kit"\n', "is a TOML file"),
        (b'[[nodes]]\nnode = "A"\n', "is a TOML file"),
        (b"invented = true\n", "is a TOML file"),
    ],
)
def test_what_is_not_read_says_so(data: bytes, problem: str) -> None:
    with pytest.raises(FileFormatError, match=problem):
        read_survey_file(data, file="a.dat")

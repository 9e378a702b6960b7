"""What a file is to a job, by what it holds."""

import pytest

from teewright import demo
from teewright.errors import FileFormatError, InputError
from teewright.formats.kinds import Kind, kind_of, lines_of, read


@pytest.mark.parametrize("name", demo.SURVEY_FILES)
def test_survey_files_are_surveys_whatever_they_are_called(name: str) -> None:
    assert kind_of(demo.file(name), file=name) is Kind.SURVEY
    assert kind_of(demo.file(name), file="x.dat") is Kind.SURVEY
    assert read(demo.file(name), Kind.SURVEY, file=name) in {"EN 13508-2 text", "CSV list"}


@pytest.mark.parametrize("name", ["given.toml", "given.txt", "given"])
def test_kit_and_site_are_told_apart_by_their_tables(name: str) -> None:
    assert kind_of(demo.file(demo.KIT_FILE), file=name) is Kind.KIT
    assert kind_of(demo.file(demo.SITE_FILE), file=name) is Kind.SITE


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b'title = "x"\n', "neither a kit nor a site"),
        (b"colour = 3\n", "neither a kit nor a site"),
        (b"[[resins]\n", "is not TOML"),
    ],
)
def test_a_toml_file_that_is_neither_is_refused(data: bytes, said: str) -> None:
    with pytest.raises(FileFormatError, match=said):
        kind_of(data, file="x.toml")


def test_a_kit_with_a_fault_is_known_as_a_kit_and_refused_with_its_line() -> None:
    data = demo.file(demo.KIT_FILE).replace(b"pack_mass_kg = ", b"pack_mass_kg = -", 1)
    assert kind_of(data, file="kit.toml") is Kind.KIT
    with pytest.raises(InputError, match=r"kit\.toml, line \d+: .*pack_mass_kg"):
        read(data, Kind.KIT, file="kit.toml")


def test_lines_are_those_to_which_findings_point() -> None:
    lines = lines_of(demo.file("survey-night.txt"), file="survey-night.txt")
    assert lines[18].startswith("BCA,D,B,0027.05")  # line 19, counted from 1

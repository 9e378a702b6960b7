"""Bad input ends in one clear sentence, exit code 2 and an untouched project file."""

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

Run = Callable[..., Any]

GOOD = b"#A1=UTF-8\n#A3=;\n#A4=.\n#B01=AAA;AAB;AAD;AAF;AAK;ABQ\nP;1;1;2;A;10\n#C=I;A;B;G\n"
BAD_SURVEYS: dict[str, bytes] = {
    "empty": b"",
    "blank": b"\n\n  \n",
    "prose": b"Dear client, here is the film of your sewer.\n",
    "xml": b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "a">]><x>&a;</x>',
    "archive": b"PK\x03\x04" + bytes(200),
    "database": b"SQLite format 3\0" + bytes(200),
    "nul bytes": bytes(4096),
    "utf-16": "#A1=UTF-16\n".encode("utf-16"),
    "only a header": b"#A1=UTF-8\n#A3=;\n",
    "csv without a known column": b"a;b;c\n1;2;3\n",
    "csv with a word for a length": b"upstream;downstream;length_m\nA;B;long\n",
    "csv with a clock of 13": b"run;chainage_m;clock\nA-B;2.0;13\n",
    "same separator and decimal": b"#A1=UTF-8\n#A3=,\n#A4=,\n#B01=AAA\n1\n#C=I,A\n0,BCD\n#Z\n",
}


def digest(folder: Path) -> dict[str, str]:
    return {
        p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in folder.iterdir() if p.is_file()
    }


@pytest.fixture(scope="module")
def project(teewright: Run, demo_files: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("project") / "town.tee"
    done = teewright("read", demo_files / "survey-mill-lane.txt", "--project", path)
    assert done.code == 0, done.err
    return path


def refused(teewright: Run, project: Path, *words: object) -> str:
    """The sentence of a refusal; the project file must be the same byte for byte."""
    before = digest(project.parent)
    done = teewright(*words)
    assert done.code == 2, done.out + done.err
    assert digest(project.parent) == before
    assert done.err.startswith("teewright: ")
    assert len(done.err.strip().splitlines()) == 1
    assert "Traceback" not in done.err
    text: str = done.err
    return text


@pytest.mark.parametrize("name", [n for n in BAD_SURVEYS if n != "same separator and decimal"])
def test_bad_survey_files(teewright: Run, project: Path, tmp_path: Path, name: str) -> None:
    file = tmp_path / "survey.txt"
    file.write_bytes(BAD_SURVEYS[name])
    text = refused(teewright, project, "read", file, "--project", project)
    assert "survey.txt" in text


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        ((b"pack_mass_kg = ", b"pack_mass_kg = -"), ("kit.toml", "pack_mass_kg")),
        ((b"void_fraction = ", b"void_fraction = 1"), ("kit.toml", "void_fraction")),
        ((b"[rules]", b"[rules]\nunheard_of = 1"), ("kit.toml", "unheard_of")),
        ((b"[rules]", b"[rules"), ("kit.toml",)),
        ((b"[rules]", b"\xff\xfe[rules]"), ("kit.toml",)),
    ],
)
def test_bad_kits(
    teewright: Run,
    project: Path,
    demo_files: Path,
    tmp_path: Path,
    edit: tuple[bytes, bytes],
    words: tuple[str, ...],
) -> None:
    data = (demo_files / "kit.toml").read_bytes()
    assert edit[0] in data
    kit = tmp_path / "kit.toml"
    kit.write_bytes(data.replace(edit[0], edit[1], 1))
    survey = demo_files / "survey-mill-lane.txt"
    text = refused(teewright, project, "read", survey, "--project", project, "--kit", kit)
    assert all(word in text for word in words)


def test_bad_site(teewright: Run, project: Path, demo_files: Path, tmp_path: Path) -> None:
    site = tmp_path / "site.toml"
    site.write_text('title = 3\nplace = "x"\n', encoding="utf-8")
    survey = demo_files / "survey-mill-lane.txt"
    text = refused(teewright, project, "read", survey, "--project", project, "--site", site)
    assert "site.toml" in text
    assert "title" in text


@pytest.mark.parametrize(
    ("option", "value"), [("--kit", "kit.toml"), ("--site", "site.toml"), ("--declare-liner", "6")]
)
def test_options_of_a_project_are_not_dropped_in_silence(
    teewright: Run, project: Path, demo_files: Path, option: str, value: str
) -> None:
    text = refused(teewright, project, "read", demo_files / "survey-mill-lane.txt", option, value)
    assert option in text
    assert "--project" in text


def test_missing_file_folder_and_project(teewright: Run, project: Path, tmp_path: Path) -> None:
    assert "none.txt" in refused(teewright, project, "read", tmp_path / "none.txt")
    assert "cannot be read" in refused(teewright, project, "read", tmp_path)
    assert "none.tee" in refused(teewright, project, "assess", tmp_path / "none.tee")


def test_a_file_that_is_no_project(teewright: Run, project: Path, demo_files: Path) -> None:
    text = refused(teewright, project, "assess", demo_files / "kit.toml")
    assert "kit.toml" in text


def test_a_damaged_project(teewright: Run, project: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.tee"
    broken.write_bytes(project.read_bytes()[:3000])
    assert "broken.tee" in refused(teewright, project, "assess", broken)


def test_unknown_connection_and_event(teewright: Run, project: Path) -> None:
    assert "nowhere" in refused(teewright, project, "log", project, "nowhere", "mixed")


def test_the_same_file_name_twice(teewright: Run, project: Path, demo_files: Path) -> None:
    survey = demo_files / "survey-mill-lane.txt"
    text = refused(teewright, project, "read", survey, survey, "--project", project)
    assert "survey-mill-lane.txt" in text


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.one_of(st.binary(max_size=400), st.binary(max_size=80).map(GOOD.__add__)))
def test_random_bytes_never_harm_the_project(
    teewright: Run, project: Path, tmp_path: Path, data: bytes
) -> None:
    file = tmp_path / "random.txt"
    file.write_bytes(data)
    before = digest(project.parent)
    done = teewright("read", file)
    assert done.code in {0, 2}
    assert digest(project.parent) == before
    if done.code == 2:
        kept = teewright("read", file, "--project", project)
        assert kept.code == 2
        assert "random.txt" in kept.err
        assert digest(project.parent) == before

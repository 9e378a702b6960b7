"""`teewright kit` and `teewright site`: files to begin with, never over those that are there."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


@pytest.fixture(scope="module")
def project(teewright: Run, demo_files: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("starters") / "town.tee"
    done = teewright("read", demo_files / "survey-mill-lane.txt", "--project", path)
    assert done.code == 0, done.err
    return path


@pytest.mark.parametrize("command", ["kit", "site"])
def test_what_is_written_is_read_and_never_overwritten(
    teewright: Run, project: Path, tmp_path: Path, command: str
) -> None:
    file = tmp_path / f"{command}.toml"
    words = (command, project) if command == "site" else (command,)
    done = teewright(*words, "--out", file)
    assert done.code == 0, done.err
    assert file.name in done.out
    data = file.read_bytes()

    again = teewright(*words, "--out", file)
    assert again.code == 2
    assert "is there already" in again.err
    assert file.read_bytes() == data

    done = teewright("read", "--project", project, f"--{command}", file)
    assert done.code == 0, done.err


@pytest.mark.parametrize("command", ["kit", "site"])
def test_a_folder_that_is_not_there(
    teewright: Run, project: Path, tmp_path: Path, command: str
) -> None:
    words = (command, project) if command == "site" else (command,)
    done = teewright(*words, "--out", tmp_path / "none" / "file.toml")
    assert done.code == 2
    assert done.err.startswith("teewright: ")
    assert len(done.err.splitlines()) == 1

"""A command line run in this process."""

import contextlib
import io
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from teewright import demo
from teewright.cli.main import main

FILES = Path(__file__).parents[1] / "files"
OPEN_EXAMPLE = FILES / "survey" / "en13508_open_example.txt"


@dataclass(frozen=True)
class Done:
    code: int
    out: str
    err: str


def run(*words: object) -> Done:
    """`teewright WORDS...`: exit code and what was printed."""
    out, err = io.StringIO(), io.StringIO()
    before = sys.argv
    sys.argv = ["teewright", *(str(word) for word in words)]
    code = 0
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            main()
    except SystemExit as stop:
        code = stop.code if isinstance(stop.code, int) else int(bool(stop.code))
    finally:
        sys.argv = before
    return Done(code, out.getvalue(), err.getvalue())


@pytest.fixture(scope="session")
def teewright() -> Callable[..., Done]:
    return run


@pytest.fixture(scope="session")
def open_example() -> Path:
    return OPEN_EXAMPLE


@pytest.fixture(scope="session")
def demo_files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The files of the demo in a folder, as a user would have them."""
    folder = tmp_path_factory.mktemp("demo-files")
    for name, data in demo.files().items():
        (folder / name).write_bytes(data)
    return folder


def make_demo_pack(folder: Path) -> None:
    done = run("demo", "--out", folder)
    assert done.code == 0, done.err
    assert f"teewright serve {folder / 'job.tee'}" in done.out


@pytest.fixture(scope="session")
def demo_pack(
    made_once: Callable[[str, Callable[[Path], None]], Path],
    tmp_path_factory: pytest.TempPathFactory,
) -> Path:
    """The pack of the demo, made once a session; each process has a copy of its own."""
    made = made_once("demo-pack", make_demo_pack)
    return shutil.copytree(made, tmp_path_factory.mktemp("demo") / "pack")

"""What of this machine bears on the safety of a project file."""

import platform
import sqlite3
import sys
import tempfile
from pathlib import Path

import teewright
from teewright.errors import TeewrightError
from teewright.store.engine import wal_is_safe
from teewright.store.project import Project


def report(folder: Path | str | None = None) -> tuple[tuple[str, str], ...]:
    """Versions, and whether a project file can be written and read back.

    Args:
        folder: Where project files are to lie; by default the folder for temporary files.

    Returns:
        (name, value) pairs.
    """
    return (
        ("Teewright", teewright.__version__),
        ("Python", f"{platform.python_version()} on {sys.platform}"),
        ("SQLite", sqlite3.sqlite_version),
        ("Write-ahead log", _wal_text()),
        ("Write test", write_test(folder)),
    )


def write_test(folder: Path | str | None = None) -> str:
    """Make, write, close and read a project file: `passed`, or the reason why not.

    Args:
        folder: Where; by default the folder for temporary files.
    """
    try:
        with tempfile.TemporaryDirectory(dir=folder, prefix="teewright-") as place:
            return _write_and_read(Path(place) / "test.teewright")
    except (OSError, TeewrightError) as error:
        return f"failed: {error}"


def _write_and_read(path: Path) -> str:
    data = bytes(range(256))
    with Project.create(path) as project:
        project.add_document("survey", "test", data)
    with Project.open(path) as project:
        same = [document.data for document in project.documents()] == [data]
    return "passed" if same else "failed: what was read is not what was written"


def _wal_text() -> str:
    if wal_is_safe():
        return "safe with several programs"
    return (
        "this SQLite has a known fault with several programs (mended in 3.51.3, 3.50.7 and "
        "3.44.6): a project file is locked while it is open"
    )

"""What can be said of a project file before SQLite touches it."""

import os
from pathlib import Path

from teewright.errors import FileFormatError, InputError, StoreError
from teewright.store.schema import APPLICATION_ID

_MAGIC = b"SQLite format 3\x00"
_ID_AT = 68  # offset of the application id in the header, https://sqlite.org/fileformat.html


def check_new(path: Path) -> None:
    """Refuse a name under which no new project file can be made.

    Raises:
        InputError: Something of that name is there, or its folder is not.
    """
    if path.exists():
        raise InputError(
            "is there already", field="file", value=str(path), allowed="a name that is free"
        )
    if not path.parent.is_dir():
        raise InputError(
            "lies in a folder that is not there",
            field="file",
            value=str(path),
            allowed="a name in a folder that is there",
        )


def part_of(path: Path) -> Path:
    """Name under which a new file is built until it is complete."""
    return path.with_name(f".{path.name}.part")


def check_project_file(path: Path) -> None:
    """Refuse what is not a project file, without touching it.

    Raises:
        InputError: There is no such file.
        FileFormatError: It is not a project file.
        StoreError: It may not be read or written.
    """
    if not path.is_file():
        raise InputError(
            "is a folder" if path.is_dir() else "is not there",
            field="file",
            value=str(path),
            allowed="a project file",
        )
    try:
        with path.open("rb") as file:
            header = file.read(100)
    except OSError as error:
        raise StoreError(f"{path.name} cannot be read: {error.strerror}.") from error
    found = int.from_bytes(header[_ID_AT : _ID_AT + 4], "big")
    if not header.startswith(_MAGIC) or found != APPLICATION_ID:
        raise FileFormatError(
            "is not a project file", field="file", value=str(path), allowed="a project file"
        )
    if not (_writable(path) and _writable(path.parent)):
        raise StoreError(f"{path.name} is read-only or lies in a read-only folder.")


def _writable(path: Path) -> bool:
    return os.access(path, os.W_OK, effective_ids=os.access in os.supports_effective_ids)


def settle_name(path: Path) -> None:
    """Make a new name of a file last through a power cut, where the system can."""
    if os.name != "posix":
        return
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)

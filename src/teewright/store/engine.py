"""The one SQLite connection of an open project file.

Settings: write-ahead log, every commit flushed to the disk before it returns (`synchronous =
FULL`), foreign keys, a wait when another program holds the file. Writing transactions begin
with BEGIN IMMEDIATE, so that two programs cannot both have read before one writes.

SQLite before 3.51.3 (3.50.7 and 3.44.6 apart) can in very rare cases damage a file in
write-ahead mode that has two connections or more (https://sqlite.org/wal.html#walresetbug).
With such a version the file is locked for as long as it is open, so that there is only one.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import ConnectionPoolEntry, NullPool

from teewright.errors import FileFormatError, StoreError, TeewrightError

OLDEST = (3, 37, 0)
"""First version of SQLite with typed (STRICT) tables."""
READ, WRITE = "BEGIN", "BEGIN IMMEDIATE"
_BEGIN = "begin"
_TEXTS = {
    "SQLITE_BUSY": "is in use by another program; try again when that has finished",
    "SQLITE_LOCKED": "is in use by another program; try again when that has finished",
    "SQLITE_READONLY": "is read-only or lies in a read-only folder",
    "SQLITE_CANTOPEN": "cannot be opened: is its folder there and may it be written to",
    "SQLITE_FULL": "cannot grow: the disk is full",
    "SQLITE_IOERR": "cannot be read or written: the disk reports an error",
    "SQLITE_CORRUPT": "is damaged: part of it is not what was written",
    "SQLITE_PERM": "may not be opened",
}


def wal_is_safe(version: tuple[int, int, int] = sqlite3.sqlite_version_info) -> bool:
    """Whether that version of SQLite has the fix of the write-ahead log.

    Args:
        version: Version of SQLite, by default the one in use.
    """
    fixed_in = {(3, 44): (3, 44, 6), (3, 50): (3, 50, 7)}
    return version >= fixed_in.get(version[:2], (3, 51, 3))


def engine(path: Path, *, wait: float) -> Engine:
    """An engine for the project file at `path`; it opens one connection at a time.

    Args:
        path: Of the file.
        wait: How long to wait for another program [s].

    Raises:
        StoreError: SQLite is too old for typed tables.
    """
    if sqlite3.sqlite_version_info < OLDEST:
        raise StoreError(f"SQLite {sqlite3.sqlite_version} is too old: 3.37 or newer is needed.")
    made = create_engine(
        URL.create("sqlite", database=str(path.absolute())),
        poolclass=NullPool,
        connect_args={"timeout": wait},
    )
    event.listen(made, "connect", _configure)
    event.listen(made, "begin", _begin)
    return made


def set_mode(connection: Connection, begin: str) -> None:
    """Choose how the next transaction begins: `READ` or `WRITE`."""
    connection.info[_BEGIN] = begin


@contextmanager
def plain_errors(path: Path) -> Iterator[None]:
    """Turn what SQLite reports into one plain sentence that names the file."""
    try:
        yield
    except DBAPIError as error:
        raise _plain(path, _first(error).orig) from error
    except sqlite3.Error as error:
        raise _plain(path, error) from error
    except UnicodeDecodeError as error:  # of a text of the file, or of what SQLite says of it
        raise StoreError(f"{path.name} {_TEXTS['SQLITE_CORRUPT']}.") from error


def _first(error: DBAPIError) -> DBAPIError:
    """The error that came first: after some, SQLite has no transaction left to roll back."""
    before = error.__context__
    while before is not None:
        if isinstance(before, DBAPIError):
            error = before
        before = before.__context__
    return error


def _plain(path: Path, error: BaseException | None) -> TeewrightError:
    code = getattr(error, "sqlite_errorname", "") or ""
    if code == "SQLITE_NOTADB":
        return FileFormatError("is not a project file", field="file", value=path.name)
    found = next((t for name, t in _TEXTS.items() if code.startswith(name)), None)
    return StoreError(f"{path.name} {found}." if found else f"{path.name}: {error}.")


def _configure(connection: sqlite3.Connection, _: ConnectionPoolEntry) -> None:
    connection.isolation_level = None  # transactions are begun by `_begin` alone
    if not wal_is_safe():
        connection.execute("PRAGMA locking_mode = EXCLUSIVE")
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA fullfsync = ON")
    connection.execute("PRAGMA checkpoint_fullfsync = ON")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA trusted_schema = OFF")


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql(connection.info.get(_BEGIN, READ))

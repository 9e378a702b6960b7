"""One project, one SQLite file.

An open project has one connection and belongs to one thread. Each method is one transaction;
`transaction` makes several calls one. What a method returned from writing is on the disk, or,
within `transaction`, once that has ended.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlalchemy import Connection, insert, select
from sqlalchemy.dialects.sqlite import insert as upsert

import teewright
from teewright.errors import StoreError
from teewright.site.chain import Draft, verify
from teewright.site.corrections import of_installation
from teewright.site.values import Event
from teewright.store import documents, log
from teewright.store.documents import Document
from teewright.store.engine import READ, WRITE, engine, plain_errors, set_mode
from teewright.store.files import check_new, check_project_file, part_of, settle_name
from teewright.store.log import LogState
from teewright.store.migrate import schema_revision, upgrade
from teewright.store.schema import APPLICATION_ID, PROJECT, RESULT, REVISION

Clock = Callable[[], datetime]
WAIT = 5.0
"""How long to wait for another program that holds the file [s]."""


def utc_now() -> datetime:
    """The time now, in UTC."""
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class Result:
    """Result of a step.

    Attributes:
        step: Name of the step.
        made: When.
        fingerprint: Of the inputs from which it was made.
        json: The result, as JSON text.
    """

    step: str
    made: datetime
    fingerprint: str
    json: str


@dataclass(frozen=True, slots=True)
class About:
    """What the project file says of itself.

    Attributes:
        title: Title of the project.
        created: When it was made.
        tool_version: Version that made it.
    """

    title: str
    created: datetime
    tool_version: str


class Project:
    """An open project file; close it, or use it as a context manager.

    Made by `Project.create` and `Project.open`.
    """

    def __init__(self, path: Path, connection: Connection, *, clock: Clock) -> None:
        self.path = path
        self._connection = connection
        self._clock = clock
        self._depth = 0  # of transactions, one within the other

    @classmethod
    def create(
        cls, path: Path | str, *, title: str = "", clock: Clock = utc_now, wait: float = WAIT
    ) -> Self:
        """Make a new project file and open it.

        The file appears under its name only when it is complete.

        Args:
            path: Of the file; there must be none.
            title: Title of the project.
            clock: Tells the time with its zone.
            wait: How long to wait for another program that holds the file [s].

        Raises:
            InputError: There is a file of that name, or no such folder.
            StoreError: The file cannot be written.
        """
        target = Path(path)
        check_new(target)
        part = part_of(target)
        part.unlink(missing_ok=True)
        try:
            with plain_errors(target):
                _make(part, title=title, now=clock(), wait=wait)
            check_new(target)
            part.rename(target)
            settle_name(target)
        except OSError as error:
            part.unlink(missing_ok=True)
            if isinstance(error, StoreError):
                raise
            raise StoreError(f"{target.name} cannot be made: {error.strerror}.") from error
        return cls.open(target, clock=clock, wait=wait)

    @classmethod
    def open(cls, path: Path | str, *, clock: Clock = utc_now, wait: float = WAIT) -> Self:
        """Open a project file; one of an older version is brought up to date.

        Args:
            path: Of the file.
            clock: Tells the time with its zone.
            wait: How long to wait for another program that holds the file [s].

        Raises:
            InputError: There is no such file, or it is not a project file.
            StoreError: It was made by a newer version, is in use, read-only or damaged.
        """
        target = Path(path)
        check_project_file(target)
        with plain_errors(target):
            connection = engine(target, wait=wait).connect()
            project = cls(target, connection, clock=clock)
            try:
                project._bring_up()
            except BaseException:
                project.close()
                raise
        return project

    def close(self) -> None:
        """Close the file; the write-ahead log is folded into it and removed."""
        with plain_errors(self.path):
            self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def now(self) -> str:
        """The time by the store's clock, as it is written."""
        return self._clock().isoformat()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Several calls as one: all of them are stored, or, on any exception, none.

        A transaction within a transaction can fail by itself without harm to the outer one.
        """
        with self.writing() as connection:
            if self._depth == 1:
                yield
            else:
                with connection.begin_nested():
                    yield

    def about(self) -> About:
        """What the file says of itself."""
        with self.reading() as connection:
            row = connection.execute(select(PROJECT)).one()
        return About(row.title, datetime.fromisoformat(row.created), row.tool_version)

    def add_document(self, kind: str, name: str, data: bytes) -> Document:
        """Add a document, or a new version of it; the same bytes again change nothing.

        Args:
            kind: `survey`, `kit`, `site` or `option`.
            name: Name of the file, or of the option.
            data: Its bytes, kept as given.

        Raises:
            InputError: There is no such kind, or the name is empty.
        """
        with self.writing() as connection:
            return documents.add(connection, kind, name, data, now=self._clock())

    def remove_document(self, kind: str, name: str) -> None:
        """Take a document out; its bytes stay in the file as history.

        Raises:
            UnknownNameError: There is none of that name.
        """
        with self.writing() as connection:
            documents.remove(connection, kind, name, now=self._clock())

    def documents(self, kind: str | None = None) -> tuple[Document, ...]:
        """Latest version of each document, in the order in which they were first added.

        Args:
            kind: Only of this kind.

        Raises:
            TamperedError: The bytes of one are not those that were stored.
        """
        with self.reading() as connection:
            return documents.current(connection, kind)

    def document_before(self, kind: str, name: str) -> Document | None:
        """What counted before the last change of a document, or None."""
        with self.reading() as connection:
            return documents.before(connection, kind, name)

    def document_version(self, kind: str, name: str, number: int) -> Document | None:
        """One version of a document, whether it counts or not; None where there is none."""
        with self.reading() as connection:
            return documents.version(connection, kind, name, number)

    def removed_documents(self) -> tuple[tuple[str, str], ...]:
        """(kind, name) of each document that was taken out, the last one first."""
        with self.reading() as connection:
            return documents.removed(connection)

    def documents_state(self) -> str:
        """Another text after each change of the documents that count; cheap to ask."""
        with self.reading() as connection:
            return documents.state(connection)

    def put_result(self, step: str, fingerprint: str, json: str) -> None:
        """Keep the result of a step in place of its last one.

        Args:
            step: Name of the step.
            fingerprint: Of the inputs from which it was made.
            json: The result, as JSON text.
        """
        values = {"made": self._clock().isoformat(), "fingerprint": fingerprint, "json": json}
        with self.writing() as connection:
            row = upsert(RESULT).values(step=step, **values)
            connection.execute(row.on_conflict_do_update(index_elements=["step"], set_=values))

    def result(self, step: str) -> Result | None:
        """Result of a step, or None where it has not been run."""
        with self.reading() as connection:
            row = connection.execute(select(RESULT).where(RESULT.c.step == step)).one_or_none()
        if row is None:
            return None
        return Result(row.step, datetime.fromisoformat(row.made), row.fingerprint, row.json)

    def append(self, event: Event) -> Event:
        """Append a sealed event to the log.

        Sending the same event again, under the same id, changes nothing.

        Returns:
            The event as it is stored.

        Raises:
            InputError: Its id belongs to another event, it does not continue the chain, or
                its hash is not that of its body.
        """
        with self.writing() as connection:
            return log.append(connection, event)

    def record(self, draft: Draft) -> Event:
        """Seal an event behind the last one and append it.

        Sending the same event again, under the same id, changes nothing.

        Returns:
            The event as it is stored.

        Raises:
            InputError: Its id belongs to another event.
        """
        with self.writing() as connection:
            return log.record(connection, draft, now=self._clock())

    def events(self, installation: str | None = None, *, checked: bool = True) -> tuple[Event, ...]:
        """The log, in the order in which it was stored.

        Args:
            installation: Only events of this one; the whole chain is checked all the same.
            checked: Whether the chain is checked; without it a damaged log can be saved.

        Raises:
            TamperedError: The chain does not verify; names the first event that does not fit.
        """
        with self.reading() as connection:
            found = log.events(connection)
        if checked:
            verify(found)
        return found if installation is None else of_installation(found, installation)

    def log_state(self) -> LogState:
        """How far the log has come."""
        with self.reading() as connection:
            return log.log_state(connection)

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that may write, or the one under way; for the modules of this room."""
        with self._within(WRITE) as connection:
            yield connection

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that reads, or the one under way; for the modules of this room."""
        with self._within(READ) as connection:
            yield connection

    @contextmanager
    def _within(self, begin: str) -> Iterator[Connection]:
        """The transaction under way, or one begun for the purpose."""
        self._depth += 1
        try:
            with plain_errors(self.path):
                if self._depth > 1:
                    yield self._connection
                else:
                    set_mode(self._connection, begin)
                    with self._connection.begin():
                        yield self._connection
        finally:
            self._depth -= 1

    def _bring_up(self) -> None:
        with self.reading() as connection:
            found = schema_revision(connection)
        if found > REVISION:
            raise StoreError(
                f"{self.path.name} was last used by a newer version (schema {found}); this is "
                f"version {teewright.__version__} (schema {REVISION}): install the newer one."
            )
        if found < REVISION:
            with self.writing() as connection:
                upgrade(connection)


def _make(path: Path, *, title: str, now: datetime, wait: float) -> None:
    with engine(path, wait=wait).connect() as connection:
        set_mode(connection, WRITE)
        with connection.begin():
            connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
            upgrade(connection)
            connection.execute(
                insert(PROJECT).values(
                    id=1,
                    title=title,
                    created=now.isoformat(),
                    tool_version=teewright.__version__,
                )
            )

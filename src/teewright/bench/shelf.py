"""What the steps of a job ask of a project file, wherever its connection lives."""

from collections.abc import Callable
from pathlib import Path
from typing import Protocol, TypeVar

from teewright.site.values import Event
from teewright.store.documents import Document
from teewright.store.project import Project, Result

Answer = TypeVar("Answer")


class Shelf(Protocol):
    """Documents, results and log of one project; `Project` is one."""

    @property
    def path(self) -> Path:
        """Of the project file."""

    def documents(self, kind: str | None = None) -> tuple[Document, ...]:
        """Latest version of each document."""

    def result(self, step: str) -> Result | None:
        """Result of a step, or None."""

    def put_result(self, step: str, fingerprint: str, json: str) -> None:
        """Keep the result of a step."""

    def events(self, installation: str | None = None) -> tuple[Event, ...]:
        """The log, verified."""


class Ask(Protocol):
    """Runs a call where the project lives and waits for its answer."""

    def __call__(self, act: Callable[[Project], Answer]) -> Answer:
        """Answer of the call, or its error."""


class FarShelf:
    """A shelf whose project belongs to another thread.

    Args:
        path: Of the project file.
        ask: Runs a call there and waits for its answer.
    """

    def __init__(self, path: Path, ask: Ask) -> None:
        self._path, self._ask = path, ask

    @property
    def path(self) -> Path:
        """Of the project file."""
        return self._path

    def documents(self, kind: str | None = None) -> tuple[Document, ...]:
        """Latest version of each document."""
        return self._ask(lambda project: project.documents(kind))

    def result(self, step: str) -> Result | None:
        """Result of a step, or None."""
        return self._ask(lambda project: project.result(step))

    def put_result(self, step: str, fingerprint: str, json: str) -> None:
        """Keep the result of a step."""
        self._ask(lambda project: project.put_result(step, fingerprint, json))

    def events(self, installation: str | None = None) -> tuple[Event, ...]:
        """The log, verified."""
        return self._ask(lambda project: project.events(installation))

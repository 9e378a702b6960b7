"""The one thread to which the project file belongs.

SQLite's write-ahead log wants one writer, and an open project has one connection of one thread.
Whoever wants something of the file asks here and waits. Writes that arrive while one commit is
on its way to the disk go together into the next: a write is answered only once it is durable,
and many of them share the cost of that.
"""

import queue
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from teewright.bench.shelf import FarShelf
from teewright.store.project import Project

Answer = TypeVar("Answer")
TOGETHER = 64
"""Most writes in one commit."""


_WITH: ContextVar[Callable[[Project], None] | None] = ContextVar("with each write", default=None)


@contextmanager
def with_each_write(act: Callable[[Project], None]) -> Iterator[None]:
    """Do something in the transaction of each `Desk.write` of the code within.

    Args:
        act: What is done after the write, and is on the disk with it or not at all.
    """
    token = _WITH.set(act)
    try:
        yield
    finally:
        _WITH.reset(token)


@dataclass(frozen=True, slots=True)
class _Asked:
    act: Callable[[Project], Any]
    answer: "Future[Any]"
    shared: bool
    more: Callable[[Project], None] | None


class Desk:
    """A project file, opened in a thread of its own; close it, or use it as a context manager.

    Args:
        path: Of the project file; it is made where there is none.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._asked: queue.SimpleQueue[_Asked | None] = queue.SimpleQueue()
        self._last = time.monotonic()
        opened: Future[None] = Future()
        self._thread = threading.Thread(
            target=self._serve, args=(opened,), name="project file", daemon=True
        )
        self._thread.start()
        opened.result()

    @property
    def shelf(self) -> FarShelf:
        """The project as the steps of a job see it, from any other thread."""
        return FarShelf(self.path, self.ask)

    @property
    def rested(self) -> float:
        """Since something was asked last [s]."""
        return time.monotonic() - self._last

    def ask(self, act: Callable[[Project], Answer]) -> Answer:
        """Run a call on the project, in a transaction of its own making or none.

        Raises:
            TeewrightError: Whatever the call raises.
        """
        return self._put(act, shared=False).result()

    def write(self, act: Callable[[Project], Answer]) -> Answer:
        """Run a short write; it may share its commit with others, and fails alone.

        Returns:
            Its answer, once what it wrote is on the disk.

        Raises:
            TeewrightError: Whatever the call raises; then nothing of it is written.
        """
        return self._put(act, shared=True).result()

    def close(self) -> None:
        """Finish what was asked and close the file."""
        self._asked.put(None)
        self._thread.join()

    def __enter__(self) -> "Desk":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _put(self, act: Callable[[Project], Answer], *, shared: bool) -> "Future[Answer]":
        if not self._thread.is_alive():
            raise RuntimeError("the project file is closed")
        self._last = time.monotonic()
        answer: Future[Answer] = Future()
        self._asked.put(_Asked(act, answer, shared, _WITH.get()))
        return answer

    def _serve(self, opened: "Future[None]") -> None:
        try:
            known = self.path.exists()
            project = Project.open(self.path) if known else Project.create(self.path)
        except BaseException as error:  # noqa: BLE001 -- told to whoever opens the desk
            opened.set_exception(error)
            return
        with project:
            opened.set_result(None)
            while (asked := self._asked.get()) is not None:
                if asked.shared:
                    if not self._together(project, asked):
                        return
                else:
                    _answer(asked, project)

    def _together(self, project: Project, first: _Asked) -> bool:
        """One commit for all shared writes that wait; False where the desk is to close."""
        batch, rest, goes_on = self._gathered(first)
        done: list[tuple[_Asked, Any]] = []
        try:
            with project.transaction():
                done.extend((asked, _tried(asked, project)) for asked in batch)
        except BaseException as error:  # noqa: BLE001 -- the commit failed: nobody's is durable
            for asked in batch:
                asked.answer.set_exception(error)
        else:
            for asked, (answer, failed) in done:
                if failed is None:
                    asked.answer.set_result(answer)
                else:
                    asked.answer.set_exception(failed)
        if rest is not None:
            _answer(rest, project)
        return goes_on

    def _gathered(self, first: _Asked) -> tuple[list[_Asked], _Asked | None, bool]:
        """Shared writes that wait, the other call that ended them, and whether to go on."""
        batch = [first]
        while len(batch) < TOGETHER:
            try:
                following = self._asked.get_nowait()
            except queue.Empty:
                break
            if following is None:
                return batch, None, False
            if not following.shared:
                return batch, following, True
            batch.append(following)
        return batch, None, True


def _tried(asked: _Asked, project: Project) -> tuple[Any, BaseException | None]:
    """Answer or error of one write, in a transaction within the shared one."""
    try:
        with project.transaction():
            answer = asked.act(project)
            if asked.more is not None:
                asked.more(project)
            return answer, None
    except Exception as error:  # noqa: BLE001 -- told to whoever asked
        return None, error


def _answer(asked: _Asked, project: Project) -> None:
    try:
        answer = asked.act(project)
    except BaseException as error:  # noqa: BLE001 -- told to whoever asked
        asked.answer.set_exception(error)
    else:
        asked.answer.set_result(answer)

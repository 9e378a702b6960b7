"""Long work in the background: told, counted, cancelled, and still there after a reload."""

import logging
import threading
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from teewright.errors import InputError, TeewrightError, UnknownNameError

Told = Callable[[str], None]
LOG = logging.getLogger(__name__)
KEPT = 50
"""Finished tasks that are remembered."""


class Cancelled(Exception):  # noqa: N818 -- it is no error: someone asked for it
    """Raised inside a task that is to stop."""


class TaskState(StrEnum):
    """How far a task is."""

    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of long work.

    Attributes:
        id: UUID.
        name: What it does, e.g. `design`.
        state: How far it is.
        said: What it does now, or why it failed, in plain words.
        begun: When, with time zone.
        ended: When, or None while it runs.
    """

    id: str
    name: str
    state: TaskState
    said: str
    begun: datetime
    ended: datetime | None


class Tasks:
    """The tasks of one server, one of a name at a time."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._tasks: dict[str, Task] = {}
        self._stops: dict[str, threading.Event] = {}
        self._threads: list[threading.Thread] = []
        self._dismissed: set[str] = set()

    def start(self, name: str, work: Callable[[Told], object]) -> Task:
        """Begin a task; one of that name that runs already is given back.

        Args:
            name: What it does.
            work: Does it; what it is given is to be told now and then what is being done, and
                ends the work where that was asked for.
        """
        with self._lock:
            running = self._running(name)
            if running is not None:
                return running
            task = Task(str(uuid.uuid4()), name, TaskState.RUNNING, "", _now(), None)
            self._tasks[task.id] = task
            stop = self._stops[task.id] = threading.Event()
            self._forget()
        thread = threading.Thread(
            target=self._run, args=(task.id, work, stop), name=name, daemon=True
        )
        self._threads.append(thread)
        thread.start()
        return task

    def of(self, task_id: str) -> Task:
        """A task by its id.

        Raises:
            UnknownNameError: There is none of that id.
        """
        with self._lock:
            if task_id not in self._tasks:
                raise UnknownNameError("is not known", field="task", value=task_id)
            return self._tasks[task_id]

    def all(self) -> tuple[Task, ...]:
        """All that are remembered, the newest first."""
        with self._lock:
            return tuple(reversed(self._tasks.values()))

    def running(self, name: str) -> Task | None:
        """The one of that name that runs now, or None."""
        with self._lock:
            return self._running(name)

    def to_show(self, *names: str) -> Task | None:
        """The one of those names that runs, else why the last one failed, until dismissed."""
        with self._lock:
            for name in names:
                if (task := self._running(name)) is not None:
                    return task
            found = [task for task in self._tasks.values() if task.name in names]
            if not found or found[-1].state is not TaskState.FAILED:
                return None
            return None if found[-1].id in self._dismissed else found[-1]

    def dismiss(self, task_id: str) -> Task:
        """The reader has seen why a task failed.

        Raises:
            UnknownNameError: There is none of that id.
        """
        task = self.of(task_id)
        if task.state is not TaskState.RUNNING:
            self._dismissed.add(task_id)
        return task

    def cancel(self, task_id: str) -> Task:
        """Ask a task to stop; it does so when it next tells what it does.

        Raises:
            UnknownNameError: There is none of that id.
            InputError: It runs no more.
        """
        task = self.of(task_id)
        if task.state is not TaskState.RUNNING:
            raise InputError("runs no more", field="task", value=task_id, allowed="one that runs")
        self._stops[task_id].set()
        return task

    def stop_all(self, *, wait: float) -> None:
        """Ask all to stop and wait for them.

        Args:
            wait: How long for each [s].
        """
        for stop in list(self._stops.values()):
            stop.set()
        for thread in self._threads:
            thread.join(wait)

    def _running(self, name: str) -> Task | None:
        found = (t for t in self._tasks.values() if t.name == name)
        return next((t for t in found if t.state is TaskState.RUNNING), None)

    def _forget(self) -> None:
        over = [t.id for t in self._tasks.values() if t.state is not TaskState.RUNNING]
        for task_id in over[: max(0, len(over) - KEPT)]:
            del self._tasks[task_id], self._stops[task_id]
            self._dismissed.discard(task_id)
        self._threads = [thread for thread in self._threads if thread.is_alive()]

    def _run(self, task_id: str, work: Callable[[Told], object], stop: threading.Event) -> None:
        def tell(text: str) -> None:
            if stop.is_set():
                raise Cancelled
            self._change(task_id, said=text)

        with self._ending(task_id):
            work(tell)

    @contextmanager
    def _ending(self, task_id: str) -> Iterator[None]:
        try:
            yield
        except Cancelled:
            self._change(task_id, state=TaskState.CANCELLED, ended=_now())
        except TeewrightError as error:
            self._change(task_id, state=TaskState.FAILED, said=str(error), ended=_now())
        except Exception as error:
            LOG.exception("task %s failed", self._tasks[task_id].name)
            said = f"It failed ({type(error).__name__}); the server's log has the whole of it."
            self._change(task_id, state=TaskState.FAILED, said=said, ended=_now())
        else:
            self._change(task_id, state=TaskState.DONE, ended=_now())

    def _change(
        self,
        task_id: str,
        *,
        state: TaskState | None = None,
        said: str | None = None,
        ended: datetime | None = None,
    ) -> None:
        with self._lock:
            old = self._tasks[task_id]
            self._tasks[task_id] = replace(
                old,
                state=old.state if state is None else state,
                said=old.said if said is None else said,
                ended=ended,
            )


def _now() -> datetime:
    return datetime.now().astimezone()

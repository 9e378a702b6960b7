"""Collars made on trial, in a process of their own, told and stopped like any long work.

A try changes nothing in the job. The last ones are remembered while the server runs, so that a
page shows them again after a reload.
"""

import hashlib
import itertools
import multiprocessing as mp
import os
import queue
import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures import TimeoutError as NotYet
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from multiprocessing.queues import Queue
from typing import TYPE_CHECKING, Any

from teewright.bench.pool import THREADS
from teewright.collar.made import Made
from teewright.collar.order import Effort, Order
from teewright.collar.placed import Placed
from teewright.collar.tolerance import Case
from teewright.errors import TeewrightError, UnknownNameError
from teewright.web.tasks import Task, Tasks

if TYPE_CHECKING:
    from teewright.collar.making import Designed

KEPT = 12
"""Tries that are remembered."""
EFFORT = Effort(tolerance=False)
_WARM = 4
_POLL = 0.1
_TASK = "collar "


class WorkerLostError(TeewrightError):
    """The process that makes collars is gone."""


@dataclass(frozen=True, slots=True)
class Tried:
    """A collar made on trial.

    Attributes:
        key: Name of the try.
        made: The collar, formed where it should lie.
        placed: The same formed off its place, or None where it is not off.
    """

    key: str
    made: Made
    placed: Placed | None


def key_of(order: Order, case: Case) -> str:
    """Name of a try: 16 hex digits, the same for the same try."""
    return hashlib.sha256(repr((order, case)).encode()).hexdigest()[:16]


class Workshop:
    """One process that makes collars on trial, begun when the first is asked for.

    Args:
        tasks: Where the work is told.
    """

    def __init__(self, tasks: Tasks) -> None:
        self._tasks = tasks
        self._lock = threading.Lock()
        self._pool: ProcessPoolExecutor | None = None
        self._said: Queue[tuple[str, str]] | None = None
        self._stop: Any = None
        self._found: OrderedDict[str, Tried] = OrderedDict()
        self._marks = itertools.count(1)

    def begin(self, order: Order, case: Case) -> Task:
        """Begin to make a collar; one that is being made already is given back.

        Args:
            order: What is made.
            case: How it is then placed.
        """
        key = key_of(order, case)

        def work(tell: Callable[[str], None]) -> None:
            self._keep(self._made(key, order, case, tell))

        return self._tasks.start(_TASK + key, work)

    def running(self, key: str) -> Task | None:
        """The work on a try, while it goes on."""
        return self._tasks.running(_TASK + key)

    def last(self, key: str) -> Task | None:
        """The latest work on a try, ended or not, or None."""
        return next((t for t in self._tasks.all() if t.name == _TASK + key), None)

    def tried(self, key: str) -> Tried | None:
        """A try that was made, or None."""
        with self._lock:
            found = self._found.get(key)
            if found is not None:
                self._found.move_to_end(key)
            return found

    def of(self, key: str) -> Tried:
        """A try that was made.

        Raises:
            UnknownNameError: There is none, or it was forgotten.
        """
        found = self.tried(key)
        if found is None:
            raise UnknownNameError("is not remembered", field="try", value=key)
        return found

    def close(self) -> None:
        """End the process."""
        with self._lock:
            pool, self._pool = self._pool, None
        if pool is not None:
            pool.shutdown(wait=False, cancel_futures=True)

    def _keep(self, tried: Tried) -> None:
        with self._lock:
            self._found[tried.key] = tried
            self._found.move_to_end(tried.key)
            while len(self._found) > KEPT:
                self._found.popitem(last=False)

    def _made(self, key: str, order: Order, case: Case, tell: Callable[[str], None]) -> Tried:
        # a mark of its own: one that was stopped must not stop the next of the same name
        mark = f"{key}.{next(self._marks)}"
        future, said = self._submitted(mark, key, order, case)
        try:
            return self._waited(mark, future, said, tell)
        except BrokenProcessPool as error:
            self._forget_pool()
            raise WorkerLostError(
                "The process that makes collars was ended from outside before this one was done; "
                "nothing else is lost: ask for it again."
            ) from error

    def _waited(
        self,
        mark: str,
        future: "Future[Tried]",
        said: "Queue[tuple[str, str]]",
        tell: Callable[[str], None],
    ) -> Tried:
        text = ""
        while True:
            try:
                return future.result(timeout=_POLL)
            except NotYet:
                text = _latest(said, mark, text)
            try:
                tell(text)
            except BaseException:
                future.cancel()
                self._stop_worker(mark)
                raise

    def _submitted(
        self, mark: str, key: str, order: Order, case: Case
    ) -> "tuple[Future[Tried], Queue[tuple[str, str]]]":
        with self._lock:
            if self._pool is None:
                self._begin_pool()
            pool, said = self._pool, self._said
            assert pool is not None
            assert said is not None
            return pool.submit(_make, mark, key, order, case), said

    def _begin_pool(self) -> None:
        for name in THREADS:
            os.environ.setdefault(name, "1")
        context = mp.get_context("spawn")
        self._said = context.Queue()
        self._stop = context.Array("c", 64)
        self._pool = ProcessPoolExecutor(
            1, mp_context=context, initializer=_settle, initargs=(self._said, self._stop)
        )

    def _stop_worker(self, mark: str) -> None:
        if self._stop is not None:
            self._stop.value = mark.encode()

    def _forget_pool(self) -> None:
        with self._lock:
            pool, self._pool = self._pool, None
        if pool is not None:
            pool.shutdown(wait=False, cancel_futures=True)


def _latest(said: "Queue[tuple[str, str]]", mark: str, before: str) -> str:
    """The last that was told of a try."""
    text = before
    while True:
        try:
            told_mark, told = said.get_nowait()
        except queue.Empty:
            return text
        if told_mark == mark:
            text = told


class _Stopped(Exception):  # noqa: N818 -- it is no error: someone asked for it
    """Raised in the process where a try is to stop."""


@dataclass(slots=True)
class _Bench:
    """What the process keeps between tries."""

    said: Any = None
    stop: Any = None
    warm: "OrderedDict[Order, Designed] | None" = None


_BENCH = _Bench()


def _settle(said: Any, stop: Any) -> None:
    """Make the process ready."""
    _BENCH.said, _BENCH.stop, _BENCH.warm = said, stop, OrderedDict()


def _make(mark: str, key: str, order: Order, case: Case) -> Tried:
    """Make a collar and form it; runs in the process."""
    from teewright.collar.making import made_of  # noqa: PLC0415 -- heavy, only in the process
    from teewright.collar.placing import place  # noqa: PLC0415 -- the same

    def told(text: str) -> None:
        if _BENCH.stop.value == mark.encode():
            raise _Stopped
        _BENCH.said.put((mark, text))

    told("forming the collar")
    designed = _designed(order, told)
    if case == Case():
        return Tried(key, made_of(designed), None)
    told("forming it where the packer stands")
    return Tried(key, made_of(designed), place(designed, case))


def _designed(order: Order, told: Callable[[str], None]) -> "Designed":
    """Panels of an order; the last ones are kept, so that another place is quick."""
    from teewright.collar.making import design  # noqa: PLC0415 -- heavy, only in the process

    warm = _BENCH.warm if _BENCH.warm is not None else OrderedDict()
    if order not in warm:
        warm[order] = design(order, effort=EFFORT, told=told)
        while len(warm) > _WARM:
            warm.popitem(last=False)
    warm.move_to_end(order)
    return warm[order]

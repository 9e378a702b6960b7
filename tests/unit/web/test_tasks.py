import threading
import time
from collections.abc import Callable

import pytest

from teewright.errors import InputError, UnknownNameError
from teewright.web.tasks import KEPT, Task, Tasks, TaskState


def settled(tasks: Tasks, task: Task) -> Task:
    deadline = time.monotonic() + 10.0
    while tasks.of(task.id).state is TaskState.RUNNING:
        assert time.monotonic() < deadline
        time.sleep(0.002)
    return tasks.of(task.id)


def test_a_task_tells_what_it_does_and_ends() -> None:
    tasks, go = Tasks(), threading.Event()

    def work(tell: Callable[[str], None]) -> None:
        tell("cutting")
        go.wait(10.0)

    task = tasks.start("design", work)
    while tasks.of(task.id).said != "cutting":
        time.sleep(0.002)
    assert tasks.running("design") == tasks.of(task.id)
    go.set()
    done = settled(tasks, task)
    assert done.state is TaskState.DONE
    assert done.ended is not None
    assert done.ended >= done.begun
    assert tasks.running("design") is None


def test_one_of_a_name_at_a_time() -> None:
    tasks, go = Tasks(), threading.Event()
    first = tasks.start("design", lambda _: go.wait(10.0))
    assert tasks.start("design", lambda _: None).id == first.id
    assert tasks.start("plan", lambda _: None).id != first.id
    go.set()
    settled(tasks, first)
    assert tasks.start("design", lambda _: None).id != first.id


def test_a_cancelled_task_stops_when_it_next_tells() -> None:
    tasks, told = Tasks(), threading.Event()

    def work(tell: Callable[[str], None]) -> None:
        for n in range(10_000):
            tell(f"step {n}")
            told.set()
            time.sleep(0.001)

    task = tasks.start("design", work)
    told.wait(10.0)
    tasks.cancel(task.id)
    assert settled(tasks, task).state is TaskState.CANCELLED
    with pytest.raises(InputError, match="runs no more"):
        tasks.cancel(task.id)


def test_a_failure_of_the_users_making_is_told_in_its_own_words() -> None:
    def work(_: Callable[[str], None]) -> None:
        raise InputError("is missing", field="kit")

    tasks = Tasks()
    done = settled(tasks, tasks.start("design", work))
    assert (done.state, done.said) == (TaskState.FAILED, "kit = '' is missing")


def test_a_fault_of_ours_is_told_by_its_kind(caplog: pytest.LogCaptureFixture) -> None:
    def work(_: Callable[[str], None]) -> None:
        raise ZeroDivisionError

    tasks = Tasks()
    done = settled(tasks, tasks.start("design", work))
    assert done.state is TaskState.FAILED
    assert "ZeroDivisionError" in done.said
    assert "task design failed" in caplog.text


def test_old_tasks_are_forgotten_and_unknown_ones_refused() -> None:
    tasks = Tasks()
    first = tasks.start("one", lambda _: None)
    settled(tasks, first)
    for n in range(KEPT + 5):
        settled(tasks, tasks.start(f"task {n}", lambda _: None))
    assert len(tasks.all()) <= KEPT + 1
    with pytest.raises(UnknownNameError, match="is not known"):
        tasks.of(first.id)


def test_why_a_task_failed_is_shown_until_it_is_dismissed_or_begun_anew() -> None:
    tasks, go = Tasks(), threading.Event()

    def fails(_: Callable[[str], None]) -> None:
        raise InputError("is too small", field="branch", value=3)

    assert tasks.to_show("design", "plan") is None
    failed = settled(tasks, tasks.start("design", fails))
    assert tasks.to_show("design", "plan") == failed
    assert tasks.to_show("plan") is None
    tasks.dismiss(failed.id)
    assert tasks.to_show("design") is None
    again = settled(tasks, tasks.start("design", fails))
    assert tasks.to_show("design") == again
    running = tasks.start("design", lambda _: go.wait(10.0))
    assert tasks.to_show("design") == running
    tasks.dismiss(running.id)
    assert tasks.to_show("design") == running
    go.set()
    settled(tasks, running)
    assert tasks.to_show("design") is None
    with pytest.raises(UnknownNameError):
        tasks.dismiss("x")

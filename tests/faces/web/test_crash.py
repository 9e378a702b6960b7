"""Nothing that was answered as kept is lost, whenever the server or its writer is killed.

Two hundred kills in all: mostly of a process that holds the desk, for it writes; the whole server
takes longer to start and is killed less often. Both are forked from a process that has loaded
what they need; that `teewright serve` itself may be killed is tried in `test_clock_api.py`.
"""

import json
import os
import random
import select
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from faces.web.conftest import free_port
from teewright.site.chain import verify
from teewright.store.project import Project

WRITER_KILLS, SERVER_KILLS = 180, 20
DEVICES = 4
"""Who sends at once, so that commits are shared."""
NURSERY = f"""
import os, sys, threading
from datetime import UTC, datetime
from pathlib import Path
from teewright.site.chain import Draft
from teewright.site.values import EventKind
from teewright.web.app import make_app
from teewright.web.desk import Desk
from teewright.web.settings import Settings

path = Path(sys.argv[1])

def sends(desk, run, device):
    for number in range(1, 100_000):
        at = datetime(2027, 5, 3, 20, 30, tzinfo=UTC)
        name = f"{{run}}-{{device}}-{{number}}"
        draft = Draft(name, "A-B/01#1", EventKind.NOTE, at, f"t{{device}}", number, "p")
        event = desk.write(lambda project: project.record(draft))
        os.write(1, f"{{event.id}} {{event.hash}}\\n".encode())

def child(word):
    if word.startswith("port "):
        import uvicorn
        app = make_app(Settings(path, quick=True))
        uvicorn.run(app, host="127.0.0.1", port=int(word[5:]), log_level="error")
        return
    desk = Desk(path)
    for device in range({DEVICES}):
        threading.Thread(target=sends, args=(desk, word, device)).start()
    threading.Event().wait()

for line in sys.stdin:  # each line asks for one more process, which the test kills
    pid = os.fork()
    if pid == 0:
        child(line.strip())
        os._exit(1)
    os.write(1, f"pid {{pid}}\\n".encode())
    os.waitpid(pid, 0)
    os.write(1, b"dead\\n")
"""

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")


class Pipe:
    """Lines of a process, each within a time."""

    def __init__(self, process: "subprocess.Popen[bytes]") -> None:
        assert process.stdout is not None
        self._file = process.stdout.fileno()
        self._rest = b""

    def lines(self, *, wait: float) -> list[str]:
        """Whole lines that came within a time, none if there were none."""
        if select.select([self._file], [], [], max(0.0, wait))[0]:
            self._rest += os.read(self._file, 2**16)
        *whole, self._rest = self._rest.split(b"\n")
        return [line.decode() for line in whole]


@pytest.fixture
def nursery(tmp_path: Path) -> Iterator["subprocess.Popen[bytes]"]:
    """A process that has loaded everything and forks writers and servers."""
    path = tmp_path / "job.tee"
    Project.create(path).close()
    with subprocess.Popen(
        [sys.executable, "-c", NURSERY, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        yield process
        assert process.stdin is not None
        process.stdin.close()
        process.wait(20.0)


def killed(process: "subprocess.Popen[bytes]", pipe: Pipe, run: int, *, after: float) -> list[str]:
    """`id hash` of each event that a writer had answered when it was killed."""
    assert process.stdin is not None
    process.stdin.write(f"{run}\n".encode())
    process.stdin.flush()
    answered: list[str] = []
    pid, at, limit = 0, 0.0, time.monotonic() + 30.0
    while True:
        assert time.monotonic() < limit, "the writer did not begin or did not end in 30 s"
        for line in pipe.lines(wait=min(0.005, max(0.0, at - time.monotonic())) if at else 0.005):
            if line == "dead":
                return answered
            if line.startswith("pid "):
                pid = int(line.split()[1])
            else:
                at = at or time.monotonic() + after  # from its first answer on
                answered.append(line)
        if at and pid and time.monotonic() >= at:
            os.kill(pid, signal.SIGKILL)
            pid = 0


def test_writers_are_killed_and_no_answered_event_is_lost(
    nursery: "subprocess.Popen[bytes]", tmp_path: Path
) -> None:
    path, pipe = tmp_path / "job.tee", Pipe(nursery)
    chosen, answered, beyond = random.Random(20270503), set[str](), 0
    for run in range(WRITER_KILLS):
        answered |= set(killed(nursery, pipe, run, after=chosen.uniform(0.0, 0.05)))
        if run % 20 == 19:
            with Project.open(path) as project:
                stored = project.events()
            verify(stored)
            assert answered <= {f"{event.id} {event.hash}" for event in stored}
            assert len({event.id for event in stored}) == len(stored)
            beyond = len(stored) - len(answered)
    assert len(answered) > 2 * WRITER_KILLS
    # what was written and not answered when it was killed: one of each device at most
    assert 0 <= beyond <= WRITER_KILLS * DEVICES


def one(name: str, number: int) -> dict[str, Any]:
    return {
        "id": name, "installation": "A-B/01#1", "kind": "note", "sequence": number,
        "at": "2027-05-03T20:30:00.000+02:00", "device": "tablet-1", "person": "crew", "data": [],
    }  # fmt: skip


class Tablet:
    """Sends its entries in order, and again whatever was not answered."""

    def __init__(self) -> None:
        self.answered: dict[str, str] = {}
        self.waiting: list[dict[str, Any]] = []
        self._made = 0
        self.sent_again = 0

    def send(self, address: str, client: httpx.Client) -> None:
        """One more entry, with all that wait.

        Raises:
            TransportError: The server died meanwhile.
        """
        self._made += 1
        self.waiting.append(one(f"n-{self._made}", self._made))
        self.sent_again += len(self.waiting) - 1
        told = client.post(address, json={"events": self.waiting}).json()
        for answer in told["answers"]:
            assert answer["kept"], answer
            self.answered[answer["id"]] = answer["recorded"]
        self.waiting = []


def test_servers_are_killed_and_every_entry_arrives_once(
    nursery: "subprocess.Popen[bytes]", tmp_path: Path
) -> None:
    path, pipe, tablet = tmp_path / "job.tee", Pipe(nursery), Tablet()
    chosen, wanted = random.Random(20270504), 0
    for _ in range(SERVER_KILLS):
        port = free_port()
        server = begun(nursery, pipe, f"port {port}")
        with httpx.Client(timeout=30.0) as client:
            address = f"http://localhost:{port}/api/v1/events"
            until_up(address, client)
            answers = chosen.randint(1, 15)
            wanted += answers
            hit_and_run(server, tablet, address, client, answers, chosen.uniform(0.0, 0.03))
        assert "dead" in until_told(pipe)
    with Project.open(path) as project:
        events = project.events()
    verify(events)
    recorded = {event.id: event.recorded.isoformat() for event in events}
    assert len(recorded) == len(events)
    assert {name: recorded.get(name) for name in tablet.answered} == tablet.answered
    assert len(tablet.answered) >= wanted
    # the tablet's own order is kept, whatever was sent again
    numbers = [event.sequence for event in events]
    assert numbers == sorted(numbers)
    assert tablet.sent_again > 0


def begun(process: "subprocess.Popen[bytes]", pipe: Pipe, word: str) -> int:
    """Ask for a process; its id."""
    assert process.stdin is not None
    process.stdin.write(f"{word}\n".encode())
    process.stdin.flush()
    (told,) = until_told(pipe)
    return int(told.removeprefix("pid "))


def until_told(pipe: Pipe) -> list[str]:
    limit = time.monotonic() + 30.0
    while not (lines := pipe.lines(wait=1.0)):
        assert time.monotonic() < limit, "nothing was told in 30 s"
    return lines


def until_up(address: str, client: httpx.Client) -> None:
    limit = time.monotonic() + 60.0
    while True:
        assert time.monotonic() < limit, "the server did not start in 60 s"
        try:
            client.get(address).raise_for_status()
        except httpx.TransportError:
            time.sleep(0.03)
        else:
            return


def hit_and_run(
    server: int,
    tablet: Tablet,
    address: str,
    client: httpx.Client,
    answers: int,
    after: float,
) -> None:
    """Send until the server is dead: some time after so many answers."""
    killer = threading.Timer(after, os.kill, (server, signal.SIGKILL))
    try:
        for _ in range(answers):
            tablet.send(address, client)
        killer.start()
        while True:
            tablet.send(address, client)
    except (httpx.TransportError, json.JSONDecodeError):
        killer.join(20.0)

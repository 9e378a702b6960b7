"""Nothing that was acknowledged is lost, whenever the program or the power dies."""

import random
import shutil
import signal
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from teewright.site.chain import verify
from teewright.site.values import Event
from teewright.store.project import Project
from unit.site.story import usual

WRITER = """
import sys
from datetime import UTC, datetime
from teewright.site.chain import Draft
from teewright.site.values import EventKind
from teewright.store.project import Project

path, run = sys.argv[1:]
with Project.open(path) as project:
    for number in range(1, 100_000):
        at = datetime.now(UTC)
        draft = Draft(f"{run}-{number}", "A-B/01#1", EventKind.NOTE, at, "t", number, "p")
        event = project.record(draft)
        print(event.id, flush=True)
"""
KILLS = 10


def killed_writer(path: Path, run: int, *, after: int) -> list[str]:
    """Ids that a writer had acknowledged when it was killed after about so many events."""
    acknowledged: list[str] = []
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), str(run)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            acknowledged.append(line.strip())
            if len(acknowledged) == after:
                process.send_signal(signal.SIGKILL)
    assert process.returncode == -signal.SIGKILL
    return acknowledged


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_no_acknowledged_event_is_lost_when_the_program_is_killed(tmp_path: Path) -> None:
    path = tmp_path / "job"
    Project.create(path).close()
    chosen, acknowledged = random.Random(20250512), list[str]()
    for run in range(KILLS):
        acknowledged += killed_writer(path, run, after=chosen.randint(1, 25))
        with Project.open(path) as project:
            stored = [event.id for event in project.events()]
        assert set(acknowledged) <= set(stored)
        # at most the one event that was under way has no acknowledgement
        assert len(stored) - len(acknowledged) <= run + 1
    assert len(acknowledged) >= KILLS


def committed(path: Path, events: tuple[Event, ...]) -> tuple[bytes, bytes]:
    """File and write-ahead log of a project that was not closed after these events."""
    with Project.create(path, clock=lambda: datetime(2025, 5, 12, tzinfo=UTC)) as project:
        for event in events:
            project.append(event)
        return path.read_bytes(), Path(f"{path}-wal").read_bytes()


def test_a_log_cut_anywhere_opens_as_a_valid_prefix(tmp_path: Path) -> None:
    """What a power cut can leave: the write-ahead log up to some byte, or with its rest torn."""
    events = usual()
    base, wal = committed(tmp_path / "job", events)
    lengths = set[int]()
    cuts = [*range(0, len(wal), len(wal) // 40), len(wal) - 1, len(wal)]
    for number, cut in enumerate(cuts):
        folder = tmp_path / str(number)
        folder.mkdir()
        torn = bytes(len(wal) - cut) if number % 2 else b""
        (folder / "job").write_bytes(base)
        (folder / "job-wal").write_bytes(wal[:cut] + torn)
        with Project.open(folder / "job") as project:
            found = project.events()
        assert found == events[: len(found)]
        verify(found)
        lengths.add(len(found))
        shutil.rmtree(folder)
    assert {0, len(events)} <= lengths
    assert len(lengths) == len(events) + 1

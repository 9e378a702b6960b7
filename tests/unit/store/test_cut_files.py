"""A project file that lost its end opens as a valid beginning, or is refused with one sentence."""

import random
import shutil
import struct
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from teewright.errors import TeewrightError
from teewright.site.chain import verify
from teewright.site.values import Event
from teewright.store.project import Project
from unit.site.story import usual

WAL_HEAD, FRAME_HEAD = 32, 24
"""Bytes of the head of a write-ahead log and of a frame (https://sqlite.org/fileformat.html)."""
RANDOM_CUTS = 200
EVENTS = usual()


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, bytes, bytes]:
    """File and write-ahead log of a project that was not closed, and the file once closed."""
    path = tmp_path_factory.mktemp("cut") / "job"
    with Project.create(path, clock=lambda: datetime(2025, 5, 12, tzinfo=UTC)) as project:
        for event in EVENTS:
            project.append(event)
        file, wal = path.read_bytes(), Path(f"{path}-wal").read_bytes()
    return file, wal, path.read_bytes()


def frame_ends(wal: bytes) -> list[int]:
    (page,) = struct.unpack(">I", wal[8:12])
    return list(range(WAL_HEAD, len(wal) + 1, FRAME_HEAD + page))


def opened(folder: Path, file: bytes, wal: bytes | None) -> tuple[Event, ...] | str:
    """The log of such a file, or the sentence with which it was refused."""
    folder.mkdir()
    (folder / "job").write_bytes(file)
    if wal is not None:
        (folder / "job-wal").write_bytes(wal)
    try:
        with Project.open(folder / "job") as project:
            return project.events()
    except TeewrightError as error:
        return str(error)
    finally:
        shutil.rmtree(folder)


def cuts(wal: bytes) -> Iterator[tuple[int, bytes]]:
    """(offset, what is left of the write-ahead log): cut off, or its rest never written."""
    chosen = random.Random(20250512)
    offsets = frame_ends(wal) + [chosen.randrange(len(wal)) for _ in range(RANDOM_CUTS)]
    for number, at in enumerate(sorted({*offsets, 0, len(wal)})):
        rest = (b"", bytes(len(wal) - at), chosen.randbytes(len(wal) - at))[number % 3]
        yield at, wal[:at] + rest


def test_a_write_ahead_log_cut_at_every_frame_and_anywhere(
    written: tuple[bytes, bytes, bytes], tmp_path: Path
) -> None:
    file, wal, _ = written
    assert len(frame_ends(wal)) > len(EVENTS)
    longest, lengths = 0, set[int]()
    for at, left in cuts(wal):
        found = opened(tmp_path / "one", file, left)
        assert isinstance(found, tuple), (at, found)
        assert found == EVENTS[: len(found)]
        verify(found)
        assert len(found) >= longest, at  # what is durable stays so however much follows it
        longest = len(found)
        lengths.add(len(found))
    assert lengths == set(range(len(EVENTS) + 1))


def test_a_file_cut_anywhere_is_a_beginning_or_is_refused(
    written: tuple[bytes, bytes, bytes], tmp_path: Path
) -> None:
    file = written[2]
    chosen, refused = random.Random(20250513), 0
    offsets = [chosen.randrange(len(file)) for _ in range(100)]
    for at in sorted({*offsets, *range(0, len(file), 4096), len(file)}):
        found = opened(tmp_path / "one", file[:at], None)
        if isinstance(found, str):
            refused += 1
            assert 10 < len(found) < 300, at
            assert "Traceback" not in found
        else:
            assert found == EVENTS[: len(found)]
    assert refused > 50
    assert opened(tmp_path / "one", file, None) == EVENTS


def test_a_file_with_bytes_that_are_others_never_tells_a_wrong_log(
    written: tuple[bytes, bytes, bytes], tmp_path: Path
) -> None:
    file = written[2]
    chosen, refused = random.Random(20250514), 0
    for _ in range(200):
        at = chosen.randrange(100, len(file))
        damaged = file[:at] + bytes([file[at] ^ (1 << chosen.randrange(8))]) + file[at + 1 :]
        found = opened(tmp_path / "one", damaged, None)
        if isinstance(found, str):
            refused += 1
            assert 10 < len(found) < 600, found
        else:
            assert found == EVENTS[: len(found)]
    assert refused > 0

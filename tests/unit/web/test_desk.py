import threading
import uuid
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace

import pytest

from teewright.errors import FileFormatError, InputError
from teewright.site.chain import Draft
from teewright.site.values import EventKind
from teewright.store.project import Project
from teewright.web import desk as desk_room
from teewright.web.desk import Desk


def draft(number: int, event_id: str = "") -> Draft:
    return Draft(
        id=event_id or str(uuid.uuid4()),
        installation="N1-N2/01#1",
        kind=EventKind.NOTE,
        at=datetime(2027, 5, 12, 21, 0, tzinfo=UTC),
        device="tablet 1",
        sequence=number,
        person="AB",
    )


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with Desk(tmp_path / "job.tee") as made:
        yield made


def test_it_makes_the_project_and_answers(desk: Desk) -> None:
    assert desk.path.exists()
    assert desk.ask(lambda project: project.log_state().count) == 0


def test_the_project_stays_in_its_thread(desk: Desk) -> None:
    names = {desk.ask(lambda _: threading.current_thread().name) for _ in range(3)}
    assert names == {"project file"}


def test_many_writers_share_commits_and_each_is_kept_once(desk: Desk) -> None:
    with ThreadPoolExecutor(16) as pool:
        kept = list(
            pool.map(lambda n: desk.write(lambda p: p.record(draft(n))).sequence, range(1, 201))
        )
    events = desk.ask(lambda project: project.events())
    assert sorted(kept) == sorted(e.sequence for e in events) == list(range(1, 201))


def test_a_write_that_fails_takes_no_other_with_it(desk: Desk) -> None:
    same = str(uuid.uuid4())
    desk.write(lambda project: project.record(draft(1, same)))
    block = threading.Event()
    held = ThreadPoolExecutor(1).submit(desk.ask, lambda _: block.wait(10.0))
    with ThreadPoolExecutor(3) as pool:
        good = pool.submit(desk.write, lambda p: p.record(draft(2)))
        bad = pool.submit(desk.write, lambda p: p.record(draft(3, same)))
        also = pool.submit(desk.write, lambda p: p.record(draft(4)))
        block.set()
        assert good.result().sequence == 2
        assert also.result().sequence == 4
        with pytest.raises(InputError, match="id of another event"):
            bad.result()
    assert held.result()
    assert desk.ask(lambda project: project.log_state().count) == 3


def test_what_was_answered_is_on_the_disk(tmp_path: Path) -> None:
    path = tmp_path / "job.tee"
    with Desk(path) as desk:
        desk.write(lambda project: project.record(draft(1)))
    with Project.open(path) as project:
        assert project.log_state().count == 1


def test_a_file_that_is_no_project_is_told_at_once(tmp_path: Path) -> None:
    path = tmp_path / "job.tee"
    path.write_text("no project")
    with pytest.raises(FileFormatError, match="is not a project file"):
        Desk(path)


def test_a_closed_desk_answers_nothing(tmp_path: Path) -> None:
    desk = Desk(tmp_path / "job.tee")
    desk.close()
    with pytest.raises(RuntimeError, match="is closed"):
        desk.ask(lambda project: project.log_state())


def test_it_tells_how_long_nobody_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    now = [100.0]
    monkeypatch.setattr(desk_room, "time", SimpleNamespace(monotonic=lambda: now[0]))
    with Desk(tmp_path / "job.tee") as desk:
        now[0] = 107.0
        assert desk.rested == 7.0
        desk.ask(lambda _: None)
        assert desk.rested == 0.0

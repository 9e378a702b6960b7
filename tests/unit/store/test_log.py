import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from teewright.errors import InputError, StoreError, TamperedError
from teewright.site.chain import GENESIS, draft_of, verify
from teewright.site.values import Event, EventKind
from teewright.store.project import Project
from unit.site.story import chained, draft, usual


@pytest.fixture
def path(tmp_path: Path) -> Path:
    target = tmp_path / "job.teewright"
    with Project.create(target) as project:
        for event in usual():
            project.append(event)
    return target


def tamper(path: Path, *commands: str) -> None:
    with closing(sqlite3.connect(path)) as connection:
        for command in commands:
            connection.execute(command)
        connection.commit()


def test_events_come_back_as_they_were(path: Path) -> None:
    with Project.open(path) as project:
        assert project.events() == usual()
        state = project.log_state()
    assert (state.count, state.head) == (11, usual()[-1].hash)


def test_an_empty_log(tmp_path: Path) -> None:
    with Project.create(tmp_path / "job") as project:
        state = project.log_state()
    assert (state.count, state.head) == (0, GENESIS)


def test_events_of_one_installation(path: Path) -> None:
    with Project.open(path) as project:
        project.record(draft(EventKind.MIXED, installation="A-B/02#1"))
        assert len(project.events()) == 12
        assert len(project.events("A-B/02#1")) == 1
        assert project.events("nothing") == ()


def test_recording_seals_behind_the_last(path: Path) -> None:
    with Project.open(path) as project:
        event = project.record(draft(EventKind.NOTE, 9000, {"text": 'a "ü"\n\x00, 漢'}))
        assert event.previous == usual()[-1].hash
        assert project.events()[-1] == event
        verify(project.events(), head=event.hash)


def test_sending_again_changes_nothing(path: Path) -> None:
    again = usual()[3]
    with Project.open(path) as project:
        assert project.append(again) == again
        assert project.record(draft_of(again)) == again
        assert project.log_state().count == 11


def test_the_same_id_with_another_body_is_refused(path: Path) -> None:
    other = replace(draft_of(usual()[3]), person="someone else")
    with Project.open(path) as project:
        with pytest.raises(InputError, match="id of another event"):
            project.record(other)
        assert project.log_state().count == 11


def test_an_event_that_does_not_continue_the_chain_is_refused(path: Path) -> None:
    (apart,) = chained([draft(EventKind.NOTE, 9000)])
    with Project.open(path) as project:
        with pytest.raises(InputError, match="does not continue the log"):
            project.append(apart)
        sealed = project.record(draft(EventKind.NOTE, 9000))
        forged = replace(sealed, id="another", previous=sealed.hash, data=(("text", "forged"),))
        with pytest.raises(InputError, match="not the hash"):
            project.append(forged)


def test_a_failed_transaction_takes_its_events_back(path: Path) -> None:
    def record_and_fail(project: Project) -> None:
        with project.transaction():
            project.record(draft(EventKind.NOTE, 9000))
            raise InputError("is bad")

    with Project.open(path) as project:
        with pytest.raises(InputError):
            record_and_fail(project)
        assert project.events() == usual()


REST = "installation, kind, at, recorded, device, sequence, person, data"


def copied(ordinal: str, event_id: str, previous: str, row: int) -> str:
    values = f"{ordinal}, {event_id}, {REST}, {previous}, 'h'"
    return f"INTO event SELECT {values} FROM event WHERE ordinal = {row}"


@pytest.mark.parametrize(
    "command",
    [
        "UPDATE event SET person = 'x' WHERE ordinal = 3",
        "UPDATE event SET ordinal = 99 WHERE ordinal = 11",
        "DELETE FROM event WHERE ordinal = 11",
        "DELETE FROM event",
        "REPLACE INTO event SELECT * FROM event WHERE ordinal = 11",
        "INSERT OR REPLACE " + copied("ordinal", "'x'", "previous", 3),
        "INSERT OR REPLACE " + copied("12", "id", "hash", 11),
        "INSERT " + copied("12", "'x'", "previous", 11),
        "INSERT " + copied("13", "'x'", "hash", 11),
    ],
)
def test_the_file_itself_refuses_to_rewrite_history(path: Path, command: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        tamper(path, command)
    with Project.open(path) as project:
        assert project.events() == usual()
        with pytest.raises(StoreError, match="append-only"), project.transaction():
            project._connection.exec_driver_sql(command)


def test_history_rewritten_by_force_is_found_and_can_still_be_saved(path: Path) -> None:
    tamper(
        path,
        "DROP TRIGGER event_no_update",
        "UPDATE event SET person = 'someone else' WHERE ordinal = 4",
    )
    with Project.open(path) as project:
        with pytest.raises(TamperedError, match="Event 4 of the log"):
            project.events()
        with pytest.raises(TamperedError):
            project.events("A-B/02#1")
        assert len(project.events(checked=False)) == 11


@pytest.mark.parametrize(("column", "value"), [("kind", "exploded"), ("at", "noon"), ("data", "{")])
def test_a_row_that_cannot_be_read_is_named(path: Path, column: str, value: str) -> None:
    tamper(
        path,
        "DROP TRIGGER event_no_update",
        f"UPDATE event SET {column} = '{value}' WHERE ordinal = 4",
    )
    with Project.open(path) as project, pytest.raises(TamperedError, match="Event 4 of the log"):
        project.events()


def test_types_are_held_by_the_file(path: Path) -> None:
    row: Event = usual()[-1]
    with pytest.raises(sqlite3.IntegrityError, match="cannot store TEXT value in INTEGER"):
        tamper(
            path,
            "INSERT INTO event VALUES (12, 'x', 'i', 'note', 'a', 'r', 'd', 'many', 'p', '[]',"
            f" '{row.hash}', 'h')",
        )

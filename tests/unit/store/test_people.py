import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from teewright.errors import InputError, UnknownNameError
from teewright.store.people import (
    add_person,
    end_session,
    open_session,
    people,
    person_named,
    remove_person,
    session_person,
)
from teewright.store.project import Project

TOKEN = "0f" * 32


class Clock:
    def __init__(self) -> None:
        self.now = datetime(2027, 5, 12, 20, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def project(tmp_path: Path, clock: Clock) -> Iterator[Project]:
    with Project.create(tmp_path / "job", clock=clock) as made:
        yield made


def test_people_are_told_by_name(project: Project) -> None:
    add_person(project, "  RS ", "crew", "hash r")
    add_person(project, "AB", "engineer", "hash a")
    assert [(p.name, p.role, p.secret) for p in people(project)] == [
        ("AB", "engineer", "hash a"),
        ("RS", "crew", "hash r"),
    ]
    assert person_named(project, "RS") == people(project)[1]
    assert person_named(project, "nobody") is None


@pytest.mark.parametrize(
    ("name", "role", "said"),
    [
        (" ", "crew", "is empty"),
        ("RS", "crew", "is taken"),
        ("XY", "owner", "engineer, crew, inspector, client"),
    ],
)
def test_who_cannot_be_added(project: Project, name: str, role: str, said: str) -> None:
    add_person(project, "RS", "crew", "hash")
    with pytest.raises(InputError, match=said):
        add_person(project, name, role, "hash")
    assert len(people(project)) == 1


def test_a_session_ends_with_its_time(project: Project, clock: Clock) -> None:
    person = add_person(project, "RS", "crew", "hash")
    open_session(project, person, TOKEN, lasts=timedelta(hours=12))
    clock.now += timedelta(hours=12, seconds=-1)
    assert session_person(project, TOKEN) == person
    clock.now += timedelta(seconds=1)
    assert session_person(project, TOKEN) is None
    assert session_person(project, "00" * 32) is None


def test_a_session_ends_when_it_is_ended_or_its_person_goes(project: Project) -> None:
    person = add_person(project, "RS", "crew", "hash")
    open_session(project, person, TOKEN, lasts=timedelta(hours=1))
    end_session(project, TOKEN)
    assert session_person(project, TOKEN) is None
    open_session(project, person, TOKEN, lasts=timedelta(hours=1))
    remove_person(project, "RS")
    assert session_person(project, TOKEN) is None
    assert people(project) == ()
    with pytest.raises(UnknownNameError, match="RS"):
        remove_person(project, "RS")


def test_the_name_of_someone_who_left_stays_taken(project: Project) -> None:
    add_person(project, "RS", "crew", "hash")
    remove_person(project, "RS")
    with pytest.raises(InputError, match="is taken"):
        add_person(project, "RS", "inspector", "hash")


def test_the_file_refuses_a_role_of_its_own(project: Project) -> None:
    add_person(project, "RS", "crew", "hash")
    path = project.path
    project.close()
    with closing(sqlite3.connect(path)) as connection, pytest.raises(sqlite3.IntegrityError):
        connection.execute("UPDATE person SET role = 'owner'")

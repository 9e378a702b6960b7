import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from teewright.errors import InputError, UnknownNameError
from teewright.store.people import (
    LONGEST_NAME,
    Person,
    add_person,
    change_own_secret,
    change_role,
    change_secret,
    listed,
    people,
    person_named,
    remove_person,
    renew_secret,
)
from teewright.store.project import Project
from teewright.store.sessions import end_session, open_session, session_person

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
        ("rs", "crew", "is taken"),
        ("A\u0000B", "crew", "can be seen"),
        ("x" * (LONGEST_NAME + 1), "crew", "at most 60"),
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


def test_a_name_is_the_same_however_it_is_composed(project: Project) -> None:
    person = add_person(project, "Zoe\u0308", "crew", "hash")
    assert person.name == "Zo\u00eb"
    assert person_named(project, "Zoe\u0308 ") == person


def test_the_last_engineer_stays_one(project: Project) -> None:
    add_person(project, "AB", "engineer", "hash")
    add_person(project, "RS", "crew", "hash")
    with pytest.raises(InputError, match="last engineer"):
        remove_person(project, "AB")
    with pytest.raises(InputError, match="last engineer"):
        change_role(project, "AB", "client")
    change_role(project, "AB", "engineer")
    assert [(p.name, p.role) for p in people(project)] == [("AB", "engineer"), ("RS", "crew")]
    change_role(project, "RS", "engineer")
    remove_person(project, "AB")
    with pytest.raises(InputError, match="last engineer"):
        remove_person(project, "RS")


def test_a_role_that_is_none_is_refused(project: Project) -> None:
    add_person(project, "RS", "crew", "hash")
    with pytest.raises(InputError, match="is no role"):
        change_role(project, "RS", "owner")
    with pytest.raises(UnknownNameError):
        change_role(project, "XY", "crew")


def test_another_role_holds_in_a_session_under_way_and_another_password_ends_it(
    project: Project,
) -> None:
    person = add_person(project, "RS", "crew", "hash")
    assert open_session(project, person, TOKEN, lasts=timedelta(hours=1))
    change_role(project, "RS", "client")
    assert session_person(project, TOKEN) == Person(person.id, "RS", "client", "hash")
    change_secret(project, "RS", "other")
    assert session_person(project, TOKEN) is None


def test_who_was_given_another_password_meanwhile_begins_no_session(project: Project) -> None:
    person = add_person(project, "RS", "crew", "hash")
    change_secret(project, "RS", "other")
    assert not open_session(project, person, TOKEN, lasts=timedelta(hours=1))
    renew_secret(project, person, "hash of the old one")
    assert [p.secret for p in people(project)] == ["other"]
    now = people(project)[0]
    remove_person(project, "RS")
    assert not open_session(project, now, TOKEN, lasts=timedelta(hours=1))
    assert session_person(project, TOKEN) is None


def test_the_own_password_ends_the_sessions_unless_it_was_changed_in_between(
    project: Project,
) -> None:
    person = add_person(project, "RS", "crew", "hash")
    other = add_person(project, "QX", "crew", "hash")
    hour = timedelta(hours=1)
    assert open_session(project, person, TOKEN, lasts=hour)
    assert open_session(project, other, TOKEN[::-1], lasts=hour)
    change_secret(project, "RS", "by an engineer")
    now = next(p for p in people(project) if p.name == "RS")
    assert open_session(project, now, TOKEN, lasts=hour)
    assert not change_own_secret(project, person, "own")
    assert session_person(project, TOKEN) == now
    assert change_own_secret(project, now, "own")
    assert session_person(project, TOKEN) is None
    assert session_person(project, TOKEN[::-1]) == other
    assert {p.name: p.secret for p in people(project)} == {"RS": "own", "QX": "hash"}
    remove_person(project, "QX")
    assert not change_own_secret(project, other, "own")


def test_it_is_told_when_each_signed_in_last(project: Project, clock: Clock) -> None:
    added = clock.now
    person = add_person(project, "RS", "crew", "hash")
    assert [(p.name, p.added, p.signed_in) for p in listed(project)] == [("RS", added, None)]
    for _ in range(2):
        clock.now += timedelta(days=1)
        open_session(project, person, TOKEN[::-1], lasts=timedelta(hours=1))
        end_session(project, TOKEN[::-1])
        assert listed(project)[0].signed_in == clock.now


def test_the_file_refuses_a_role_of_its_own(project: Project) -> None:
    add_person(project, "RS", "crew", "hash")
    path = project.path
    project.close()
    with closing(sqlite3.connect(path)) as connection, pytest.raises(sqlite3.IntegrityError):
        connection.execute("UPDATE person SET role = 'owner'")

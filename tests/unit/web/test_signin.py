import hashlib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path

import pytest

from faces.web.signing import PASSWORD, WEAK, with_people
from teewright.store.people import (
    add_person,
    change_secret,
    people,
    person_named,
    remove_person,
)
from teewright.web.desk import Desk
from teewright.web.guard import passwords, sessions
from teewright.web.guard.limits import FREE, Waits
from teewright.web.guard.passwords import is_outdated
from teewright.web.guard.roles import Role
from teewright.web.guard.sessions import Sessions
from teewright.web.guard.signin import SignIn, WaitError, WrongError


class Clock:
    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with Desk(with_people(tmp_path / "job.tee")) as made:
        yield made


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def kept(desk: Desk) -> Sessions:
    return Sessions(desk)


@pytest.fixture
def door(desk: Desk, kept: Sessions, clock: Clock) -> SignIn:
    return SignIn(desk, kept, Waits(clock))


def fail(door: SignIn, name: str, *, address: str = "10.0.0.1") -> None:
    with pytest.raises(WrongError):
        door.sign_in(name, "wrong", address=address)


def test_the_right_password_begins_a_session(door: SignIn, kept: Sessions) -> None:
    token = door.sign_in("crew", PASSWORD, address="10.0.0.1")
    asker = kept.asker(token)
    assert asker is not None
    assert (asker.name, asker.role, asker.signed_in) == ("crew", Role.CREW, True)
    assert kept.asker(token + "x") is None
    assert kept.asker("") is None


def test_only_the_hash_of_a_token_is_in_the_file(door: SignIn, desk: Desk) -> None:
    token = door.sign_in("crew", PASSWORD, address="10.0.0.1")
    desk.close()
    data = b"".join(p.read_bytes() for p in desk.path.parent.glob("job.tee*"))
    assert token.encode() not in data
    assert hashlib.sha256(token.encode()).hexdigest().encode() in data
    assert PASSWORD.encode() not in data


def test_names_and_passwords_that_are_wrong_are_told_alike(door: SignIn) -> None:
    with pytest.raises(WrongError) as name:
        door.sign_in("nobody", PASSWORD, address="a")
    with pytest.raises(WrongError) as word:
        door.sign_in("crew", "wrong", address="b")
    assert str(name.value) == str(word.value)


def test_a_name_waits_wherever_it_is_tried_from(door: SignIn, clock: Clock) -> None:
    for number in range(FREE + 1):
        fail(door, "crew", address=f"10.0.0.{number}")
    with pytest.raises(WaitError, match="wait 2 seconds"):
        door.sign_in("crew", PASSWORD, address="10.0.0.99")
    clock.now += 2.0
    assert door.sign_in("crew", PASSWORD, address="10.0.0.99")
    fail(door, "crew", address="10.0.0.98")


@pytest.mark.parametrize("typed", ["  Zo\u00eb", "Zoe\u0308 ", "ZO\u00cb", "zoe\u0308"])
def test_a_name_waits_however_it_is_typed(door: SignIn, desk: Desk, typed: str) -> None:
    desk.write(lambda project: add_person(project, "Zo\u00eb", "crew", WEAK.hash(PASSWORD)))
    for number in range(FREE + 1):
        fail(door, "Zo\u00eb", address=f"10.0.0.{number}")
    with pytest.raises(WaitError):
        door.sign_in(typed, PASSWORD, address="10.0.0.99")


def test_a_password_that_is_changed_while_it_is_checked_begins_nothing(
    door: SignIn, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    checked = passwords.fits

    def meanwhile(secret: str | None, password: str) -> bool:
        fits = checked(secret, password)
        desk.write(lambda project: change_secret(project, "crew", WEAK.hash("another one")))
        return fits

    monkeypatch.setattr(passwords, "fits", meanwhile)
    with pytest.raises(WrongError):
        door.sign_in("crew", PASSWORD, address="a")
    person = desk.ask(lambda project: person_named(project, "crew"))
    assert person is not None
    assert checked(person.secret, "another one")


def test_an_address_waits_whatever_name_it_tries(door: SignIn, clock: Clock) -> None:
    for number in range(FREE + 3):
        clock.now += 60.0
        fail(door, f"name {number}")
    with pytest.raises(WaitError):
        door.sign_in("engineer", PASSWORD, address="10.0.0.1")
    assert door.sign_in("engineer", PASSWORD, address="10.0.0.2")


def test_an_account_of_ones_own_does_not_clear_the_address(door: SignIn, clock: Clock) -> None:
    refused = 0
    for number in range(12):
        clock.now += 1.0
        try:
            door.sign_in("crew", PASSWORD, address="10.0.0.1")
            door.sign_in(f"name {number}", "guess", address="10.0.0.1")
        except WrongError:
            continue
        except WaitError:
            refused += 1
    assert refused >= 6


def test_many_at_once_get_no_more_tries_than_one_after_the_other(door: SignIn) -> None:
    def attempt(_: int) -> type[Exception]:
        try:
            door.sign_in("crew", "wrong", address="10.0.0.1")
        except (WrongError, WaitError) as error:
            return type(error)
        raise AssertionError

    with ThreadPoolExecutor(16) as pool:
        told = list(pool.map(attempt, range(32)))
    assert told.count(WrongError) <= FREE + 1


def test_a_long_wait_is_told_in_minutes() -> None:
    assert "5 minutes" in str(WaitError(300.0))
    assert "1 second," in str(WaitError(0.2))


def test_a_session_ends_by_itself_and_is_cleared_away(
    door: SignIn, kept: Sessions, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sessions, "LASTS", timedelta(seconds=-1))
    token = door.sign_in("crew", PASSWORD, address="a")
    assert kept.asker(token) is None


def test_who_is_removed_is_out_at_once(door: SignIn, kept: Sessions, desk: Desk) -> None:
    token = door.sign_in("crew", PASSWORD, address="a")
    desk.write(lambda project: remove_person(project, "crew"))
    assert kept.asker(token) is None
    fail(door, "crew", address="b")


def test_a_weak_hash_is_made_anew_and_the_password_stays(door: SignIn, desk: Desk) -> None:
    before = desk.ask(lambda project: person_named(project, "crew"))
    assert before is not None
    assert is_outdated(before.secret)
    token = door.sign_in("crew", PASSWORD, address="a")
    after = desk.ask(lambda project: person_named(project, "crew"))
    assert after is not None
    assert not is_outdated(after.secret)
    assert Sessions(desk).asker(token) is not None
    assert door.sign_in("crew", PASSWORD, address="a")
    assert len(desk.ask(people)) == 4

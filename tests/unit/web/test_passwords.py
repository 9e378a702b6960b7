import pytest
from argon2 import PasswordHasher, extract_parameters

from teewright.errors import InputError
from teewright.web.guard import passwords
from teewright.web.guard.passwords import LONGEST, fits, hashed, is_outdated


def test_only_the_same_password_fits() -> None:
    secret = hashed("wet gloves and rain")
    assert secret.startswith("$argon2id$")
    assert "gloves" not in secret
    assert fits(secret, "wet gloves and rain")
    assert not fits(secret, "wet gloves and Rain")
    assert not fits(secret, "")
    assert not fits(None, "wet gloves and rain")
    assert not fits("no hash at all", "wet gloves and rain")


def test_the_same_password_has_another_hash_each_time() -> None:
    assert hashed("wet gloves and rain") != hashed("wet gloves and rain")


def test_a_keyboard_may_compose_letters_in_its_own_way() -> None:
    assert fits(hashed("Schl\u00fcssel im Kanal"), "Schlu\u0308ssel im Kanal")


@pytest.mark.parametrize("password", ["", "short", "x" * (LONGEST + 1)])
def test_a_new_one_must_have_some_length(password: str) -> None:
    with pytest.raises(InputError, match="best several words") as refused:
        hashed(password)
    assert password not in str(refused.value) or password == ""


class Counting:
    """A hasher that keeps what it was asked to verify."""

    def __init__(self) -> None:
        self.asked: list[str] = []

    def verify(self, secret: str, password: str) -> bool:
        self.asked.append(secret)
        return PasswordHasher().verify(secret, password)


def test_a_name_that_is_not_there_costs_the_same_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """One hash of the same parameters is worked out, whether there is such a person or not."""
    secret = hashed("wet gloves and rain")
    fits(None, "make the one that belongs to nobody")
    counting = Counting()
    monkeypatch.setattr(passwords, "_HASHER", counting)
    assert not fits(secret, "something else entirely")
    assert not fits(None, "something else entirely")
    known, nobodys = (extract_parameters(one) for one in counting.asked)
    assert known == nobodys


def test_a_weak_hash_is_known_as_such() -> None:
    assert is_outdated(PasswordHasher(time_cost=1, memory_cost=64).hash("wet gloves and rain"))
    assert not is_outdated(hashed("wet gloves and rain"))

"""Passwords: kept only as their Argon2id hash.

Argon2id with the library's present parameters (RFC 9106, 4: second recommended option, 64 MiB);
a hash that was made with weaker ones is made anew when its owner next signs in.
"""

import secrets
import threading
import unicodedata
from functools import lru_cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from teewright.errors import InputError

SHORTEST, LONGEST = 10, 200
"""Characters of a password; common practice, no source."""
AT_ONCE = threading.BoundedSemaphore(2)
"""Each check takes 64 MiB: who asks for many at once waits."""
_HASHER = PasswordHasher()
LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
"""Of passwords that are made: none that is read as another."""
GROUPS, GROUP = 4, 4
"""Of letters, so that it is read out and typed without a slip; 79 bits."""


def made() -> str:
    """A new password."""
    letters = [secrets.choice(LETTERS) for _ in range(GROUPS * GROUP)]
    return "-".join("".join(letters[k : k + GROUP]) for k in range(0, len(letters), GROUP))


def hashed(password: str) -> str:
    """The hash of a new password.

    Raises:
        InputError: It is too short or too long.
    """
    check_length(password)
    with AT_ONCE:
        return _HASHER.hash(_same(password))


def check_length(password: str) -> None:
    """Refuse a new password that is too short or too long, or no text.

    Raises:
        InputError: It is.
    """
    if not SHORTEST <= len(password) <= LONGEST:
        raise InputError(
            f"has {len(password)} characters",
            field="password",
            value="(not shown)",
            allowed=f"{SHORTEST} to {LONGEST} characters, best several words",
        )
    if not _is_text(password):
        allowed = "characters of Unicode, best several words"
        raise InputError("is no text", field="password", value="(not shown)", allowed=allowed)


def fits(secret: str | None, password: str) -> bool:
    """Whether a password is the one that was hashed.

    It takes as long where there is no such person, so that names cannot be guessed by the clock.

    Args:
        secret: Hash of the person's password, or None where there is no such person.
        password: As it was typed.
    """
    if len(password) > LONGEST or not _is_text(password):
        return False
    with AT_ONCE:
        try:
            _HASHER.verify(_nobodys() if secret is None else secret, _same(password))
        except (VerificationError, InvalidHashError):
            return False
    return secret is not None


def is_outdated(secret: str) -> bool:
    """Whether a hash was made with weaker parameters than those of today."""
    return _HASHER.check_needs_rehash(secret)


@lru_cache(maxsize=1)
def _nobodys() -> str:
    return _HASHER.hash("the password of nobody")


def _is_text(password: str) -> bool:
    """Whether it can be written down: JSON can bring half a pair of surrogates."""
    try:
        password.encode()
    except UnicodeEncodeError:
        return False
    return True


def _same(password: str) -> str:
    """The same characters however a keyboard composes them (RFC 8265, 4.2: NFC)."""
    return unicodedata.normalize("NFC", password)

"""Corrections by hand as a project keeps them: JSON, SI units, names as in the code."""

from collections.abc import Sequence
from dataclasses import dataclass

from teewright.errors import FileFormatError
from teewright.formats.json_values import dump, load
from teewright.network.corrections import Correction

NAME = "corrections.json"
"""Name of the document in a project."""


@dataclass(frozen=True, slots=True)
class _Corrections:
    corrections: tuple[Correction, ...]


def write(corrections: Sequence[Correction]) -> bytes:
    """All corrections, the oldest first; the same ones give the same bytes."""
    return dump(_Corrections(tuple(corrections))).encode()


def read(data: bytes, *, file: str = NAME) -> tuple[Correction, ...]:
    """Corrections, the oldest first.

    Args:
        data: What `write` gave.
        file: Its name.

    Raises:
        FileFormatError: They are none.
    """
    try:
        text = data.decode()
    except UnicodeDecodeError as error:
        raise FileFormatError("is not UTF-8 text", file=file) from error
    return load(text, _Corrections, file=file).corrections

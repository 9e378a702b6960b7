"""Stored results: the frozen values of the rooms as JSON text, and back."""

import json
from typing import Any, TypeVar

from teewright.errors import FileFormatError

Value = TypeVar("Value")


_ADAPTERS: dict[str, Any] = {}


def _adapter(kind: type[Any]) -> Any:
    """The adapter of a class, made once: making one takes a tenth of a second."""
    from pydantic import TypeAdapter  # noqa: PLC0415 -- heavy, and not every command needs it

    name = f"{kind.__module__}.{kind.__qualname__}"
    if name not in _ADAPTERS:
        _ADAPTERS[name] = TypeAdapter(kind)
    return _ADAPTERS[name]


def dump(value: object) -> str:
    """A frozen value as JSON text, SI units, names as in the code.

    A number without end or that is none is kept as such, as `load` reads it: a wall that never
    gets hard has no release.
    """
    from pydantic_core import to_json  # noqa: PLC0415 -- as above

    return to_json(value, inf_nan_mode="constants").decode("utf-8")


def load(text: str, kind: type[Value], *, file: str = "") -> Value:
    """A frozen value from its JSON text.

    Args:
        text: What `dump` wrote.
        kind: Class of the value.
        file: Where the text came from, for the message.

    Raises:
        FileFormatError: The text does not hold such a value.
    """
    from pydantic import ValidationError  # noqa: PLC0415 -- as above

    try:
        value: Value = _adapter(kind).validate_json(text)
    except ValidationError as error:
        first = error.errors()[0]
        raise FileFormatError(
            f"does not hold a {kind.__name__}: {first['msg']}",
            file=file,
            field=".".join(str(part) for part in first["loc"]),
        ) from error
    return value


def plain(value: object) -> Any:
    """A frozen value as plain dictionaries and lists, for `json.dump`.

    JSON has no number without end: other programs read null where there is none.
    """
    return json.loads(_adapter(type(value)).dump_json(value))

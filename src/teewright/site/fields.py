"""Whether an event can be read at all, whatever was logged before it.

What breaks the order of work did happen and is kept; what cannot be read is refused.
"""

from math import isfinite

from teewright.errors import InputError, UnknownNameError
from teewright.site.chain import Draft
from teewright.site.corrections import AT, OF_ENTRY, TARGET, VOID, correction_time
from teewright.site.naming import split_installation
from teewright.site.values import EventKind

K = EventKind
_NUMBERS = {"pressure": "pressure in Pa", "volume": "water added in m3", "elapsed": "time in s"}


def number(text: str) -> float | None:
    """A finite number of 0 or more, or None."""
    value = signed(text)
    return value if value is not None and value >= 0.0 else None


def signed(text: str) -> float | None:
    """A finite number, or None."""
    try:
        value = float(text)
    except ValueError:
        return None
    return value if isfinite(value) else None


def check_fields(draft: Draft) -> None:
    """Refuse an event that cannot be read.

    Args:
        draft: What a device reports.

    Raises:
        InputError: A field is missing or is not what it should be.
        UnknownNameError: A correction names no event.
    """
    if draft.at.utcoffset() is None:
        correction_time(draft.at.isoformat())
    for field, value in (("id", draft.id), ("device", draft.device), ("person", draft.person)):
        if not value.strip():
            raise InputError("is empty", field=field, allowed="a text")
    if draft.sequence < 1:
        raise InputError(
            "is below 1", field="sequence", value=draft.sequence, allowed="a number from 1"
        )
    split_installation(draft.installation)
    names = [name for name, _ in draft.data]
    if len(set(names)) < len(names):
        raise InputError("names a value twice", field="data", value=", ".join(names))
    _check_numbers(dict(draft.data))
    if draft.kind is K.READING:
        _require(draft, ("pressure",))
    elif draft.kind is K.TEST_READING:
        _require(draft, ("pressure", "volume"))
    elif draft.kind is K.CORRECTED:
        _check_correction(draft)


def not_to_be_corrected(draft: Draft) -> UnknownNameError:
    """The refusal of a correction that names no event which it could correct."""
    return UnknownNameError(
        f"is no event of {draft.installation} that can be corrected",
        field=TARGET,
        value=dict(draft.data).get(TARGET, ""),
        allowed="the id of one of its events that is not itself a correction",
    )


def _check_numbers(data: dict[str, str]) -> None:
    for name, meaning in _NUMBERS.items():
        if name in data and number(data[name]) is None:
            raise InputError(
                "is not a number",
                field=name,
                value=data[name],
                allowed=f"{meaning}, 0 or more",
            )


def _require(draft: Draft, names: tuple[str, ...]) -> None:
    if not any(name in names for name, _ in draft.data):
        raise InputError(
            "has no value",
            field=draft.kind.value,
            value=draft.installation,
            allowed=" or ".join(f"`{name}`: {_NUMBERS[name]}" for name in names),
        )


def _check_correction(draft: Draft) -> None:
    data = dict(draft.data)
    if not data.get(TARGET, ""):
        raise not_to_be_corrected(draft)
    if VOID in data and data[VOID] != "yes":
        raise InputError("is not known", field=VOID, value=data[VOID], allowed="yes")
    if AT in data:
        correction_time(data[AT])
    if not set(data) - {TARGET} - OF_ENTRY:
        raise InputError(
            "corrects nothing",
            field=K.CORRECTED.value,
            value=data[TARGET],
            allowed=f"`{AT}`, `{VOID}` or a value by its name",
        )

"""What the log says once its corrections are applied.

A correction is an event of its own: it names the event that it corrects under `event`, gives
a new time under `at` (ISO 8601 with offset) or new data under their own names, or takes the
event back with `void` = `yes`. The original stays in the log as it was.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from teewright.errors import InputError
from teewright.site.values import Event, EventKind

TARGET, AT, VOID = "event", "at", "void"
SIGNED_IN = "signed_in"
"""Value under which the log keeps who was signed in when an event was sent: the device tells who
logged it, this is what the project itself knows."""
OF_ENTRY = frozenset({"reason", "server_ahead", SIGNED_IN})
"""Values that tell of an entry itself, and so of a correction, not of what it corrects."""
_OWN = frozenset({TARGET, AT, VOID}) | OF_ENTRY


def of_installation(events: Iterable[Event], installation: str) -> tuple[Event, ...]:
    """Events of one installation, in the order of the log."""
    return tuple(event for event in events if event.installation == installation)


def effective(events: Sequence[Event]) -> tuple[Event, ...]:
    """Events as they count: corrected, without those taken back and without corrections.

    Args:
        events: Events in the order of the log; originals are not changed.

    Returns:
        In the same order. A later correction of the same event outdoes an earlier one, field
        by field; a corrected event keeps the hash of its original. A correction that names no
        event of the sequence, or a time that cannot be read, has no effect here;
        `teewright.site.order.admit` refuses both.
    """
    current: dict[str, Event | None] = {
        event.id: event for event in events if event.kind is not EventKind.CORRECTED
    }
    for event in events:
        if event.kind is EventKind.CORRECTED:
            target = dict(event.data).get(TARGET, "")
            found = current.get(target)
            if found is not None and found.installation == event.installation:
                current[target] = _corrected(found, dict(event.data))
    return tuple(event for event in current.values() if event is not None)


def correction_time(text: str) -> datetime:
    """Read the time that a correction gives.

    Args:
        text: ISO 8601 with offset.

    Raises:
        InputError: It cannot be read or has no offset.
    """
    allowed = "a time with its offset, e.g. 2025-05-12T09:30:00+02:00"
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise InputError("is not a time", field=AT, value=text, allowed=allowed) from error
    if moment.utcoffset() is None:
        raise InputError("has no time zone", field=AT, value=text, allowed=allowed)
    return moment


def _corrected(event: Event, data: dict[str, str]) -> Event | None:
    if data.get(VOID) == "yes":
        return None
    changed = {name: value for name, value in data.items() if name not in _OWN}
    merged = tuple((dict(event.data) | changed).items())
    try:
        at = correction_time(data[AT]) if AT in data else event.at
    except InputError:
        at = event.at
    return replace(event, at=at, data=merged)

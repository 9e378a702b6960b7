"""The hash chain: each event carries the SHA-256 of the one before it.

Whoever changes, drops, adds or moves a past event breaks the chain from there on. The end of
the chain can be cut off unseen unless its last hash is noted elsewhere, so the pack prints it
and `verify` takes it as `head`.
"""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timezone

from teewright.errors import InputError, TamperedError
from teewright.site.values import Event, EventKind

GENESIS = "0" * 64
"""Hash that the first event of a project carries as the one before."""
_FORM = b"teewright event 1\n"  # a later form of the body gets another first line


@dataclass(frozen=True, slots=True)
class Draft:
    """What a device reports, before it is sealed.

    Attributes:
        id: UUID, made by the device.
        installation: Connection id, `#`, attempt from 1.
        kind: What happened.
        at: When, by the device's clock, with time zone.
        device: Device id.
        sequence: Number within the device, from 1.
        person: Who, as a role or initials.
        data: (name, value) pairs; numbers in SI units.
    """

    id: str
    installation: str
    kind: EventKind
    at: datetime
    device: str
    sequence: int
    person: str
    data: tuple[tuple[str, str], ...] = ()


def canonical(event: Draft | Event, *, recorded: datetime, previous: str) -> bytes:
    """The bytes that are hashed: one line of JSON, keys in order, UTF-8.

    Args:
        event: The event; a hash that it may carry plays no part.
        recorded: When it was stored, with time zone.
        previous: Hash of the event before.

    Raises:
        InputError: A text that is not Unicode, or a time without a zone.
    """
    body = {
        "at": _written(event.at, "at"),
        "data": [list(pair) for pair in event.data],
        "device": event.device,
        "id": event.id,
        "installation": event.installation,
        "kind": event.kind.value,
        "person": event.person,
        "previous": previous,
        "recorded": _written(recorded, "recorded"),
        "sequence": event.sequence,
    }
    text = json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    try:
        return _FORM + text.encode()
    except UnicodeEncodeError as error:
        raise InputError(
            "holds a character that is not Unicode text",
            field="event",
            value=text.encode("ascii", "backslashreplace").decode(),
        ) from error


def seal(draft: Draft, *, recorded: datetime, previous: str = GENESIS) -> Event:
    """Close an event into the chain.

    Args:
        draft: What the device reports.
        recorded: When it is stored, with time zone.
        previous: Hash of the event before in the project, `GENESIS` for the first.

    Returns:
        The event with its hash; its times keep their instant and their offset from UTC.

    Raises:
        InputError: A text that is not Unicode, or a time without a zone.
    """
    digest = hashlib.sha256(canonical(draft, recorded=recorded, previous=previous)).hexdigest()
    return Event(
        id=draft.id,
        installation=draft.installation,
        kind=draft.kind,
        at=_fixed(draft.at),
        recorded=_fixed(recorded),
        device=draft.device,
        sequence=draft.sequence,
        person=draft.person,
        data=draft.data,
        previous=previous,
        hash=digest,
    )


def draft_of(event: Event) -> Draft:
    """What the device reported, without what was added when it was stored."""
    return Draft(
        id=event.id,
        installation=event.installation,
        kind=event.kind,
        at=event.at,
        device=event.device,
        sequence=event.sequence,
        person=event.person,
        data=event.data,
    )


def verify(events: Iterable[Event], *, head: str | None = None) -> None:
    """Check a whole chain from its first event on.

    Args:
        events: All events of the project, in the order in which they were stored.
        head: Hash of the last event as noted elsewhere, or None where it was not noted.

    Raises:
        TamperedError: Names the first event that does not fit, or says that the end is not
            the noted one.
    """
    previous, seen = GENESIS, set[str]()
    for ordinal, event in enumerate(events, start=1):
        _check_link(event, ordinal, previous=previous, seen=seen)
        seen.add(event.id)
        previous = event.hash
    if head is not None and head != previous:
        raise TamperedError(
            f"The log ends with hash {previous[:12]}, not with {head[:12]} as noted: "
            "events are missing from its end or were added."
        )


def _check_link(event: Event, ordinal: int, *, previous: str, seen: set[str]) -> None:
    name = f"Event {ordinal} of the log ({event.kind} of {event.installation}, id {event.id})"
    if event.id in seen:
        raise TamperedError(f"{name} has the id of an earlier event.")
    if event.previous != previous:
        raise TamperedError(
            f"{name} does not follow the event before it: an event was removed, added or moved."
        )
    body = canonical(event, recorded=event.recorded, previous=event.previous)
    if hashlib.sha256(body).hexdigest() != event.hash:
        raise TamperedError(f"{name} was changed after it was stored.")


def _fixed(moment: datetime) -> datetime:
    """The same instant with a plain offset, so that it reads back equal from text."""
    offset = moment.utcoffset()
    if offset is None:
        raise InputError(
            "has no time zone",
            field="time",
            value=moment.isoformat(),
            allowed="a time with its offset, e.g. 2025-05-12T09:30:00+02:00",
        )
    return moment.astimezone(timezone(offset))


def _written(moment: datetime, field: str) -> str:
    if moment.utcoffset() is None:
        raise InputError(
            "has no time zone",
            field=field,
            value=moment.isoformat(),
            allowed="a time with its offset, e.g. 2025-05-12T09:30:00+02:00",
        )
    return _fixed(moment).isoformat(timespec="microseconds")

"""Rows of the append-only log."""

import json
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, Row, func, insert, select

from teewright.errors import InputError, TamperedError
from teewright.site.chain import GENESIS, Draft, draft_of, seal
from teewright.site.values import Event, EventKind
from teewright.store.schema import EVENT


@dataclass(frozen=True, slots=True)
class LogState:
    """How far the log has come.

    Attributes:
        count: Events in it.
        head: Hash of the last, 64 zeros for an empty log.
    """

    count: int
    head: str


def log_state(connection: Connection) -> LogState:
    """How far the log has come."""
    count = connection.execute(select(func.count()).select_from(EVENT)).scalar_one()
    last = select(EVENT.c.hash).order_by(EVENT.c.ordinal.desc()).limit(1)
    return LogState(count=count, head=connection.execute(last).scalar() or GENESIS)


def append(connection: Connection, event: Event) -> Event:
    """Append a sealed event; one that is there already with the same body changes nothing.

    Returns:
        The event as it is stored.

    Raises:
        InputError: Its id belongs to another event, it does not continue the chain, or its
            hash is not that of its body.
    """
    stored = _stored(connection, draft_of(event))
    if stored is not None:
        return stored
    state = log_state(connection)
    if event.previous != state.head:
        raise InputError(
            "does not continue the log: an event was stored in between",
            field="previous",
            value=event.previous[:12],
            allowed=f"{state.head[:12]}, the hash of the last event",
        )
    if seal(draft_of(event), recorded=event.recorded, previous=event.previous) != event:
        raise InputError("is not the hash of the event", field="hash", value=event.hash[:12])
    return _insert(connection, event, state.count + 1)


def record(connection: Connection, draft: Draft, *, now: datetime) -> Event:
    """Seal an event behind the last one and append it.

    Returns:
        The event as it is stored; the stored one where it was there already.

    Raises:
        InputError: Its id belongs to another event.
    """
    stored = _stored(connection, draft)
    if stored is not None:
        return stored
    state = log_state(connection)
    return _insert(connection, seal(draft, recorded=now, previous=state.head), state.count + 1)


def events(connection: Connection) -> tuple[Event, ...]:
    """All events, in the order in which they were stored."""
    return tuple(_event(row) for row in connection.execute(select(EVENT).order_by("ordinal")))


def since(connection: Connection, ordinal: int) -> tuple[tuple[int, Event], ...]:
    """(ordinal, event) of the events stored after that of an ordinal, in order.

    Args:
        connection: Within a transaction.
        ordinal: Of the last event that is known already; 0 for all.
    """
    found = select(EVENT).where(EVENT.c.ordinal > ordinal).order_by(EVENT.c.ordinal)
    return tuple((row.ordinal, _event(row)) for row in connection.execute(found))


def ordinal_of(connection: Connection, event_id: str) -> int | None:
    """Place of an event in the log, from 1, or None where it is not there."""
    found = select(EVENT.c.ordinal).where(EVENT.c.id == event_id)
    ordinal: int | None = connection.execute(found).scalar_one_or_none()
    return ordinal


def known(connection: Connection, event_id: str) -> Event | None:
    """An event by its id, or None where it is not in the log."""
    row = connection.execute(select(EVENT).where(EVENT.c.id == event_id)).one_or_none()
    return None if row is None else _event(row)


def _stored(connection: Connection, draft: Draft) -> Event | None:
    event = known(connection, draft.id)
    if event is None:
        return None
    if draft_of(event) != draft:
        raise InputError(
            f"is the id of another event in the log ({event.kind} of {event.installation})",
            field="id",
            value=draft.id,
            allowed="a new id, or the same event again without a change",
        )
    return event


def _insert(connection: Connection, event: Event, ordinal: int) -> Event:
    connection.execute(
        insert(EVENT).values(
            ordinal=ordinal,
            id=event.id,
            installation=event.installation,
            kind=event.kind.value,
            at=event.at.isoformat(),
            recorded=event.recorded.isoformat(),
            device=event.device,
            sequence=event.sequence,
            person=event.person,
            data=json.dumps(event.data, ensure_ascii=False),
            previous=event.previous,
            hash=event.hash,
        )
    )
    return event


def _event(row: Row[tuple[object, ...]]) -> Event:
    values = row._asdict()
    ordinal = values.pop("ordinal")
    try:
        _check_kinds(values)
        return Event(
            **{
                **values,
                "kind": EventKind(values["kind"]),
                "at": datetime.fromisoformat(values["at"]),
                "recorded": datetime.fromisoformat(values["recorded"]),
                "data": tuple((name, value) for name, value in json.loads(values["data"])),
            }
        )
    except (TypeError, ValueError) as error:
        raise TamperedError(f"Event {ordinal} of the log cannot be read: {error}.") from error


def _check_kinds(values: dict[str, object]) -> None:
    """Refuse values of another kind: in a damaged file a text can come back as bytes.

    Raises:
        TypeError: Names the column.
    """
    for name, value in values.items():
        if not isinstance(value, int if name == "sequence" else str):
            raise TypeError(f"{name} is {type(value).__name__}")

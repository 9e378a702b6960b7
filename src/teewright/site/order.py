"""What may follow what, and which events are refused."""

from collections.abc import Iterable, Sequence

from teewright.errors import InputError
from teewright.site.chain import GENESIS, Draft, draft_of, seal
from teewright.site.corrections import AT, TARGET, correction_time, effective, of_installation
from teewright.site.fields import check_fields, not_to_be_corrected
from teewright.site.naming import installation_id, split_installation
from teewright.site.one_clock import on_one_clock
from teewright.site.values import Event, EventKind

K = EventKind
_FOLLOWS: dict[EventKind | None, tuple[EventKind, ...]] = {
    None: (K.MIXED,),
    K.MIXED: (K.WET_OUT, K.ABORTED),
    K.WET_OUT: (K.LOWERED, K.ABORTED),
    K.LOWERED: (K.IN_PLACE, K.ABORTED),
    K.IN_PLACE: (K.AT_PRESSURE, K.ABORTED),
    K.AT_PRESSURE: (K.READING, K.RELEASED, K.ABORTED),
    K.READING: (K.READING, K.RELEASED, K.ABORTED),
    K.RELEASED: (K.OUT, K.ABORTED),
    K.OUT: (K.TEST_READING, K.INSPECTED, K.ABORTED),
    K.TEST_READING: (K.TEST_READING, K.INSPECTED),
    K.INSPECTED: (K.TEST_READING, K.INSPECTED),
    K.ABORTED: (),
}
_ASIDE = frozenset({K.NOTE, K.CORRECTED})
_AGAIN = frozenset({K.READING, K.TEST_READING, K.INSPECTED})
"""Steps that are done more than once."""
_RANK = {kind: rank for rank, kind in enumerate(EventKind)} | {
    K.READING: list(EventKind).index(K.AT_PRESSURE),
    K.INSPECTED: list(EventKind).index(K.TEST_READING),
}
"""How far along the work is after a step; test and inspection come in either order."""
_PRESSED = _RANK[K.AT_PRESSURE]


def happened(events: Sequence[Event]) -> tuple[Event, ...]:
    """Effective events of one installation, without notes, in the order of work.

    The log has them in the order in which they were stored, and a tablet without signal sends
    its own later. Each device's own order is kept, whatever its clock says; those of several
    devices are merged by their times, told on one clock where that is known.

    Args:
        events: Its events in the order of the log.
    """
    queues: dict[str, list[tuple[int, Event]]] = {}
    for place, event in enumerate(on_one_clock(effective(events))):
        if event.kind not in _ASIDE:
            queues.setdefault(event.device, []).append((place, event))
    waiting = [queue[::-1] for queue in queues.values()]
    merged: list[Event] = []
    while waiting:
        first = min(waiting, key=lambda queue: (queue[-1][1].at, queue[-1][0]))
        merged.append(first.pop()[1])
        waiting = [queue for queue in waiting if queue]
    return tuple(merged)


def steps(events: Sequence[Event]) -> tuple[Event, ...]:
    """Steps of one installation that count, in the order of work: the first of each kind.

    Readings and inspections all count.

    Args:
        events: Its events in the order of the log.
    """
    return _parted(events)[0]


def repeats(events: Sequence[Event]) -> tuple[Event, ...]:
    """Steps that were logged again, as two tablets at one manhole do; they count for nothing.

    Args:
        events: Events of one installation in the order of the log.
    """
    return _parted(events)[1]


def reached(events: Sequence[Event]) -> Event | None:
    """The step that is furthest along, or None before the first.

    A reading brings the work no further where full pressure was not logged.

    Args:
        events: Events of one installation in the order of the log.
    """
    furthest: Event | None = None
    for event in steps(events):
        rank = -1 if furthest is None else _RANK[furthest.kind]
        if _RANK[event.kind] >= rank and not (event.kind is K.READING and rank < _PRESSED):
            furthest = event
    return furthest


def next_actions(installation: str, events: Iterable[Event]) -> tuple[EventKind, ...]:
    """Kinds that may be logged next.

    Args:
        installation: Connection id, `#`, attempt.
        events: The log, in its order; events of other installations play no part.

    Returns:
        The step that comes next first; a note is always possible, a correction once there is
        something to correct.
    """
    own = of_installation(events, installation)
    last = reached(own)
    follows = _FOLLOWS[last.kind if last else None]
    return (*follows, *((K.CORRECTED,) if own else ()), K.NOTE)


def disorder(events: Sequence[Event]) -> str:
    """Say where the effective events of one installation break the order of work.

    Args:
        events: Its events in the order of the log.

    Returns:
        One plain sentence on the first break, `""` where there is none.
    """
    last: Event | None = None
    for event in steps(events):
        allowed = _FOLLOWS[last.kind if last else None]
        if event.kind not in allowed:
            before = f"after {last.kind}" if last else "as the first step"
            return f"{event.kind} was logged {before}."
        if last is not None and event.at < last.at:
            return f"{event.kind} is earlier than {last.kind} before it."
        last = event
    return ""


def admit(events: Iterable[Event], new: Draft | Event) -> None:
    """Refuse an event that cannot follow the log.

    An event that is in the log already, with the same body, is let pass: sending it again does
    no harm.

    Args:
        events: The log, in its order.
        new: The event to be logged.

    Raises:
        InputError: It cannot follow; the message says what is allowed.
        UnknownNameError: A correction names an event that is not there.
    """
    log = tuple(events)
    draft = draft_of(new) if isinstance(new, Event) else new
    for event in log:
        if event.id == draft.id:
            _check_same(draft_of(event), draft)
            return
    check_fields(draft)
    own = of_installation(log, draft.installation)
    _check_attempt(log, draft.installation)
    if draft.kind is K.CORRECTED:
        _check_correction(own, draft)
    elif draft.kind is not K.NOTE:
        _check_step(own, draft)


def next_attempt(connection_id: str, events: Iterable[Event]) -> str:
    """Installation at which the next event of a connection belongs.

    Args:
        connection_id: Connection.
        events: The log.

    Returns:
        The attempt under way, or the next one where the last was given up.
    """
    log = tuple(events)
    attempt = 1
    while _given_up(of_installation(log, installation_id(connection_id, attempt))):
        attempt += 1
    return installation_id(connection_id, attempt)


def _check_same(stored: Draft, draft: Draft) -> None:
    if stored != draft:
        raise InputError(
            f"is the id of another event in the log ({stored.kind} of {stored.installation})",
            field="id",
            value=draft.id,
            allowed="a new id, or the same event again without a change",
        )


def _check_attempt(log: tuple[Event, ...], installation: str) -> None:
    connection_id, attempt = split_installation(installation)
    if attempt > 1:
        before = installation_id(connection_id, attempt - 1)
        last = reached(of_installation(log, before))
        if last is None or last.kind not in {K.ABORTED, K.TEST_READING, K.INSPECTED}:
            raise InputError(
                f"cannot begin while {before} is neither given up nor tested",
                field="installation",
                value=installation,
                allowed=before,
            )


def _check_step(own: tuple[Event, ...], draft: Draft) -> None:
    last = reached(own)
    allowed = _FOLLOWS[last.kind if last else None]
    if draft.kind not in allowed:
        before = f"cannot follow {last.kind}" if last else "cannot be the first step"
        raise InputError(
            f"{before} at {draft.installation}",
            field="event",
            value=draft.kind.value,
            allowed=", ".join((*allowed, K.CORRECTED, K.NOTE) if last else (*allowed, K.NOTE)),
        )
    if last is not None and draft.at < last.at:
        raise InputError(
            f"is earlier than {last.kind} before it",
            field="at",
            value=draft.at.isoformat(),
            allowed=f"{last.at.isoformat()} or later; a wrong time is mended with {K.CORRECTED}",
        )


def _check_correction(own: tuple[Event, ...], draft: Draft) -> None:
    data = dict(draft.data)
    open_to_it = {event.id for event in own if event.kind is not K.CORRECTED}
    if data[TARGET] not in open_to_it:
        raise not_to_be_corrected(draft)
    if AT in data and correction_time(data[AT]) > draft.at:
        raise InputError(
            "is later than the correction itself",
            field=AT,
            value=data[AT],
            allowed=f"{draft.at.isoformat()} or earlier",
        )
    # sealed only to be replayed: neither hash nor time of storing bears on the order
    broken = disorder((*own, seal(draft, recorded=draft.at, previous=GENESIS)))
    if broken:
        raise InputError(
            f"would leave the work out of order: {broken}",
            field=K.CORRECTED.value,
            value=data[TARGET],
            allowed="corrections that keep the order of work",
        )


def _given_up(own: tuple[Event, ...]) -> bool:
    last = reached(own)
    return last is not None and last.kind is K.ABORTED


def _parted(events: Sequence[Event]) -> tuple[tuple[Event, ...], tuple[Event, ...]]:
    """(steps that count, those logged again)."""
    counted: list[Event] = []
    again: list[Event] = []
    seen: set[EventKind] = set()
    for event in happened(events):
        repeated = event.kind in seen and event.kind not in _AGAIN
        (again if repeated else counted).append(event)
        seen.add(event.kind)
    return tuple(counted), tuple(again)

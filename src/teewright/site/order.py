"""What may follow what, and which events are refused."""

from collections.abc import Iterable, Sequence
from math import isfinite

from teewright.errors import InputError, UnknownNameError
from teewright.site.chain import GENESIS, Draft, draft_of, seal
from teewright.site.corrections import AT, TARGET, VOID, correction_time, effective, of_installation
from teewright.site.naming import installation_id, split_installation
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
_NUMBERS = {"pressure": "pressure in Pa", "volume": "water added in m3", "elapsed": "time in s"}


def steps(events: Sequence[Event]) -> tuple[Event, ...]:
    """Effective events of one installation, without notes.

    Args:
        events: Its events in the order of the log.
    """
    return tuple(event for event in effective(events) if event.kind not in _ASIDE)


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
    done = steps(own)
    follows = _FOLLOWS[done[-1].kind if done else None]
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
    _check_fields(draft)
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


def _check_fields(draft: Draft) -> None:
    if draft.at.utcoffset() is None:
        correction_time(draft.at.isoformat())
    for field, value in (("id", draft.id), ("device", draft.device), ("person", draft.person)):
        if not value.strip():
            raise InputError("is empty", field=field, allowed="a text")
    if draft.sequence < 1:
        raise InputError(
            "is below 1", field="sequence", value=draft.sequence, allowed="a number from 1"
        )
    names = [name for name, _ in draft.data]
    if len(set(names)) < len(names):
        raise InputError("names a value twice", field="data", value=", ".join(names))
    _check_numbers(dict(draft.data))
    if draft.kind is K.READING:
        _require(draft, ("pressure",))
    elif draft.kind is K.TEST_READING:
        _require(draft, ("pressure", "volume"))


def _check_numbers(data: dict[str, str]) -> None:
    for name, meaning in _NUMBERS.items():
        if name in data and number(data[name]) is None:
            raise InputError(
                "is not a number",
                field=name,
                value=data[name],
                allowed=f"{meaning}, 0 or more",
            )


def number(text: str) -> float | None:
    """A finite number of 0 or more, or None."""
    try:
        value = float(text)
    except ValueError:
        return None
    return value if isfinite(value) and value >= 0.0 else None


def _require(draft: Draft, names: tuple[str, ...]) -> None:
    if not any(name in names for name, _ in draft.data):
        raise InputError(
            "has no value",
            field=draft.kind.value,
            value=draft.installation,
            allowed=" or ".join(f"`{name}`: {_NUMBERS[name]}" for name in names),
        )


def _check_attempt(log: tuple[Event, ...], installation: str) -> None:
    connection_id, attempt = split_installation(installation)
    if attempt > 1:
        before = installation_id(connection_id, attempt - 1)
        done = steps(of_installation(log, before))
        if not done or done[-1].kind not in {K.ABORTED, K.TEST_READING, K.INSPECTED}:
            raise InputError(
                f"cannot begin while {before} is neither given up nor tested",
                field="installation",
                value=installation,
                allowed=before,
            )


def _check_step(own: tuple[Event, ...], draft: Draft) -> None:
    done = steps(own)
    last = done[-1] if done else None
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
    if data.get(TARGET, "") not in open_to_it:
        raise UnknownNameError(
            f"is no event of {draft.installation} that can be corrected",
            field=TARGET,
            value=data.get(TARGET, ""),
            allowed="the id of one of its events that is not itself a correction",
        )
    if VOID in data and data[VOID] != "yes":
        raise InputError("is not known", field=VOID, value=data[VOID], allowed="yes")
    if AT in data and correction_time(data[AT]) > draft.at:
        raise InputError(
            "is later than the correction itself",
            field=AT,
            value=data[AT],
            allowed=f"{draft.at.isoformat()} or earlier",
        )
    if not set(data) - {TARGET, "reason"}:
        raise InputError(
            "corrects nothing",
            field=K.CORRECTED.value,
            value=data[TARGET],
            allowed=f"`{AT}`, `{VOID}` or a value by its name",
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
    done = steps(own)
    return bool(done) and done[-1].kind is K.ABORTED

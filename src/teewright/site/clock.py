"""Deadlines and state of an installation: pure functions of its events and limits.

Nothing here reads a clock: the same events give the same state on every device, after every
reload, whatever time it is.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from teewright.site.corrections import of_installation
from teewright.site.fields import number
from teewright.site.held import held_to, otherwise, span, told_at_mixing, window
from teewright.site.order import disorder, happened, reached, repeats, steps
from teewright.site.readings import taken_at
from teewright.site.values import Event, EventKind, InstallationState, Limits
from teewright.units import BAR

CLOCK_SLACK = 60.0
"""How far a device's clock may run ahead of the store's before it is reported [s]; common
practice, no source."""

K = EventKind
_NO_LIMITS = "Nothing tells to which limits it was set: none were logged when it was mixed."
_NO_DESIGN = "No collar is designed here any more; it is judged by what was logged."
_OUT = frozenset({K.OUT, K.TEST_READING, K.INSPECTED})
_PRESSED = frozenset({K.AT_PRESSURE, K.READING})


@dataclass(frozen=True, slots=True)
class Deadlines:
    """What the mixing of a batch sets.

    Attributes:
        mixed: When it was mixed.
        inflate_by: Latest time of full pressure.
        release_from: Earliest release.
    """

    mixed: datetime
    inflate_by: datetime
    release_from: datetime


def deadlines(events: Iterable[Event], limits: Limits) -> Deadlines | None:
    """Deadlines of one installation.

    Args:
        events: Its events, in the order of the log.
        limits: What it is held to.

    Returns:
        The deadlines, or None before mixing.
    """
    mixed = next((event.at for event in steps(tuple(events)) if event.kind is K.MIXED), None)
    if mixed is None:
        return None
    return Deadlines(
        mixed=mixed,
        inflate_by=mixed + timedelta(seconds=limits.latest_inflation),
        release_from=mixed + timedelta(seconds=limits.release),
    )


def installations(events: Iterable[Event]) -> tuple[str, ...]:
    """Installations of a log, in the order in which they first appear."""
    return tuple(dict.fromkeys(event.installation for event in events))


def state(installation: str, events: Iterable[Event], limits: Limits | None) -> InstallationState:
    """Where an installation stands.

    Args:
        installation: Connection id, `#`, attempt.
        events: The log, in its order; events of other installations play no part.
        limits: Limits of the present design, which what was told at the mixing outdoes; None
            where nothing is designed there any more, and only what was told counts.
    """
    own = of_installation(events, installation)
    held = told_at_mixing(own) if limits is None else held_to(own, limits)
    due = deadlines(own, held) if held else None
    kinds = {event.kind for event in steps(own)}
    step = _step(own)
    aborted = K.ABORTED in kinds
    return InstallationState(
        installation=installation,
        step=step,
        next_action=_next_sentence(step, kinds, due),
        inflate_by=due.inflate_by if due else None,
        release_from=due.release_from if due else None,
        breaches=_breaches(own, held),
        repeats=tuple(_again(event) for event in repeats(own)),
        differs=_differs(own, held, limits),
        finished=aborted or {K.OUT, K.TEST_READING, K.INSPECTED} <= kinds,
        aborted=aborted,
    )


def states(events: Iterable[Event], limits: Mapping[str, Limits]) -> tuple[InstallationState, ...]:
    """States of all installations of a log that have limits.

    Args:
        events: The log, in its order.
        limits: Limits by installation.

    Returns:
        In the order in which the installations first appear.
    """
    log = tuple(events)
    return tuple(state(name, log, limits[name]) for name in installations(log) if name in limits)


def _step(own: tuple[Event, ...]) -> EventKind | None:
    """The step that is furthest along; a reading under pressure is none of its own."""
    last = reached(own)
    if last is None:
        return None
    return K.AT_PRESSURE if last.kind is K.READING else last.kind


def _next_sentence(last: EventKind | None, kinds: set[EventKind], due: Deadlines | None) -> str:
    if last is K.ABORTED:
        return "Nothing: given up."
    if last is None or K.MIXED not in kinds:
        return "Mix the batch."
    if last in _OUT:
        return _after_out(kinds)
    if due is None:
        return "Finish it by the limits that were told at the manhole."
    by = _minute(due.inflate_by, due.mixed)
    sentences = {
        K.MIXED: f"Soak the collar and dress the packer; full pressure by {by}.",
        K.WET_OUT: f"Lower the packer; full pressure by {by}.",
        K.LOWERED: f"Bring the packer to the connection; full pressure by {by}.",
        K.IN_PLACE: f"Inflate to full pressure by {by}.",
        K.AT_PRESSURE: f"Hold the pressure; release from {_release_minute(due)}.",
        K.RELEASED: "Pull the packer out.",
    }
    return sentences[last]


def _after_out(kinds: set[EventKind]) -> str:
    if K.TEST_READING not in kinds:
        return "Test for leaks." if K.INSPECTED in kinds else "Test for leaks, then inspect."
    return "Nothing: finished." if K.INSPECTED in kinds else "Inspect the collar."


def _minute(moment: datetime, mixed: datetime) -> str:
    """Hour and minute on the clock of the mixing, seconds cut off: a latest time."""
    local = moment.astimezone(mixed.tzinfo)
    text = f"{local:%H:%M}"
    return text if local.date() == mixed.date() else f"{text} on {local:%Y-%m-%d}"


def _release_minute(due: Deadlines) -> str:
    """An earliest time is rounded up to the minute: never too early."""
    started = due.release_from.second or due.release_from.microsecond
    return _minute(due.release_from + timedelta(minutes=1 if started else 0), due.mixed)


def _breaches(own: tuple[Event, ...], limits: Limits | None) -> tuple[str, ...]:
    found = [sentence] if (sentence := disorder(own)) else []
    found += _broken(own, limits) if limits else [_NO_LIMITS] * bool(steps(own))
    return (*found, *_fast_clocks(own))


def _broken(own: tuple[Event, ...], limits: Limits) -> list[str]:
    found: list[str] = []
    counted, due = frozenset(event.id for event in steps(own)), deadlines(own, limits)
    for event in happened(own):
        if due is not None and event.id in counted:
            found += _late_or_early(event, due)
        if event.kind in _PRESSED:
            found += _outside_window(event, limits)
    return found


def _differs(
    own: tuple[Event, ...], held: Limits | None, present: Limits | None
) -> tuple[str, ...]:
    """How the present design differs from what was told, and what it would call broken."""
    if held is None or present is None:
        return (_NO_DESIGN,) if steps(own) else ()
    said = otherwise(held, present)
    if not said:
        return ()
    broken = _breaches(own, held)
    more = [found for found in _breaches(own, present) if found not in broken]
    return (*said, *(f"By the present design: {found}" for found in more))


def _again(event: Event) -> str:
    return f"{event.kind} was logged again at {event.at:%H:%M:%S} by {event.device}."


def _late_or_early(event: Event, due: Deadlines) -> list[str]:
    when = _second(event.at, due)
    if event.kind is K.AT_PRESSURE and event.at > due.inflate_by:
        late = span((event.at - due.inflate_by).total_seconds())
        latest = _second(due.inflate_by, due)
        return [f"Full pressure at {when}, {late} after the latest, {latest}."]
    if event.kind is K.RELEASED and event.at < due.release_from:
        early = span((due.release_from - event.at).total_seconds())
        earliest = _second(due.release_from, due)
        return [f"Released at {when}, {early} before the earliest, {earliest}."]
    return []


def _outside_window(event: Event, limits: Limits) -> list[str]:
    text = dict(event.data).get("pressure")
    if text is None:
        return ["A reading has no pressure."] if event.kind is K.READING else []
    pressure = number(text)
    if pressure is None:
        return [f"A reading has {text[:40]!r} where a pressure in Pa belongs."]
    if limits.pressure_low <= pressure <= limits.pressure_high:
        return []
    side = "below" if pressure < limits.pressure_low else "above"
    found = f"{pressure / BAR:.2f} bar at {taken_at(event):%H:%M:%S}"
    return [f"Pressure {found}, {side} the window {window(limits)}."]


def _fast_clocks(own: tuple[Event, ...]) -> list[str]:
    """Devices that reported an event before its time had come, with the largest lead each."""
    lead: dict[str, float] = {}
    for event in own:
        ahead = (event.at - event.recorded).total_seconds()
        if ahead > max(CLOCK_SLACK, lead.get(event.device, 0.0)):
            lead[event.device] = ahead
    return [f"The clock of {device} ran {span(s)} ahead." for device, s in lead.items()]


def _second(moment: datetime, due: Deadlines) -> str:
    return f"{moment.astimezone(due.mixed.tzinfo):%H:%M:%S}"

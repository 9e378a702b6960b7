"""Decisions that people took of an installation, as the log has them."""

from collections.abc import Iterable
from dataclasses import dataclass

from teewright.site.corrections import TARGET, effective, of_installation
from teewright.site.values import Event, EventKind

DECISION = "decision"
"""Name of the value of a note that holds one."""


@dataclass(frozen=True, slots=True)
class Decision:
    """A decision that was written into the log.

    Attributes:
        text: The decision.
        person: Who.
        event: When and where it stands.
        since: Kinds of what was logged or corrected after it: it knows nothing of that.
    """

    text: str
    person: str
    event: Event
    since: frozenset[EventKind]


def decisions(installation: str, events: Iterable[Event]) -> tuple[Decision, ...]:
    """Decisions on one installation, as they count after corrections.

    Args:
        installation: Connection id, `#`, attempt.
        events: The log, in its order.
    """
    own = of_installation(events, installation)
    place = {event.id: k for k, event in enumerate(own)}
    found = []
    for event in effective(own):
        words = dict(event.data).get(DECISION, "")
        if event.kind is EventKind.NOTE and words:
            since = frozenset(_touched(later, own) for later in own[place[event.id] + 1 :])
            found.append(Decision(words, event.person, event, since))
    return tuple(found)


def _touched(event: Event, own: Iterable[Event]) -> EventKind:
    """Kind of an event; of a correction, kind of what it corrects."""
    if event.kind is not EventKind.CORRECTED:
        return event.kind
    target = dict(event.data).get(TARGET, "")
    return next((one.kind for one in own if one.id == target), event.kind)

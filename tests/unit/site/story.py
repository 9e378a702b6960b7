"""Events of installations, built for tests."""

from collections.abc import Iterable
from datetime import datetime, timedelta, timezone

from teewright.site.chain import GENESIS, Draft, seal
from teewright.site.values import Event, EventKind, Limits

ZONE = timezone(timedelta(hours=2))
START = datetime(2025, 5, 12, 9, 0, tzinfo=ZONE)
LIMITS = Limits(
    latest_inflation=1800.0, release=7200.0, pressure_low=60_000.0, pressure_high=90_000.0
)
USUAL: tuple[tuple[EventKind, float, dict[str, str]], ...] = (
    (EventKind.MIXED, 0, {}),
    (EventKind.WET_OUT, 300, {}),
    (EventKind.LOWERED, 900, {}),
    (EventKind.IN_PLACE, 1200, {}),
    (EventKind.AT_PRESSURE, 1500, {"pressure": "75000"}),
    (EventKind.READING, 3000, {"pressure": "74000"}),
    (EventKind.RELEASED, 7200, {}),
    (EventKind.OUT, 7500, {}),
    (EventKind.TEST_READING, 8000, {"pressure": "10000", "method": "LC"}),
    (EventKind.TEST_READING, 8200, {"pressure": "9000"}),
    (EventKind.INSPECTED, 8600, {}),
)


def draft(
    kind: EventKind,
    after: float = 0.0,
    data: dict[str, str] | None = None,
    *,
    installation: str = "A-B/01#1",
    name: str = "",
    sequence: int = 1,
) -> Draft:
    """An event `after` seconds from the start."""
    return Draft(
        id=name or f"{installation}:{kind}:{after:g}",
        installation=installation,
        kind=kind,
        at=START + timedelta(seconds=after),
        device="tablet-1",
        sequence=sequence,
        person="fitter",
        data=tuple((data or {}).items()),
    )


def chained(drafts: Iterable[Draft]) -> tuple[Event, ...]:
    """The drafts, sealed one behind the other, each stored a second after it happened."""
    events: list[Event] = []
    for item in drafts:
        previous = events[-1].hash if events else GENESIS
        events.append(seal(item, recorded=item.at + timedelta(seconds=1), previous=previous))
    return tuple(events)


def usual(steps: int = len(USUAL), *, installation: str = "A-B/01#1") -> tuple[Event, ...]:
    """The first events of an installation in which all goes well."""
    return chained(
        draft(kind, after, data, installation=installation, sequence=number)
        for number, (kind, after, data) in enumerate(USUAL[:steps], start=1)
    )


def correction(target: Event, after: float, **data: str) -> Draft:
    """A correction of an event."""
    return draft(
        EventKind.CORRECTED,
        after,
        {"event": target.id, **data},
        installation=target.installation,
    )


def and_then(events: tuple[Event, ...], *drafts: Draft) -> tuple[Event, ...]:
    """More events behind a chain."""
    more = list(events)
    for item in drafts:
        more.append(seal(item, recorded=item.at + timedelta(seconds=1), previous=more[-1].hash))
    return tuple(more)

"""Times of several devices, told on one clock.

Each device writes times by its own clock, and with them how far that of the server was ahead. Two
tablets at one manhole may differ by minutes; what one mixed and the other pressed on is judged by
the clock that both know.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from teewright.site.fields import signed
from teewright.site.values import Event

AHEAD = "server_ahead"
"""Value of an event: how far the server's clock was ahead of the device's [s]."""
FARTHEST = 1e8
"""Largest difference that is believed [s]."""


def on_one_clock(events: Sequence[Event]) -> tuple[Event, ...]:
    """Events with their times on the server's clock, where they are of several devices.

    A device that knew the server's clock only later is taken to have had the same clock before.
    As they are where one device alone wrote, or one of them never knew the server's clock.

    Args:
        events: Of one installation.
    """
    first: dict[str, float] = {}
    own = [_ahead(event) for event in events]
    for event, ahead in zip(events, own, strict=True):
        if ahead is not None:
            first.setdefault(event.device, ahead)
    devices = {event.device for event in events}
    if len(devices) < 2 or not devices <= first.keys():
        return tuple(events)
    return tuple(
        replace(event, at=event.at + timedelta(seconds=first[event.device] if a is None else a))
        for event, a in zip(events, own, strict=True)
    )


def _ahead(event: Event) -> float | None:
    told = signed(dict(event.data).get(AHEAD, ""))
    return told if told is not None and abs(told) <= FARTHEST else None

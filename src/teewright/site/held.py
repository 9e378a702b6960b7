"""What an installation is held to: the limits that were told to the crew when it was mixed.

A design can be made anew after a batch was mixed, under another temperature for instance. The
crew worked to what it was told, so that is what it is judged by; where the present design says
otherwise, that is told beside the verdict.
"""

from collections.abc import Sequence
from dataclasses import fields, replace

from teewright.site.fields import number
from teewright.site.order import steps
from teewright.site.values import Event, EventKind, Limits
from teewright.units import BAR

NAMES = tuple(field.name for field in fields(Limits))
"""Values of a `mixed` event that tell the limits: `Limits` by their names, in s and Pa."""


def held_to(events: Sequence[Event], present: Limits) -> Limits:
    """Limits that were told at the mixing; those of the present design where none were.

    Args:
        events: Events of one installation, in the order of the log.
        present: Limits of the present design.
    """
    found = replace(present, **_told(events))
    return found if found.pressure_low <= found.pressure_high else present


def told_at_mixing(events: Sequence[Event]) -> Limits | None:
    """Limits that were told at the mixing; None unless all of them were.

    Args:
        events: Events of one installation, in the order of the log.
    """
    told = _told(events)
    if len(told) < len(NAMES):
        return None
    found = Limits(**told)
    return found if found.pressure_low <= found.pressure_high else None


def _told(events: Sequence[Event]) -> dict[str, float]:
    mixed = next((event for event in steps(events) if event.kind is EventKind.MIXED), None)
    data = dict(mixed.data) if mixed else {}
    return {name: value for name in NAMES if (value := number(data.get(name, "")))}


def otherwise(told: Limits, present: Limits) -> tuple[str, ...]:
    """Say where the present design has other limits than were told, one sentence each.

    Args:
        told: Limits that were told at the mixing.
        present: Limits of the present design.
    """
    pairs = (
        ("full pressure within", span(told.latest_inflation), span(present.latest_inflation)),
        ("release after", span(told.release), span(present.release)),
        ("a pressure of", window(told), window(present)),
    )
    return tuple(
        f"Mixed for {what} {then}; the present design says {now}."
        for what, then, now in pairs
        if then != now
    )


def window(limits: Limits) -> str:
    """The window of pressure in words."""
    return f"{limits.pressure_low / BAR:.2f} to {limits.pressure_high / BAR:.2f} bar"


def span(seconds: float) -> str:
    """A length of time [s] in words."""
    if seconds < 60.0:
        return f"{seconds:.0f} s"
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest} s" if rest else f"{minutes} min"

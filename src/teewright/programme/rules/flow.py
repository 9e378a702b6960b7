"""The flow: when a main may be blocked, and for how long."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from teewright.programme.rules.case import TOLERANCE, Case, Fault, clock, long, minutes
from teewright.programme.values import HoldWindow, Visit


def flow(case: Case) -> Iterator[Fault]:
    """A main is blocked when it may be, and no longer."""
    for _, visit, asked in case.known():
        if asked.holds is None:
            text = _by_hours(visit, asked.allowed_hours)
        else:
            text = _by_level(visit, asked.holds)
        if text:
            yield f"{visit.connection_id}: {text}", (visit.connection_id,)


def _by_hours(visit: Visit, allowed: tuple[int, ...]) -> str:
    """Where only the flow of each hour is known: all the time that the packer is in the main."""
    hour = visit.lower.replace(minute=0, second=0, microsecond=0)
    while hour < visit.out:
        if hour.hour not in allowed:
            text = f"the main is blocked from {clock(visit.lower)} to {clock(visit.out)}"
            return f"{text}, but may not be at {hour.hour} h."
        hour += timedelta(hours=1)
    return ""


def _by_level(visit: Visit, holds: tuple[HoldWindow, ...]) -> str:
    """Where the level behind the packer is known: when it begins, and how long it lasts."""
    begin, held = visit.in_place, visit.release - visit.in_place
    longest = max((w.longest for w in holds if _begins(begin, w)), default=0.0)
    if not longest:
        return f"the water behind the packer allows no hold that begins at {clock(begin)}."
    if not long(held, longest):
        return ""
    text = f"the main is blocked for {minutes(held)} from {clock(begin)}"
    return f"{text}, but the water behind the packer allows {minutes(longest)}."


def _begins(moment: datetime, window: HoldWindow) -> bool:
    """Whether a daily window holds a moment."""
    midnight = datetime.combine(moment.date(), datetime.min.time())
    for back in range(-3, 1):
        since = moment - midnight - timedelta(days=back)
        if timedelta(seconds=window.first) - TOLERANCE <= since and not long(since, window.last):
            return True
    return False

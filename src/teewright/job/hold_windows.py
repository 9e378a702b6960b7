"""When a main may begin to be blocked and for how long, from the level behind its packer."""

import math
from itertools import pairwise

from teewright.hydraulics.inflow import DAY
from teewright.hydraulics.values import FlowForecast
from teewright.programme.values import HoldWindow
from teewright.units import HOUR

STEP = HOUR
"""What a hold may last longer than the forecast is told in whole steps of this [s]."""


def hold_windows(flow: FlowForecast) -> tuple[HoldWindow, ...] | None:
    """Windows in which the main may begin to be blocked, each with how long.

    Between two starts that were tried a hold may begin where both are allowed, and lasts no
    longer than at either: the flow goes straight from hour to hour.

    Args:
        flow: Level over the hold.

    Returns:
        Windows in order; None where it is not known how long a hold may last.
    """
    if not flow.longest:
        return None
    tried = list(zip(flow.starts, flow.allowed, flow.longest, strict=True))
    first = tried[0]
    found: list[HoldWindow] = []
    for one, other in pairwise([*tried, (first[0] + DAY, *first[1:])]):
        if one[1] and other[1]:
            longest = _stepped(min(one[2], other[2]), flow.duration)
            found = _joined(found, HoldWindow(one[0], other[0], longest))
    return tuple(found)


def _stepped(longest: float, least: float) -> float:
    """Rounded down to a whole step, but never below what every allowed start is granted."""
    return max(math.floor(longest / STEP) * STEP, least)


def _joined(found: list[HoldWindow], new: HoldWindow) -> list[HoldWindow]:
    """Windows with one more; one that goes on as the last did is one with it."""
    if found and (found[-1].last, found[-1].longest) == (new.first, new.longest):
        return [*found[:-1], HoldWindow(found[-1].first, new.last, new.longest)]
    return [*found, new]

"""Flow past the packer while the main is blocked, and the level behind it."""

from dataclasses import dataclass

from teewright.trace import TraceRow
from teewright.units import HOUR


@dataclass(frozen=True, slots=True)
class BypassCheck:
    """What the bypass bores pass, hour by hour.

    Attributes:
        capacity: With the water upstream at the crown of the main [m3/s].
        hourly_flow: Inflow from upstream in each hour from midnight, with infiltration and the
            shower [m3/s], 24 values.
        allowed_hours: Hours (0-23) in which bores and pumps together pass the inflow.
        worst_flow: Largest hourly inflow [m3/s].
        trace: Numbers in checking order.
        pumped: Carried round the packer by pumps that are set up [m3/s].
    """

    capacity: float
    hourly_flow: tuple[float, ...]
    allowed_hours: tuple[int, ...]
    worst_flow: float
    trace: tuple[TraceRow, ...]
    pumped: float = 0.0


@dataclass(frozen=True, slots=True)
class FlowForecast:
    """Level behind the packer over a hold, for starts through the day.

    Attributes:
        duration: For which the main is blocked [s].
        starts: From midnight [s].
        greatest: Greatest level at the packer of each hold [m above datum].
        freeboards: Least distance of the water below a watched place, of each hold; negative
            where it is drowned [m].
        first: Place that is reached first, or that is nearest to it, one a start.
        allowed: Whether the water stays the freeboard below every watched place with the pumps
            that are set up, one a start.
        pumps: To be carried round the packer in all so that the hold may start [m3/s]: 0 where
            nothing is needed, None where no pump is enough.
        allowed_hours: Hours (0-23) of which every start is allowed.
        latest_start: Last start of the day that is allowed [s], or None.
        shown: Which start the levels over time are of: of the hours in which the main may be
            blocked the one with the highest level, else the one that needs the smallest pump.
        times: After that start [s].
        levels: At the packer [m above datum].
        invert: Of the main at the packer [m above datum].
        places: (name, level not to be reached [m above datum]) of the watched places.
        notes: Assumptions, one plain sentence each.
        trace: Numbers of the start that is shown, in checking order.
        kept: Least distance that the water must stay below each place [m].
        pumped: Carried round the packer by pumps that are set up [m3/s].
        longest: For how long the main may be blocked from each start before the water comes
            nearer to a place than the freeboard, up to what was looked at [s]; at least
            `duration` where the start is allowed. Empty where it is not known.
    """

    duration: float
    starts: tuple[float, ...]
    greatest: tuple[float, ...]
    freeboards: tuple[float, ...]
    first: tuple[str, ...]
    allowed: tuple[bool, ...]
    pumps: tuple[float | None, ...]
    allowed_hours: tuple[int, ...]
    latest_start: float | None
    shown: int
    times: tuple[float, ...]
    levels: tuple[float, ...]
    invert: float
    places: tuple[tuple[str, float], ...]
    notes: tuple[str, ...]
    trace: tuple[TraceRow, ...]
    kept: float = 0.0
    pumped: float = 0.0
    longest: tuple[float, ...] = ()

    @property
    def least_pump(self) -> float | None:
        """Smallest flow to be carried round with which any start is allowed [m3/s], or None."""
        return min((pump for pump in self.pumps if pump is not None), default=None)


def blocked_hours(bypass: BypassCheck, flow: FlowForecast | None) -> tuple[int, ...]:
    """Hours in which the main may be blocked.

    Where the level behind the packer is known it decides alone, as it counts all that flows in
    and the room upstream; the steady check knows no room and no length of the hold.

    Args:
        bypass: Bores and pumps against the inflow of each hour.
        flow: Level over the hold, or None where levels are not known.

    Returns:
        Hours, 0 to 23.
    """
    return bypass.allowed_hours if flow is None else flow.allowed_hours


def pump_wanted(bypass: BypassCheck, flow: FlowForecast | None) -> float | None:
    """Smallest flow to be carried round with which the main may be blocked at some hour.

    Args:
        bypass: Steady check.
        flow: Level over the hold, or None where levels are not known.

    Returns:
        Flow [m3/s], or None where no pump is enough.
    """
    if flow is None:
        return max(min(bypass.hourly_flow) - bypass.capacity, 0.0)
    return flow.least_pump


def pumps_by_hour(flow: FlowForecast) -> tuple[tuple[int, float | None], ...]:
    """Hours of which some start needs more pumped round the packer than is set up.

    Args:
        flow: Level over the hold.

    Returns:
        (hour, flow [m3/s] with which each of its starts may be made, None where no pump is
        enough) pairs, hours ascending.
    """
    found: dict[int, float | None] = {}
    for start, allowed, pump in zip(flow.starts, flow.allowed, flow.pumps, strict=True):
        if allowed:
            continue
        hour = int(start // HOUR) % 24
        known = found.get(hour, 0.0)
        found[hour] = None if pump is None or known is None else max(pump, known)
    return tuple(sorted(found.items()))

"""Flow past the packer while the main is blocked."""

from dataclasses import dataclass

from teewright.trace import TraceRow
from teewright.units import HOUR


@dataclass(frozen=True, slots=True)
class BypassCheck:
    """What the bypass bores pass, hour by hour.

    Attributes:
        capacity: With the water upstream at the crown of the main [m3/s].
        hourly_flow: Inflow from upstream in each hour from midnight [m3/s], 24 values.
        allowed_hours: Hours (0-23) in which the inflow is within the capacity.
        worst_flow: Largest hourly inflow [m3/s].
        trace: Numbers in checking order.
    """

    capacity: float
    hourly_flow: tuple[float, ...]
    allowed_hours: tuple[int, ...]
    worst_flow: float
    trace: tuple[TraceRow, ...]


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
        allowed: Whether the water stays below every watched place, one a start.
        pumps: To be carried round the packer so that the hold may start [m3/s]: 0 where nothing
            is needed, None where no pump is enough.
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

    @property
    def least_pump(self) -> float | None:
        """Smallest flow to be carried round with which any start is allowed [m3/s], or None."""
        return min((pump for pump in self.pumps if pump is not None), default=None)


def blocked_hours(bypass: BypassCheck, flow: FlowForecast | None) -> tuple[int, ...]:
    """Hours in which the main may be blocked: the steady check and the forecast must both hold.

    Args:
        bypass: Bores against the inflow of each hour.
        flow: Level over the hold, or None where levels are not known.

    Returns:
        Hours, 0 to 23.
    """
    if flow is None:
        return bypass.allowed_hours
    return tuple(hour for hour in bypass.allowed_hours if hour in flow.allowed_hours)


def pump_wanted(bypass: BypassCheck, flow: FlowForecast) -> float | None:
    """Smallest flow to be carried round with which both checks hold at some hour.

    Args:
        bypass: Steady check.
        flow: Level over the hold.

    Returns:
        Flow [m3/s], or None where no pump is enough.
    """
    needed = [
        max(pump, bypass.hourly_flow[int(start // HOUR) % 24] - bypass.capacity, 0.0)
        for start, pump in zip(flow.starts, flow.pumps, strict=True)
        if pump is not None
    ]
    return min(needed, default=None)

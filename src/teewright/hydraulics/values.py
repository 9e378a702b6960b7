"""Flow past the packer while the main is blocked."""

from dataclasses import dataclass

from teewright.trace import TraceRow


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

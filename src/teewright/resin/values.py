"""Resin for one collar: when."""

from dataclasses import dataclass

from teewright.trace import TraceRow


@dataclass(frozen=True, slots=True)
class CureTimes:
    """When the batch must be at pressure and when the packer may let go.

    Attributes:
        mix_temperature: Of the resin from mixing to inflation [K].
        cure_temperature: Of the wall while it cures [K].
        working_time: From mixing to the end of workability [s].
        latest_inflation: From mixing, spare taken off [s].
        release_time: From mixing to the earliest release [s].
        working_table: (temperature [K], latest inflation [s]) about the day's, for the crew.
        release_table: (temperature [K], release [s]) about the day's, for the crew.
        trace: Numbers in checking order.
    """

    mix_temperature: float
    cure_temperature: float
    working_time: float
    latest_inflation: float
    release_time: float
    working_table: tuple[tuple[float, float], ...]
    release_table: tuple[tuple[float, float], ...]
    trace: tuple[TraceRow, ...]

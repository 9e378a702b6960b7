"""Resin for one collar: when."""

from dataclasses import dataclass
from enum import StrEnum

from teewright.trace import TraceRow


class Governs(StrEnum):
    """What a time of the crew rests on."""

    SHEET = "data sheet"
    COMPUTED = "computed"


@dataclass(frozen=True, slots=True)
class CureTimes:
    """When the batch must be at pressure and when the packer may let go.

    Attributes:
        mix_temperature: Of the resin from mixing to inflation [K]; the warmest where the air
            changes over the hours of work.
        cure_temperature: Of the wall while it cures [K].
        working_time: From mixing to the end of workability [s].
        latest_inflation: From mixing, spare taken off [s].
        release_time: From mixing to the earliest release [s].
        working_table: (temperature [K], latest inflation [s]) about the day's, for the crew.
        release_table: (temperature [K], release [s]) about the day's, for the crew.
        trace: Numbers in checking order.
        coldest: Of the air in the hours of work [K], or None where it keeps one temperature.
        latest_by: What the latest inflation rests on.
        release_by: What the release rests on.
        sheet: Latest inflation and release of the data sheet [s], or None where nothing else was
            looked at.
        computed: The same by computation [s], or None where none is; a release without end is
            one that is not reached.
    """

    mix_temperature: float
    cure_temperature: float
    working_time: float
    latest_inflation: float
    release_time: float
    working_table: tuple[tuple[float, float], ...]
    release_table: tuple[tuple[float, float], ...]
    trace: tuple[TraceRow, ...]
    coldest: float | None = None
    latest_by: Governs = Governs.SHEET
    release_by: Governs = Governs.SHEET
    sheet: tuple[float, float] | None = None
    computed: tuple[float, float] | None = None

    @property
    def warm(self) -> float:
        """Temperature for which the latest inflation is told [K]."""
        return max(self.mix_temperature, self.cure_temperature)

    @property
    def cold(self) -> float:
        """Temperature for which the release is told [K]."""
        air = self.mix_temperature if self.coldest is None else self.coldest
        return min(air, self.cure_temperature)

"""The window of inflation pressure."""

from dataclasses import dataclass

from teewright.pressure.stand_off import StandOff
from teewright.trace import TraceRow


@dataclass(frozen=True, slots=True)
class PressureWindow:
    """From the least pressure that forms the collar to the largest that breaks nothing.

    Attributes:
        low: Gauge [Pa].
        high: Gauge [Pa].
        set: Pressure to set, gauge [Pa]; None where low > high.
        low_parts: (name, pressure [Pa]) that add up to `low`.
        high_limits: (name, pressure [Pa]); the least of them is `high`.
        low_governs: Name of the largest part of `low`.
        high_governs: Name of the limit that is `high`.
        stored_energy: Of the gas in the inflated packer, against the atmosphere [J].
        trace: Numbers in checking order.
        stand_off: Energies and distances for the caution; None only in a window that was not
            made by this room.
        forming: Which of both gave the forming part of `low`, run or formula, in words.
        left_out: What the window leaves out, one sentence each.
    """

    low: float
    high: float
    set: float | None
    low_parts: tuple[tuple[str, float], ...]
    high_limits: tuple[tuple[str, float], ...]
    low_governs: str
    high_governs: str
    stored_energy: float
    trace: tuple[TraceRow, ...]
    stand_off: StandOff | None = None
    forming: str = ""
    left_out: tuple[str, ...] = ()

    @property
    def is_open(self) -> bool:
        """Whether any pressure forms the collar and breaks nothing."""
        return self.low <= self.high

"""The window of inflation pressure."""

from dataclasses import dataclass

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

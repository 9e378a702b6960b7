"""What is told beside the check of the wall: what moves it, and whether it seals."""

from dataclasses import dataclass

from teewright.trace import TraceRow


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar of the chart.

    Attributes:
        key: A key of `teewright.wall.sensitivity.INPUTS`.
        name: Plain name.
        shown_in: Unit in which the ends are shown, a key of `teewright.units.SHOWN`.
        low: Lower end of the input [SI].
        nominal: As checked [SI].
        high: Upper end of the input [SI].
        at_low: Utilisation at the lower end [-].
        at_high: Utilisation at the upper end [-].
        governing_low: Part and case that govern at the lower end.
        governing_high: Part and case that govern at the upper end.
        evidence: Where the range comes from.
    """

    key: str
    name: str
    shown_in: str
    low: float
    nominal: float
    high: float
    at_low: float
    at_high: float
    governing_low: str
    governing_high: str
    evidence: str

    @property
    def swing(self) -> float:
        """Length of the bar, the difference of both utilisations [-]."""
        return abs(self.at_high - self.at_low)

    @property
    def worst(self) -> float:
        """The greater of both utilisations [-]."""
        return max(self.at_low, self.at_high)


@dataclass(frozen=True, slots=True)
class Tornado:
    """Bars of all declared inputs.

    Attributes:
        part: Part whose utilisation is told, or `""` for that of the whole collar.
        utilisation: As checked [-].
        bars: Longest first.
    """

    part: str
    utilisation: float
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class TightCheck:
    """Whether every way is long enough.

    Attributes:
        utilisation: Greatest needed / provided, > 1 is not enough [-].
        governing: The place where it is greatest.
        notes: What the engineer must weigh, one sentence each.
        trace: Numbers in checking order.
    """

    utilisation: float
    governing: str
    notes: tuple[str, ...]
    trace: tuple[TraceRow, ...]

"""Wall thickness against groundwater."""

from dataclasses import dataclass

from teewright.trace import TraceRow


@dataclass(frozen=True, slots=True)
class WallCheck:
    """Whether the cured wall stands the groundwater for its design life.

    Attributes:
        head: Groundwater above the invert of the main [m].
        required: Thickness that the governing case needs [m].
        provided: Installed thickness [m].
        utilisation: required / provided, > 1 is not enough [-].
        governing: Name of the governing case.
        cases: (name, thickness needed [m]) of each case.
        trace: Numbers in checking order.
    """

    head: float
    required: float
    provided: float
    utilisation: float
    governing: str
    cases: tuple[tuple[str, float], ...]
    trace: tuple[TraceRow, ...]

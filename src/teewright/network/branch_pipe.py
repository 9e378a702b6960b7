"""What is declared of the pipe of one branch, and of voids beside a collar."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BranchPipe:
    """What the pipe of a branch stands from inside, as far as anybody told.

    Attributes:
        cracked: Whether it is cracked, or None where not known; a cracked ring has no strength.
        thickness: Wall that is still there [m], or None.
        strength: Tension round the ring that it is allowed where it is sound, safety taken off
            [Pa], or None.
        pressure: Pressure declared for it as a whole [Pa], or None.
        source: Where the figures came from.
    """

    cracked: bool | None = None
    thickness: float | None = None
    strength: float | None = None
    pressure: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class DeclaredFilling:
    """A void beside the collar that its resin is to fill.

    Attributes:
        what: What is filled, e.g. `annulus at the cut edge`.
        volume: Of resin [m3].
        source: Where the volume came from, in words.
    """

    what: str
    volume: float
    source: str

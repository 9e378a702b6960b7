"""When a main may be blocked within a shift, in whole seconds."""

import math
from dataclasses import dataclass

from teewright.kit.values import ShiftRules
from teewright.programme.values import HoldWindow, Installation
from teewright.programme.windows import joined, stretches

_HOUR = 3600.0


@dataclass(frozen=True, slots=True, order=True)
class Blocking:
    """When a main may be blocked, in seconds from the start of a shift.

    Attributes:
        first: Not before.
        last: Whole: not after. Else the blocking begins no later.
        whole: Whether all the time from lowering until the packer is out lies between the two;
            else the blocking, from the inflation to the release, begins between them.
        longest: For how long it lasts at most where it is not whole [s].
    """

    first: int
    last: int
    whole: bool = True
    longest: int = 0

    def bounds(self, inflate: int, grid: int, loss: tuple[int, int]) -> tuple[int, int, int]:
        """What it asks of a hold that begins in it, in steps of a grid.

        Told of the full pressure and not of the start of the inflation, so that it does not
        depend on the way along the main: what holds for a collar far off holds for a nearer one.

        Args:
            inflate: From the start of the inflation to full pressure [s].
            grid: Step [s].
            loss: By how much full pressure comes before its step of the grid, at least and at
                most [s].

        Returns:
            Earliest and latest full pressure, and from there to the release at most.
        """
        least, most = loss
        return (
            -(-(self.first + inflate + most) // grid),
            (self.last + inflate + least) // grid,
            (self.longest - inflate - most) // grid,
        )


def blocking(
    installation: Installation, rules: ShiftRules, *, shortest: int, after: int
) -> tuple[Blocking, ...]:
    """When the main may be blocked for an installation within a shift.

    Args:
        installation: What is to be placed.
        rules: Of the shifts.
        shortest: From the start of the inflation to the release, at least [s].
        after: From the release until the manhole is cleared, at least [s].

    Returns:
        Windows; those in which a hold begins in order of how long it may last, the longest first.
    """
    if installation.holds is None:
        hours = tuple((h * _HOUR, (h + 1) * _HOUR) for h in installation.allowed_hours)
        return tuple(Blocking(a, b) for a, b in stretches(hours, rules))
    begun = _begun(installation.holds, rules)
    found = _widened(begun, math.floor(rules.length), shortest, after)
    return tuple(
        Blocking(a, b, whole=False, longest=longest)
        for longest in sorted({w.longest for w in found}, reverse=True)
        for a, b in joined((w.first, w.last) for w in found if w.longest == longest)
    )


def _begun(holds: tuple[HoldWindow, ...], rules: ShiftRules) -> list[Blocking]:
    return [
        Blocking(a, b, whole=False, longest=math.floor(window.longest + 1e-9))
        for window in holds
        for a, b in stretches(((window.first, window.last),), rules)
    ]


def _widened(found: list[Blocking], length: int, shortest: int, after: int) -> list[Blocking]:
    """Windows without what the end of the shift bars in any case.

    So that connections whose windows differ only there can be told to be alike.
    """
    most = max((w.longest for w in found), default=0)
    last = length - after  # latest release
    return [
        Blocking(
            w.first,
            length if w.last >= last - shortest else w.last,
            whole=False,
            longest=most if w.longest >= last - w.first else w.longest,
        )
        for w in found
    ]

"""From what the camera saw to the flow view: chainage and clock whatever the way it went.

Stations count from the start of the inspection, so that against the flow chainage = L - station;
a clock is as the camera sees it, so that against the flow h becomes 12 - h (12 and 6 stay).
"""

from dataclasses import dataclass

from teewright.network.values import Direction, Inspection


@dataclass(frozen=True, slots=True)
class Pass:
    """One inspection laid along its run.

    Attributes:
        inspection: As read.
        direction: Way of the camera along the run; UNKNOWN where the run's flow is not known.
        against: Whether it began at the run's downstream node.
        length: Length of the run that turns a station round [m].
        length_guessed: Whether that length is only the farthest point reached.
    """

    inspection: Inspection
    direction: Direction
    against: bool
    length: float
    length_guessed: bool

    def chainage(self, station: float) -> float:
        """Chainage from the run's upstream node [m]."""
        return self.length - station if self.against else station

    def clock(self, seen: float | None) -> float | None:
        """Clock in flow view [h]."""
        return mirrored(seen) if self.against and seen is not None else seen

    @property
    def reach(self) -> tuple[float, float]:
        """Lowest and highest chainage that the camera saw [m]."""
        far = self.chainage(self.inspection.last_station)
        near = self.chainage(0.0)
        return min(near, far), max(near, far)


def mirrored(clock: float) -> float:
    """A clock position seen from the other end [h]; 12 and 6 stay."""
    return (12.0 - clock) % 12.0 or 12.0


def clock_distance(a: float, b: float) -> float:
    """Distance between two clock positions the short way round [h]."""
    around = abs(a - b) % 12.0
    return min(around, 12.0 - around)


def middle(begin: float | None, end: float | None) -> float | None:
    """Middle of a clock range [h], clockwise and across 12 where it must be."""
    if begin is None or end is None:
        return begin if end is None else end
    return (begin + ((end - begin) % 12.0) / 2.0) % 12.0 or 12.0


def is_ring(begin: float | None, end: float | None) -> bool:
    """Whether a clock range goes all round: from 12 to 12."""
    return begin == end == 12.0


def clock_gap(clock: float | None, begin: float | None, end: float | None) -> float:
    """How far a clock position lies outside a range [h]; 0 inside, or where either is unknown.

    Args:
        clock: Position [h], or None.
        begin: Begin of the range, or the only position [h], or None.
        end: End of the range, clockwise from its begin [h], or None.
    """
    first = begin if begin is not None else end
    if clock is None or first is None or is_ring(begin, end):
        return 0.0
    last = end if end is not None else first
    if (clock - first) % 12.0 <= (last - first) % 12.0:
        return 0.0
    return min(clock_distance(clock, first), clock_distance(clock, last))

"""Connections of one run from all that its passes and lists saw of them."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from teewright.findings import Finding, FindingKind, Place
from teewright.network.matching import Mark, match
from teewright.network.sightings import Spot
from teewright.network.values import Direction

SAME_WAY = 0.3
"""Tolerance between passes from the same end [m]."""
OTHER_WAY = 0.5
"""Least tolerance between passes from opposite ends, and towards lists [m]."""
OTHER_WAY_SHARE = 0.01
"""The same as a share of the run's length [-]."""
LARGEST_TOLERANCE = 1.5
"""However unlike the stated lengths are [m]."""
LEAST_SHIFT = 1.0
"""A common shift up to this is looked for, more where the lengths differ more [m]."""


@dataclass(frozen=True, slots=True)
class Track:
    """What one pass or one list saw along a run.

    Attributes:
        name: Key of the inspection, or name of the list.
        direction: Of the camera; WITH for a list.
        declared: Whether it is a list.
        reach: Lowest and highest chainage that it covers [m].
        spots: In order of chainage.
        place: Where it stands.
        order: Sorts tracks by age: date, time, ordinal.
    """

    name: str
    direction: Direction
    declared: bool
    reach: tuple[float, float]
    spots: tuple[Spot, ...]
    place: Place
    order: tuple[str, str, int]


@dataclass(slots=True)
class Cluster:
    """One connection while it is being put together.

    Attributes:
        chainage: In the frame of the run's first track [m].
        spots: Of each track that saw it, (track, spot).
    """

    chainage: float
    spots: list[tuple[Track, Spot]] = field(default_factory=list)

    @property
    def clock(self) -> float | None:
        """The first clock that is known [h]."""
        return next((spot.clock for _, spot in self.spots if spot.clock is not None), None)


@dataclass(frozen=True, slots=True)
class Frame:
    """How long the run is, for the tolerances.

    Attributes:
        length: [m], or None.
        spread: Largest difference between the lengths that are stated of it [m].
    """

    length: float | None
    spread: float

    def tolerance(self, a: Track, b: Track) -> float:
        """Largest distance between two sightings of one connection [m]."""
        if a.direction is b.direction and not (a.declared or b.declared):
            return SAME_WAY
        wide = max(OTHER_WAY, OTHER_WAY_SHARE * (self.length or 0.0), self.spread)
        return min(wide, LARGEST_TOLERANCE)

    @property
    def largest_shift(self) -> float:
        """Largest common shift that is looked for [m]."""
        return max(LEAST_SHIFT, min(self.spread, 5.0) + 0.5)


def merge(
    tracks: Sequence[Track], frame: Frame, run_id: str
) -> tuple[list[Cluster], list[Finding]]:
    """Join the sightings of all tracks into one cluster a connection.

    Args:
        tracks: The most trusted first; its chainages are the frame of the others.
        frame: How long the run is.
        run_id: Subject of the findings.

    Returns:
        Clusters in order of chainage, then clock; and the findings about shifts.
    """
    clusters: list[Cluster] = []
    findings: list[Finding] = []
    for number, track in enumerate(tracks):
        tolerance = max((frame.tolerance(t, track) for t in tracks[:number]), default=SAME_WAY)
        found = match(
            [Mark(c.chainage, c.clock) for c in clusters],
            [Mark(s.chainage, s.clock) for s in track.spots],
            tolerance=tolerance,
            largest_shift=frame.largest_shift,
        )
        partner = {j: i for i, j in found.pairs}
        known = list(clusters)
        for j, spot in enumerate(track.spots):
            if j in partner:
                known[partner[j]].spots.append((track, spot))
            else:
                clusters.append(Cluster(spot.chainage + found.shift, [(track, spot)]))
        if found.shift:
            findings.append(_shifted(track, found.shift, len(found.pairs), run_id))
    clusters.sort(key=lambda c: (c.chainage, c.clock or 0.0))
    return clusters, findings


def _shifted(track: Track, shift: float, pairs: int, run_id: str) -> Finding:
    way = "more" if shift < 0.0 else "less"
    text = (
        f"the pass {track.name} measures {abs(shift):.2f} m {way} than the one it is laid on, at "
        f"{pairs} connections alike: shifted by that to match them"
    )
    return Finding(FindingKind.GUESSED, "pass-shifted", text, track.place, f"{shift:.2f}", run_id)

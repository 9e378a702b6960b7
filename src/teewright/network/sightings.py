"""The connections and defects that one pass of the camera, or one list, saw along a run."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from teewright.findings import Finding, FindingKind
from teewright.network.codes import AT_CONNECTION, CONNECTION, IGNORED, kind_of, open_of
from teewright.network.declared import DeclaredConnection
from teewright.network.values import Defect, Direction, Observation, Sighting
from teewright.network.view import (
    Pass,
    clock_distance,
    clock_gap,
    is_ring,
    middle,
    mirrored,
)

ATTACH_REACH = 0.1
"""A defect belongs to a connection within this distance [m] (coded surveys, formats rule)."""
ATTACH_CLOCK = 1.0
"""... and within this of its clock [h]."""
SAME_PLACE = 0.1
"""Two sightings of one pass are one connection within this distance [m]."""
SAME_CLOCK = 0.5
"""... and within this of each other's clock [h]."""
SMALLEST_BRANCH = 20.0
"""Quantification 1 of a connection below this cannot be a diameter [mm]."""
_ROUNDING = 1e-6
_NEIGHBOURS = 48
"""No more connections than this can stand round one place."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One place where one pass or list saw a connection, coded once or more.

    Attributes:
        sightings: At least one.
        angle: Between the axes [rad], or None.
        declared: Whether a list says so and no camera.
    """

    sightings: tuple[Sighting, ...]
    angle: float | None = None
    declared: bool = False

    @property
    def chainage(self) -> float:
        """Of the first sighting, from the upstream node [m]."""
        return self.sightings[0].chainage

    @property
    def clock(self) -> float | None:
        """The first clock that is known, in flow view [h]."""
        return next((s.clock for s in self.sightings if s.clock is not None), None)


def see(one: Pass) -> tuple[list[Spot], list[Defect], list[Finding]]:
    """What a pass saw: connections with their defects, the run's own defects, findings."""
    seen = [o for o in one.inspection.observations if o.code == CONNECTION]
    seen.sort(key=lambda o: o.station)
    belongs = {
        id(o): _nearest(o, seen) for o in one.inspection.observations if o.code in AT_CONNECTION
    }
    sightings = [
        _sighting(one, c, [o for o in one.inspection.observations if belongs.get(id(o)) is c])
        for c in seen
    ]
    defects = [
        _defect(one, o)
        for o in one.inspection.observations
        if o.code not in IGNORED and o.code != CONNECTION and belongs.get(id(o)) is None
    ]
    spots, findings = gather([Spot((s,)) for s in sightings])
    return spots, defects, _sizes(one, seen) + findings


def declared_spots(
    lines: Iterable[DeclaredConnection], *, downstream: str, length: float | None
) -> tuple[list[Spot], list[Finding]]:
    """What a list declares along a run.

    Args:
        lines: Of one run.
        downstream: Downstream node of the run.
        length: Of the run [m], or None.
    """
    spots: list[Spot] = []
    findings: list[Finding] = []
    known = list(lines)
    farthest = max((line.distance for line in known), default=0.0)
    for line in known:
        against = line.from_node == downstream
        if against and length is None:
            text = (
                "the distance is from the downstream node and nobody says how long the run is: "
                f"turned round on the farthest line of the list, {farthest:.2f} m"
            )
            findings.append(Finding(FindingKind.GUESSED, "length-unknown", text, line.place))
        base = farthest if length is None else length
        chainage = base - line.distance if against else line.distance
        swapped = line.downstream not in {downstream, line.upstream}
        spots.append(_declared(line, chainage, against=against, swapped=swapped))
    gathered, more = gather(spots)
    return gathered, findings + more


def gather(spots: Sequence[Spot]) -> tuple[list[Spot], list[Finding]]:
    """Join sightings of one pass that stand at the same place and clock."""
    kept: list[Spot] = []
    findings: list[Finding] = []
    for spot in sorted(spots, key=lambda s: s.chainage):
        near = [k for k in kept[-_NEIGHBOURS:] if _near(k, spot)]
        twin = next((k for k in reversed(near) if _same(k, spot)), None)
        if twin is None:
            findings += [_doubtful(k, spot) for k in near if None in {k.clock, spot.clock}]
            kept.append(spot)
            continue
        kept[kept.index(twin)] = replace(twin, sightings=twin.sightings + spot.sightings)
        text = (
            f"the connection is coded again at the place and clock of "
            f"{twin.sightings[0].place}: taken as one"
        )
        findings.append(
            Finding(FindingKind.DOUBT, "connection-twice", text, spot.sightings[0].place)
        )
    return kept, findings


def _same(a: Spot, b: Spot) -> bool:
    if a.clock is None or b.clock is None:
        return a.clock is b.clock and _what(a) == _what(b)
    return clock_distance(a.clock, b.clock) <= SAME_CLOCK


def _what(spot: Spot) -> tuple[object, ...]:
    first = spot.sightings[0]
    return first.kind, first.diameter, first.is_open


def _near(a: Spot, b: Spot) -> bool:
    return abs(a.chainage - b.chainage) <= SAME_PLACE + _ROUNDING


def _doubtful(a: Spot, b: Spot) -> Finding:
    text = (
        f"two connections are coded at {b.chainage:.2f} m and not both have a clock position "
        f"(see {a.sightings[0].place}): taken as two"
    )
    return Finding(FindingKind.DOUBT, "clock-missing", text, b.sightings[0].place)


def _nearest(defect: Observation, connections: Sequence[Observation]) -> Observation | None:
    """The connection that a defect belongs to: the nearest in clock, then in station.

    Args:
        defect: At a connection or not.
        connections: In order of station.
    """

    def apart(c: Observation) -> tuple[float, float, int]:
        clock = middle(c.clock_from, c.clock_to)
        gap = clock_gap(clock, defect.clock_from, defect.clock_to)
        lines = abs((c.place.line or 0) - (defect.place.line or 0))
        return gap, abs(c.station - defect.station), lines

    reach = ATTACH_REACH + _ROUNDING
    low = bisect_left(connections, defect.station - reach, key=lambda c: c.station)
    high = bisect_right(connections, defect.station + reach, key=lambda c: c.station)
    near = [c for c in connections[low:high] if apart(c)[0] <= ATTACH_CLOCK]
    return min(near, key=apart) if near else None


def _sighting(one: Pass, seen: Observation, defects: Iterable[Observation]) -> Sighting:
    return Sighting(
        inspection=one.inspection.key,
        date=one.inspection.date,
        direction=one.direction,
        station=seen.station,
        chainage=one.chainage(seen.station),
        clock=one.clock(middle(seen.clock_from, seen.clock_to)),
        diameter=_diameter(seen),
        kind=kind_of(seen.char1),
        is_open=open_of(seen.char2),
        defects=tuple(_defect(one, defect) for defect in defects),
        place=seen.place,
        remark=seen.remark,
    )


def _diameter(seen: Observation) -> float | None:
    """Diameter of the branch [m], from quantification 1 [mm]; None where it cannot be one."""
    return seen.q1 / 1000.0 if seen.q1 is not None and seen.q1 >= SMALLEST_BRANCH else None


def _sizes(one: Pass, connections: Iterable[Observation]) -> list[Finding]:
    """Findings where a branch is too small to be one, or larger than its main."""
    found: list[Finding] = []
    for seen in connections:
        size, height = seen.q1 or 0.0, one.inspection.height
        if 0.0 < abs(size) < SMALLEST_BRANCH or size < 0.0:
            text = f"quantification 1 of a connection, {size:g} mm, cannot be a diameter: not used"
        elif height and size > 1000.0 * height + 1.0:
            text = f"the branch, {size:g} mm, is larger than its main, {1000.0 * height:g} mm: kept"
        else:
            continue
        found.append(Finding(FindingKind.DOUBT, "branch-size", text, seen.place, f"{size:g}"))
    return found


def _defect(one: Pass, seen: Observation) -> Defect:
    ring = is_ring(seen.clock_from, seen.clock_to)
    return Defect(
        code=seen.code,
        char1=seen.char1,
        char2=seen.char2,
        q1=seen.q1,
        chainage=one.chainage(seen.station),
        clock=None if ring else one.clock(middle(seen.clock_from, seen.clock_to)),
        remark=seen.remark,
        place=seen.place,
    )


def _declared(line: DeclaredConnection, chainage: float, *, against: bool, swapped: bool) -> Spot:
    """A declared line; where its run is declared the other way round, its clock is mirrored."""
    clock = mirrored(line.clock) if swapped and line.clock is not None else line.clock
    defects = tuple(
        Defect(code, char1, "", None, chainage, clock, line.remark, line.place)
        for code, char1 in line.defects
    )
    sighting = Sighting(
        inspection=line.place.file,
        date=line.date,
        direction=Direction.AGAINST if against else Direction.WITH,
        station=line.distance,
        chainage=chainage,
        clock=clock,
        diameter=line.diameter,
        kind=line.kind,
        is_open=line.is_open,
        defects=defects,
        place=line.place,
        remark=line.remark,
    )
    return Spot((sighting,), angle=line.angle, declared=True)
